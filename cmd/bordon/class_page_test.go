package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/class"
)

func TestClassPages(t *testing.T) {
	dir, took := classFolder(t)
	out := filepath.Join(t.TempDir(), "pages")
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	r := bordon(t, "check", "--summary", "--line", "usual", "--out", out, dir)
	assert.Equal(t, failed, r.status)
	assert.Contains(t, r.errOut, filepath.Join(out, "index.html"))
	assert.Contains(t, r.errOut, "A student's recording is theirs: ask before you keep it or send it.")
	left, err := os.ReadDir(temp)
	require.NoError(t, err)
	assert.Empty(t, left, "no copy of a recording stays behind")
	entries, err := os.ReadDir(out)
	require.NoError(t, err)
	assert.Len(t, entries, len(took)+1, "a page for each that was judged, and the index")
	for _, e := range entries {
		info, err := e.Info()
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o644), info.Mode(), "whoever serves or sends it can read it")
	}
	index, err := os.ReadFile(filepath.Join(out, "index.html"))
	require.NoError(t, err)
	for file := range took {
		page, err := os.ReadFile(filepath.Join(out, pageName(file)))
		require.NoError(t, err)
		html := string(page)
		assert.Contains(t, string(index), `href="`+pageName(file)+`"`)
		assert.Contains(t, html, "the student&#39;s: ask before you keep it or send it")
		assert.Contains(t, html, `"clips":{`, "its sound is in it")
		assert.NotContains(t, html, "takes overrule", "there is no take to overrule")
		assert.Equal(t, 2, strings.Count(html, "<script"))
		for _, elsewhere := range []string{"http:", "https:", "src=", "@import", "url(", "<script>alert", "\u202e", "\u200f", temp, dir} {
			assert.NotContains(t, html, elsewhere, file)
			assert.NotContains(t, string(index), elsewhere)
		}
		for other := range took {
			if other != file {
				student, _, _ := strings.Cut(other, "-")
				assert.NotContains(t, html, student, "nobody else's name is on a student's page")
			}
		}
	}
	assert.NotContains(t, string(index), "<script")

	// The table is written anew from what was merged, with links to the pages.
	sheet := bordon(t, "check", "--summary", "--line", "usual", "--format", "json", dir).out
	require.NoError(t, os.Remove(filepath.Join(out, "index.html")))
	parts := filepath.Join(t.TempDir(), "parts.json")
	require.NoError(t, os.WriteFile(parts, []byte(sheet), 0o644))
	bordon(t, "check", "--summary", "--merge", "--out", out, parts)
	again, err := os.ReadFile(filepath.Join(out, "index.html"))
	require.NoError(t, err)
	assert.Equal(t, string(index), string(again))

	// What is somebody else's is not written over.
	require.NoError(t, os.WriteFile(filepath.Join(out, "index.html"), []byte("<title>My guitar</title>"), 0o644))
	r = bordon(t, "check", "--summary", "--merge", "--out", out, parts)
	assert.Equal(t, failed, r.status)
	assert.Contains(t, r.errOut, "not of a class")
	mine, err := os.ReadFile(filepath.Join(out, "index.html"))
	require.NoError(t, err)
	assert.Equal(t, "<title>My guitar</title>", string(mine))
}

func TestPageName(t *testing.T) {
	assert.Equal(t, "lucia-G-104.m4a.html", pageName("lucia-G-104.m4a"))
	seen := map[string]string{}
	for _, file := range []string{"lucia.m4a", "lucia.wav", "a b.wav", "a_b.wav", "a\nb.wav", "a/b.wav", "index", "INDEX", ".hidden", "..", "%2e%2e.wav", "a#b.wav", "asb.wav",
		hostileName, strings.Repeat("x", 10000), strings.Repeat("x", 10001), "niña.wav", "nin\u0303a.wav", "javascript:alert(1)"} {
		name := pageName(file)
		assert.Empty(t, seen[name], "%q and %q have one page", file, seen[name])
		seen[name] = file
		assert.Regexp(t, `^[A-Za-z0-9_-][A-Za-z0-9._-]*\.html$`, name)
		assert.Less(t, len(name), 200, "file systems take 255 bytes")
		assert.False(t, strings.EqualFold(name, indexName))
	}
}

func TestClassUsage(t *testing.T) {
	dir := inFolder(t, map[string][]byte{"a.wav": wav16(48000, make([]float32, 4800)), "bad.json": []byte("{"), "bad.csv": []byte("file,speed\n")})
	empty := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	tests := []struct {
		name   string
		args   []string
		status int
		says   string
	}{
		{"csv of no class", []string{"-k", "D", "-t", "96", "--format", "csv", in("a.wav")}, wrong, "add --summary"},
		{"pages of no class", []string{"-k", "D", "-t", "96", "--out", "x", in("a.wav")}, wrong, "add --summary"},
		{"no folder", []string{"--summary"}, wrong, "no folder"},
		{"nothing to merge", []string{"--summary", "--merge"}, wrong, "nothing to merge"},
		{"a manifest to merge", []string{"--summary", "--merge", "--manifest", "x", "y"}, wrong, "leave one of them out"},
		{"two folders", []string{"--summary", dir, empty}, wrong, "a folder among others"},
		{"files of two folders", []string{"--summary", in("a.wav"), filepath.Join(empty, "a.wav")}, wrong, "of one folder"},
		{"a key that is none, for all", []string{"--summary", "-k", "H", dir}, wrong, `key "H"`},
		{"a cejilla that is none, for all", []string{"--summary", "--cejilla", "30", dir}, wrong, "30"},
		{"an empty folder", []string{"--summary", empty}, failed, "no recording"},
		{"no such manifest", []string{"--summary", "--manifest", in("none.csv"), dir}, failed, "none.csv"},
		{"a manifest with another column", []string{"--summary", "--manifest", in("bad.csv"), dir}, failed, `no column "speed"; the columns are`},
		{"a manifest that is a folder", []string{"--summary", "--manifest", empty, dir}, failed, "not a plain file"},
		{"a part that is none", []string{"--summary", "--merge", in("bad.json")}, failed, "bad.json"},
		{"a part that is a folder", []string{"--summary", "--merge", dir}, failed, "it is a folder"},
		{"a part that is not there", []string{"--summary", "--merge", in("none.json")}, failed, "none.json"},
		{"nothing on standard input", []string{"--summary", "--merge", "-"}, failed, "no class in it"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := bordon(t, append([]string{"check"}, tt.args...)...)
			assert.Equal(t, tt.status, r.status, r.errOut)
			assert.Empty(t, r.out)
			assert.Equal(t, 1, strings.Count(r.errOut, "\n"), "one sentence: %q", r.errOut)
			assert.Contains(t, r.errOut, tt.says)
		})
	}
}

func TestClassRowsThatAreWrong(t *testing.T) {
	tests := []struct{ column, value, says string }{
		{"key", "H", `key "H"`}, {"key", strings.Repeat("x", 900), "key"}, {"cejilla", "three", "no fret"}, {"cejilla", "30", "30"},
		{"tempo", "fast", "no number"}, {"tempo", "NaN", "no number"}, {"tempo", "1e999", "no number"}, {"tempo", "5", "20"},
		{"first-beat", "Inf", "no number"}, {"form", "waltz", "waltz"}, {"line", "13:A2", "13"},
	}
	manifest := "file,key,tempo,first-beat,cejilla,form,line\n"
	files := map[string][]byte{}
	for i, tt := range tests {
		cells := []string{fmt.Sprintf("%02d.wav", i), "G", "104", "1", "0", "alegrias", "usual"}
		cells[slices.Index([]string{"file", "key", "tempo", "first-beat", "cejilla", "form", "line"}, tt.column)] = tt.value
		manifest += strings.Join(cells, ",") + "\n"
		files[cells[0]] = wav16(48000, make([]float32, 4800))
	}
	files[class.ManifestName] = []byte(manifest)
	r := bordon(t, "check", "--summary", "--format", "json", inFolder(t, files))
	assert.Equal(t, failed, r.status)
	s := sheetOf(t, r.out)
	require.Len(t, s.Rows, len(tests))
	for i, tt := range tests {
		assert.Nil(t, s.Rows[i].Score)
		assert.Contains(t, s.Rows[i].Error, tt.says, "%v", tt)
		assert.Less(t, len(s.Rows[i].Error), 400)
		assert.NotContains(t, s.Rows[i].Error, "\n")
	}
}
