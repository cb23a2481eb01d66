//go:build unix

package main

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/config"
)

// A pipe in the place of a file is refused, not waited for.
func TestPipesAreNotWaitedFor(t *testing.T) {
	home := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", home)
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	pipe := func(name string) string {
		path := filepath.Join(home, "bordon", name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
		require.NoError(t, syscall.Mkfifo(path, 0o600))
		return path
	}
	_, file := scenarioTake(t, "g-right")
	class := inFolder(t, map[string][]byte{"lucia-G-104-first1.wav": file})
	out := t.TempDir()
	require.NoError(t, syscall.Mkfifo(filepath.Join(out, indexName), 0o600))
	require.NoError(t, syscall.Mkfifo(filepath.Join(class, "pipe.csv"), 0o600))
	require.NoError(t, syscall.Mkfifo(filepath.Join(class, "pipe.wav"), 0o600))
	form, lines := pipe("forms/x.form"), pipe("lines/mine.lines")
	for _, c := range []struct {
		name string
		args []string
		said string
	}{
		{"a form", []string{"line", "-k", "G", "--form", "x"}, form + " is no plain file"},
		{"a file of lines", []string{"check", "-k", "G", "-t", "104", "--first-beat", "1", "-l", "my-walk", filepath.Join(class, "lucia-G-104-first1.wav")}, lines},
		{"a manifest", []string{"check", "--summary", "--manifest", filepath.Join(class, "pipe.csv"), class}, "not a plain file"},
		{"a recording", []string{"check", "-k", "G", filepath.Join(class, "pipe.wav")}, "pipe.wav"},
		{"the index of a class", []string{"check", "--summary", "--out", out, class}, "not of a class"},
	} {
		ended := make(chan result, 1)
		go func() { ended <- bordon(t, c.args...) }()
		select {
		case r := <-ended:
			assert.NotEqual(t, done, r.status, c.name)
			assert.Contains(t, r.errOut+r.out, c.said, c.name)
		case <-time.After(time.Minute): // it waits for ever, or it does not
			t.Fatalf("%s: it waits for a pipe", c.name)
		}
	}
	_, err := config.Load(pipe("config.toml"))
	assert.ErrorContains(t, err, "it is not a plain file")
}
