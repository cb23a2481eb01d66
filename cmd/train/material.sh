#!/bin/sh
# Makes the folder of recorded instruments that the ear learns from, the same
# everywhere: cmd/train/material.sh [folder], default build/material. Needs what
# fixtures/material.sh needs, and sox, fluidsynth, fluid-soundfont-gm, freepats.
set -eu
cd "$(dirname "$0")/../.."
out=${1:-build/material}
cache=${XDG_CACHE_HOME:-$HOME/.cache}/bordon/material
fixtures/material.sh
mkdir -p "$out/nylon-recorded"
for f in "$cache"/acoustic/*.wav; do
	sox "$f" -r 22050 "$out/nylon-recorded/$(basename "$f")" trim 0 3.5
done
cp -L /usr/share/midi/freepats/Tone_000/024_Nylon_Guitar.pat "$out/nylon.pat"
cp -L /usr/share/midi/freepats/Tone_000/025_Steel_Guitar.pat "$out/steel.pat"
go run ./cmd/train -record "$out"
