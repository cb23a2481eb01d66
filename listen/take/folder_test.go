package take

import (
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var started = time.Date(2025, 3, 9, 18, 5, 7, 0, time.UTC)

func TestNewFolder(t *testing.T) {
	root := filepath.Join(t.TempDir(), "not", "yet")
	for _, c := range []struct{ key, want string }{
		{"G", "2025-03-09T18-05-07-G"},
		{"G", "2025-03-09T18-05-07-G-2"},
		{"G", "2025-03-09T18-05-07-G-3"},
		{"F#m", "2025-03-09T18-05-07-F#m"},
		{"por-medio", "2025-03-09T18-05-07-por-medio"},
		{"../../x y:z\xff", "2025-03-09T18-05-07-------x-y-z"},
		{"", "2025-03-09T18-05-07"},
	} {
		dir, err := NewFolder(root, started, c.key)
		require.NoError(t, err)
		assert.Equal(t, filepath.Join(root, c.want), dir)
		assert.DirExists(t, dir)
	}
}

func TestNewFolderDefault(t *testing.T) {
	home := t.TempDir()
	t.Setenv("XDG_DATA_HOME", home)
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	dir, err := NewFolder("", started, "Bb")
	require.NoError(t, err)
	assert.Equal(t, filepath.Join(home, "bordon", "takes", "2025-03-09T18-05-07-Bb"), dir)
}

func TestNewFolderFails(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o644))
	_, err := NewFolder(file, started, "G")
	assert.ErrorContains(t, err, "cannot make the folder of the takes")
}

func TestWriteJSON(t *testing.T) {
	path := filepath.Join(t.TempDir(), JSONName)
	require.NoError(t, WriteJSON(path, map[string]int{"turn": 1}))
	require.NoError(t, WriteJSON(path, map[string]int{"turn": 2}))
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "{\n  \"turn\": 2\n}\n", string(b))
	st, err := os.Stat(path)
	require.NoError(t, err)
	if os.PathSeparator == '/' { // elsewhere modes are another matter
		assert.Equal(t, os.FileMode(0o644), st.Mode())
	}

	assert.ErrorContains(t, WriteJSON(path, math.NaN()), "cannot write")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, b, after, "a failed write changes nothing")
	assert.ErrorContains(t, WriteJSON(filepath.Join(path, "below"), 1), "cannot write")
	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	assert.Len(t, entries, 1, "no temporary file stays")
}
