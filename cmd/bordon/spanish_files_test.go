package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is wrong in the player's own files is said in their language, place and
// all.
func TestOwnFilesInSpanish(t *testing.T) {
	home := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", home)
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	folder := filepath.Join(home, "bordon", "forms")
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "dir.form"), 0o700))
	english := regexp.MustCompile(`\b(the|there|is|are|no such|it|must|write|such as|wants|with|of|and|takes|has|column|asks)\b`)
	told := func(args ...string) string {
		t.Helper()
		r := bordonIn(t, map[string]string{"LANG": "es_ES.UTF-8"}, args...)
		assert.NotEqual(t, done, r.status, args)
		said := strings.ReplaceAll(r.errOut, home, "")
		assert.Empty(t, english.FindAllString(said, -1), said)
		return said
	}
	for _, text := range []string{
		"", "beats 4", "form x", "form x\nform y", "form X!", "form", "form x\nbeats", "form x\nbeats 99", "form x\nbeats 4 4", "form x\naccents 2",
		"form x\nbeats 4\nbeats 4", "form x\nbeats 4\naccents 2 9", "form x\nbeats 4\naccents 3 2", "form x\nbeats 4\nlengths 2 2", "form x\nbeats 4\nlengths 2 2 2 99",
		"form x\nbeats 4\ncounted 1 2", "form x\nbeats 4\ncounted 1 2 3 treinta-y-tres-y-un-tercio-de-una-cuenta-larga", "form x\nbeats 4\ntempo 1000", "form x\nbeats 4\nunit a b",
		"form x\nbeats 4\nkey G", "form x\nbeats 4\nchords 9:1", "form x\nbeats 4\nchords 2:9", "form x\nbeats 4\nchords 2:5 1:1", "form x\nbeats 4\nruns 3-1",
		"form x\nbeats 4\ntitle", "form x\nbeats 4\nspeed 3", "form x\nbeats 4\nsection a\nsection a", "form x\nbeats 4\naccents 2\nsection a\naccents 1\nbeats 5",
		"form x\nbeats 4\nline 1:Q", "form x\nbeats 4\n\xff", "form y\nbeats 4", "form x\nbeats 4\n" + strings.Repeat("# comment\n", 10000),
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "x.form"), []byte(text), 0o600))
		assert.Contains(t, told("line", "-k", "G", "--form", "x"), "archivo de forma", text)
	}
	told("line", "-k", "G", "--form", "dir")

	file := filepath.Join(home, "own.lines")
	for _, text := range []string{
		"", "play 7:3", "line Walk", "line a b", "line a\nline a", "line a\nspeed 3", "line a\ntitle", "line a\nexact yes", "line a\nkey H\nplay 7:3", "line a\nform waltz",
		"line a\nplay 7:B2", "line a\nkey G\nplay 13:B2", "line a\nkey G\nplay 7:Q", "line a\nkey G\nplay 7:B2\nheld 8:6/2", "line a\nkey G\nplay 7:B2\nheld 7:6/2",
		"line a\nkey G\nplay 7:B2\nheld 7:9/2", "line a\nkey G\nplay 7:B2\nheld 7:5/99", "line a\nkey G\nplay 7:B2\nheld 7:5/2/9", "line a\nkey G\nplay 7:B2\nheld 7",
		"line a\nkey G\nplay 7:B2\nheld 7:5/2 7:5/2", "line a\nplay 7:3\nheld 7:5/2", "line a\nplay 7:3\nplay 7:3", "line a\nplay 7", "line a", "line a\n\xff",
		"line a\nplay 7:3\nline b\nplay 7:3", "line a\nkey G\nkey G",
	} {
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		assert.Contains(t, told("check", "-k", "G", "-t", "96", "--first-beat", "1", "-l", file, "x.wav"), "archivo", text)
	}
}
