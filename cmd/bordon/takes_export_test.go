package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures/schema"
	"bordon/listen/take"
)

// A take is exported in all formats, or in one, and what is there stays.
func TestExport(t *testing.T) {
	s := newShelf(t)
	id := s.record()
	s.good("takes", "overrule", "last", "2", "8", "right", "--why", "=it was A")
	folder := t.TempDir()
	var want []string
	for _, ending := range []string{".mid", ".musicxml", ".csv", ".json"} {
		want = append(want, filepath.Join(folder, id+ending))
	}
	assert.Equal(t, want, strings.Fields(s.good("takes", "export", "last", "--out", folder)))
	begins := map[string]string{".mid": "MThd", ".musicxml": "<?xml", ".csv": "take,key,", ".json": "{\n"}
	for _, path := range want {
		b, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(string(b), begins[filepath.Ext(path)]), "%s: %.20q", path, b)
		st, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o644), st.Mode().Perm())
	}

	// The page of the lesson, in each format.
	score, err := os.ReadFile(want[1])
	require.NoError(t, err)
	for _, said := range []string{"<work-title>alegrías, G major</work-title>", "<words>you say: right</words>", "<words>no bass</words>"} {
		assert.Contains(t, string(score), said)
	}
	assert.Regexp(t, `<words>1\d\d ms late</words>`, string(score), "let go 110 ms late; the ear has some ms of its own")
	rows, err := csv.NewReader(strings.NewReader(s.good("takes", "export", "last", "--format", "csv", "--out", "-"))).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 17)
	shown := s.good("takes", "export", "last", "--format", "json", "--out", "-")
	require.NoError(t, schema.Validate(schema.Show, []byte(shown)))
	assert.NotContains(t, shown, s.takes, "where the takes lie is not told")
	var of struct{ Player take.Player }
	require.NoError(t, json.Unmarshal([]byte(shown), &of))
	assert.Len(t, of.Player.Rulings, 1)

	// Nothing that is there is replaced unless that is asked for, and then it is
	// all or nothing.
	require.NoError(t, os.WriteFile(want[2], []byte("mine"), 0o600))
	require.NoError(t, os.Remove(want[0]))
	status, out, errOut := s.run("takes", "export", "last", "--out", folder)
	assert.Equal(t, failed, status)
	assert.Empty(t, out)
	assert.Contains(t, errOut, "--overwrite")
	assert.NoFileExists(t, want[0])
	b, err := os.ReadFile(want[2])
	require.NoError(t, err)
	assert.Equal(t, "mine", string(b))
	s.good("takes", "export", "last", "--out", folder, "--overwrite")
	assert.FileExists(t, want[0])
	b, err = os.ReadFile(want[2])
	require.NoError(t, err)
	assert.NotEqual(t, "mine", string(b))

	one := filepath.Join(folder, "lesson.mid")
	assert.Equal(t, one+"\n", s.good("takes", "export", id, "--format", "midi", "--out", one))
	require.NoError(t, os.Symlink(want[1], filepath.Join(folder, "link.csv")))

	for _, tt := range []struct {
		name string
		args []string
		want int
		says string
	}{
		{"no take", nil, wrong, "too little"},
		{"two takes", []string{"last", "last"}, wrong, "too much"},
		{"no such take", []string{"2031"}, failed, "there is no take"},
		{"no such format", []string{"last", "--format", "pdf"}, wrong, "midi"},
		{"several into one file", []string{"last", "--out", one}, wrong, "no folder"},
		{"several to standard output", []string{"last", "--out", "-"}, wrong, "no folder"},
		{"no such folder", []string{"last", "--format", "csv", "--out", filepath.Join(folder, "none", "x.csv")}, failed, "cannot write"},
		{"through a link", []string{"last", "--format", "csv", "--out", filepath.Join(folder, "link.csv"), "--overwrite"}, failed, "not a plain file"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			status, out, errOut := s.run(append([]string{"takes", "export"}, tt.args...)...)
			assert.Equal(t, tt.want, status, errOut)
			assert.Contains(t, errOut, tt.says)
			assert.Empty(t, out)
		})
	}
}

// The name of a take makes the name of a file, whatever it is.
func TestExportedNames(t *testing.T) {
	for id, name := range map[string]string{
		"2030-01-31T18-05-07-G": "2030-01-31T18-05-07-G", "..": "take", ".": "take", "a/b": "a-b", `c:\d`: "c--d", "\x1b[31mx": "[31mx", "-rf": "rf",
		"bad\xff": "bad-", "alegrías": "alegrías", " x. ": "x",
	} {
		assert.Equal(t, name, fileName(id), "%q", id)
	}
}
