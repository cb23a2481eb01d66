#!/bin/sh
# Writes glyphs.go and OFL.txt beside it anew: fetches the font Bravura, which
# is never committed, and reads the outlines of the signs that a sheet draws.
#
#   go generate ./ui/sheet
#
# Needs npm.
set -eu

cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT INT TERM
(cd "$work" && npm pack --silent --ignore-scripts "@vexflow-fonts/bravura@1.0.2" >/dev/null && tar xzf ./*.tgz)
cp "$work/package/LICENSE.txt" OFL.txt
go run ./glyphs "$work/package" glyphs.go
