package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSheet(t *testing.T) {
	dir := t.TempDir()
	html := filepath.Join(dir, "sheet.html")
	r := bordon(t, "line", "--sheet", "--keys", "D, G, G cejilla 3,F", "--out", html, "7:3 8:2 9:7 10:1")
	require.Equal(t, done, r.status, r.errOut)
	assert.Empty(t, r.errOut)
	assert.Equal(t, html+"\n", r.out)
	b, err := os.ReadFile(html)
	require.NoError(t, err)
	for _, part := range []string{"D major", "cejilla 3, sounds B flat major", "al 3 por sol", "F major", "2 of 2", "TEN"} {
		assert.Contains(t, string(b), part)
	}
	piped := bordon(t, "line", "--sheet", "--keys", "D, G, G cejilla 3,F", "7:3 8:2 9:7 10:1")
	require.Equal(t, done, piped.status, piped.errOut)
	assert.Equal(t, string(b), piped.out, "the same to standard output")

	assert.Equal(t, piped.out, bordon(t, "line", "--sheet", "--keys", "D, G, G cejilla 3,F", "-o", "-", "7:3 8:2 9:7 10:1").out)

	svg := filepath.Join(dir, "sheet.svg")
	r = bordon(t, "line", "--sheet", "--keys", "D,G,C,F", "-o", svg)
	require.Equal(t, done, r.status, r.errOut)
	for _, name := range []string{svg, filepath.Join(dir, "sheet-2.svg")} {
		b, err = os.ReadFile(name)
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(string(b), "<svg "), name)
		assert.Contains(t, r.out, name)
	}
	_, err = os.Stat(filepath.Join(dir, "sheet-3.svg"))
	assert.ErrorIs(t, err, os.ErrNotExist)

	// Nothing that is there is replaced unless that is asked for.
	again := []string{"line", "--sheet", "-k", "F", "-o", html}
	r = bordon(t, again...)
	assert.Equal(t, failed, r.status)
	assert.Contains(t, r.errOut, "already; name another with --out, or replace it with --overwrite")
	require.NoError(t, os.Remove(svg))
	r = bordon(t, "line", "--sheet", "--keys", "D,G,C,F", "-o", svg)
	assert.Equal(t, failed, r.status, "the second page is there")
	assert.NoFileExists(t, svg)
	r = bordon(t, append(again, "--overwrite")...)
	require.Equal(t, done, r.status, r.errOut)
	b, err = os.ReadFile(html)
	require.NoError(t, err)
	assert.NotContains(t, string(b), "D major")

	// The cejilla of all, and a section in the parallel minor.
	r = bordon(t, "line", "--sheet", "-k", "G", "--cejilla", "2", "--form", "alegrias/silencio")
	assert.Contains(t, r.out, "G minor")
	assert.Contains(t, r.out, "cejilla 2, sounds A minor")
}

// A line that is written with notes is in the first key, and the others have
// its degrees; a named one is each key's own.
func TestSheetMovesItsLine(t *testing.T) {
	both := bordon(t, "line", "--sheet", "--keys", "G,F", "7:B2 8:A2 9:F#2 10:G2")
	require.Equal(t, done, both.status, both.errOut)
	_, inF, _ := strings.Cut(both.out, "F major")
	alone := bordon(t, "line", "--sheet", "-k", "F", "7:3 8:2 9:7 10:1")
	for _, place := range []string{">A</text>", ">G</text>", ">E</text>", ">F</text>"} {
		assert.Contains(t, inF, place)
		assert.Contains(t, alone.out, place)
	}
	assert.Equal(t, strings.Count(alone.out, "guitarString"), strings.Count(inF, "guitarString")+2, "its definitions")
	best := bordon(t, "line", "--sheet", "--keys", "D,F")
	assert.Contains(t, best.out, "the best line of each key")
}

func TestSheetOfTheirOwn(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	for name, text := range map[string]string{
		"lines/evening.lines": "line first-walk\nkey G\nplay 7:B2 8:A2 9:F#2 10:G2\n",
		"forms/rumba.form":    "form rumba\ntitle <b>rumba & cía\nbeats 4\ncounted tac ta <i> ta\naccents 2 4\nchords 1:5+7 3:1\nline 1:3 2:7 3:1\n",
	} {
		path := filepath.Join(xdg.ConfigHome, "bordon", name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	r := bordon(t, "line", "--sheet", "-k", "F", "first-walk")
	require.Equal(t, done, r.status, r.errOut)
	assert.Contains(t, r.out, "line first-walk")
	r = bordon(t, "line", "--sheet", "-k", "F", "--form", "rumba")
	require.Equal(t, done, r.status, r.errOut)
	assert.Contains(t, r.out, "&lt;b&gt;rumba &amp; cía")
	assert.Contains(t, r.out, "&lt;i&gt;")
	assert.NotContains(t, r.out, "<b>")
	assert.Contains(t, r.out, ">TA</text>")
}

func TestSheetRefuses(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		args   []string
		status int
		says   string
	}{
		{[]string{"--sheet"}, wrong, "there is no key"},
		{[]string{"-k", "G", "--out", "x.html"}, wrong, "--out is of --sheet"},
		{[]string{"--keys", "G"}, wrong, "--keys is of --sheet"},
		{[]string{"--sheet", "-k", "G", "--keys", "F"}, wrong, "both name keys"},
		{[]string{"--sheet", "-k", "G", "--count", "3"}, wrong, "--count does not go with --sheet"},
		{[]string{"--sheet", "--from", "G", "--to", "F"}, wrong, "--from does not go with --sheet"},
		{[]string{"--sheet", "-k", "G", "--out", "x.pdf"}, wrong, "end it in .html or .svg"},
		{[]string{"--sheet", "-k", "G", "--out", "x"}, wrong, "end it in .html or .svg"},
		{[]string{"-k", "G", "--count-from", "12"}, wrong, "--count-from is of --sheet"},
		{[]string{"--sheet", "-k", "G", "--count-from", "13"}, wrong, "a count from 13 is not usable; alegrías has the beats 1 to 12"},
		{[]string{"--sheet", "-k", "G", "--count-from", "x"}, wrong, "a beat of the form, such as 12"},
		{[]string{"--sheet", "--keys", "G,"}, wrong, `"" is no key`},
		{[]string{"--sheet", "--keys", "G capo 3"}, wrong, `"G capo 3" is no key; write one such as G, or G cejilla 3`},
		{[]string{"--sheet", "--keys", "G cejilla x"}, wrong, `"x" is no fret`},
		{[]string{"--sheet", "--keys", "G cejilla 13"}, wrong, "must be 0 to 12"},
		{[]string{"--sheet", "--keys", "H"}, wrong, "H"},
		{[]string{"--sheet", "--keys", strings.Repeat("G,", 60) + "G"}, wrong, "at most 48 keys"},
		{[]string{"--sheet", "-k", "G", "best", "usual"}, wrong, "there are 2 lines"},
		{[]string{"--sheet", "-k", "G", "7:B2 7:A2"}, wrong, "stands twice"},
		{[]string{"--sheet", "-k", "G", "7+1/95:B2 7+1/2:A2"}, failed, "more notes than a sheet can show"},
		{[]string{"--sheet", "-k", "G", "--out", filepath.Join(dir, "none", "x.html")}, failed, "cannot write "},
	} {
		r := bordon(t, append([]string{"line"}, c.args...)...)
		assert.Equal(t, c.status, r.status, "%v: %s", c.args, r.errOut)
		assert.Contains(t, r.errOut, c.says, "%v", c.args)
		assert.Equal(t, 1, strings.Count(r.errOut, "\n"), "%v: one sentence", c.args)
		assert.Empty(t, r.out)
	}
	assert.Contains(t, bordon(t, "line", "--help").out, "bordon line --sheet -k G --out sheet.html")
	assert.Contains(t, bordon(t, "__complete", "line", "--sheet", "--keys", "").out, "por-medio")
	assert.Contains(t, bordon(t, "__complete", "line", "--sheet", "--out", "").out, "svg")
}

func TestSheetInSpanish(t *testing.T) {
	r := bordon(t, "line", "--sheet", "--language", "es", "--keys", "D,G", "7:3 8:2 9:7 10:1")
	require.Equal(t, done, r.status, r.errOut)
	for _, part := range []string{"línea 7:3", "Re mayor", ">nueve<", ">DIEZ<", ">un<", ">DOS<", ">Fa♯<"} {
		assert.Contains(t, r.out, part)
	}
	letters := bordon(t, "line", "--sheet", "--language", "es", "--note-names", "letters", "-k", "D", "7:3 8:2 9:7 10:1")
	assert.Contains(t, letters.out, ">F♯<")
	for _, args := range [][]string{{"--sheet"}, {"-k", "G", "--out", "x.html"}, {"--sheet", "-k", "G", "--out", "x.pdf"}, {"--sheet", "-k", "G", "--count-from", "13"},
		{"--sheet", "--keys", "G,"}, {"--sheet", "-k", "G", "7+1/95:B2 7+1/2:A2"}, {"--sheet", "-k", "G", "--count", "2"}} {
		english, spanish := bordon(t, append([]string{"line"}, args...)...), bordon(t, append([]string{"line", "--language", "es"}, args...)...)
		assert.Equal(t, english.status, spanish.status)
		assert.NotEqual(t, english.errOut, spanish.errOut, "%v", args)
		for _, word := range []string{" the ", " is ", " its ", " and "} {
			assert.NotContains(t, spanish.errOut, word, "%v", args)
		}
	}
}
