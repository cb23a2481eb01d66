package main

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"bordon/fixtures"
	"bordon/fixtures/schema"
	"bordon/theory"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLineIsAsPublished(t *testing.T) {
	for _, args := range [][]string{
		{"--key", "F"}, {"-k", "por-medio", "--form", "solea"}, {"-k", "D", "--tuning", "sixth-in-d", "--count", "20"},
		{"-k", "G", "best-2"}, {"--from", "D", "--to", "F", "7:3 8:2 9:7 10:1"},
	} {
		r := bordon(t, append([]string{"line", "--format", "json"}, args...)...)
		require.Equal(t, done, r.status, "%v: %s", args, r.errOut)
		assert.NoError(t, schema.Validate(schema.Line, []byte(r.out)), "%v", args)
		assert.Empty(t, r.errOut)
	}
	r := bordon(t, "line", "-k", "G")
	assert.Contains(t, r.out, "B2   3        A2   2        F#2  7        G2   1")
	assert.Contains(t, r.out, "(5) 2         (5) open      (6) 2         (6) 3")
	// With a cejilla the same walks lie on the same frets.
	with := bordon(t, "line", "-k", "G", "--cejilla", "3", "--format", "json")
	assert.Equal(t, bordon(t, "line", "-k", "G", "--format", "json").out, with.out)
	assert.Contains(t, bordon(t, "line", "-k", "G", "--cejilla", "3").out, "cejilla 3, sounds B flat major")
}

func TestLineMoves(t *testing.T) {
	r := bordon(t, "line", "--from", "D", "--to", "F", "7:3 8:2 9:7 10:1")
	require.Equal(t, done, r.status, r.errOut)
	assert.Contains(t, r.out, "A2   3        G2   2        E2   7        F2   1")
	assert.Contains(t, r.out, "It lies well here.")
	r = bordon(t, "line", "--from", "G", "--to", "E", "7:3 8:2 9:7 10:1")
	require.Equal(t, done, r.status, r.errOut)
	assert.Contains(t, r.out, "It lies badly here; this is better:")
}

func TestLineOfTheirOwn(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	folder := filepath.Join(xdg.ConfigHome, "bordon", "lines")
	require.NoError(t, os.MkdirAll(folder, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "evening.lines"), []byte("line first-walk\nkey G\nplay 7:B2 8:A2 9:F#2 10:G2\n"), 0o644))
	r := bordon(t, "line", "-k", "F", "first-walk")
	require.Equal(t, done, r.status, r.errOut)
	assert.Contains(t, r.out, "A2   3        G2   2        E2   7        F2   1")
	assert.Contains(t, bordon(t, "__complete", "line", "-k", "F", "f").out, "first-walk")
}

func TestWrongLines(t *testing.T) {
	for _, tt := range []struct {
		args []string
		want string
	}{
		{nil, "there is no key; say which, such as --key F"},
		{[]string{"--from", "D"}, "give both"},
		{[]string{"--from", "D", "--to", "F"}, "there is no line to move"},
		{[]string{"-k", "F", "--from", "D", "--to", "F", "best"}, "the one or the other"},
		{[]string{"-k", "F", "walk", "nr", "2"}, "there are 3 lines"},
		{[]string{"-k", "F", "no-such"}, `line "no-such": there is none of this name`},
		{[]string{"-k", "F", "--count", "0"}, "ask for 1 to 1000"},
		{[]string{"-k", "F", "--cejilla", "13"}, "a cejilla at fret 13 is not usable"},
		{[]string{"-k", "G", "--capture", "a", "--capture", "b", "--capture", "c", "-t", "104"}, "there are 3 recordings"},
		{[]string{"-k", "G", "--capture", "a"}, "there is no tempo"},
		{[]string{"-k", "G", "--save"}, "are of --capture"},
		{[]string{"-k", "H"}, "the letters are A to G"},
		{[]string{"-k", "F", "--tuning", "E"}, "tuning"},
	} {
		r := bordon(t, append([]string{"line"}, tt.args...)...)
		assert.Equal(t, wrong, r.status, "%v", tt.args)
		assert.Contains(t, r.errOut, tt.want, "%v", tt.args)
		assert.Empty(t, r.out)
	}
}

// Every key opens on one screen of 80 by 24 cells.
func TestKeyFitsOneScreen(t *testing.T) {
	for _, key := range keyValues() {
		for _, home := range []string{"D", "por-medio", key} {
			r := bordon(t, "key", key, "--home", home)
			require.Equal(t, done, r.status, "%s: %s", key, r.errOut)
			rows := strings.Split(strings.TrimSuffix(r.out, "\n"), "\n")
			assert.LessOrEqual(t, len(rows), 24, "%s from %s:\n%s", key, home, r.out)
			for _, row := range rows {
				assert.LessOrEqual(t, utf8.RuneCountInString(row), 80, row)
			}
		}
	}
	assert.Equal(t, bordon(t, "key", "Bb").out, bordon(t, "key", "B♭").out)
	assert.Contains(t, bordon(t, "key", "F", "--home", "D").out, "Open strings lost: (2)")
}

func TestKeyTurnsOverForTheLeftHand(t *testing.T) {
	assert.Contains(t, bordon(t, "key", "F").out, "open 1   2   3   4")
	assert.Contains(t, bordon(t, "key", "F", "--left").out, "4   3   2   1   open")
}

func TestWrongKeys(t *testing.T) {
	for _, args := range [][]string{{}, {"F", "G"}, {"H"}, {"F", "--home", "H"}, {"F", "--cejilla", "-1"}, {"F", "--form", "waltz"}} {
		r := bordon(t, append([]string{"key"}, args...)...)
		assert.Equal(t, wrong, r.status, "%v", args)
		assert.Empty(t, r.out)
	}
}

// The demo plays its walk right in the first turn and B flat for A in the
// second: that is what is asked about.
func TestLineIsCaptured(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	take, err := fixtures.Demo()
	require.NoError(t, err)
	samples, err := take.Render(44100)
	require.NoError(t, err)
	dir := inFolder(t, map[string][]byte{"take.wav": wav16(44100, samples)})
	args := []string{"line", "--capture", filepath.Join(dir, "take.wav"), "-k", "G", "-t", "104",
		"--first-beat", strconv.FormatFloat(take.FirstBeat, 'f', -1, 64)}
	r := bordon(t, args...)
	require.Equal(t, done, r.status, r.errOut)
	assert.Regexp(t, `(?m)^play   7:B2 8:(A2|Bb2) 9:F#2 10:G2$`, r.out)
	assert.Contains(t, r.errOut, "Beat 8: A2 the first time, Bb2 the second;")
	assert.Contains(t, r.out, "# Beat 8: A2 the first time")
	_, err = theory.ParseLines(r.out, nil)
	assert.NoError(t, err)

	r = bordon(t, append(args, "--save", "first-walk")...)
	require.Equal(t, done, r.status, r.errOut)
	assert.Empty(t, r.out)
	assert.Equal(t, done, bordon(t, "line", "-k", "F", "first-walk").status)
	r = bordon(t, append(args, "--save", "first-walk")...)
	assert.Equal(t, failed, r.status)
	assert.Contains(t, r.errOut, "give the line another name")
	r = bordon(t, append(args, "--save", "../first")...)
	assert.Equal(t, failed, r.status)
	assert.Contains(t, r.errOut, "is no name")
}
