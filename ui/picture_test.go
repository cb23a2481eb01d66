package ui

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The picture that the README shows is the one that is drawn of the golden
// screen, and the screen is held by its own test.
func TestReadmeShowsTheScreen(t *testing.T) {
	const name = "screen-80x24-dark"
	dir := t.TempDir()
	said, err := exec.Command("go", "run", "./testdata/picture", dir, filepath.Join("testdata", name+".golden")).CombinedOutput()
	require.NoError(t, err, string(said))
	drawn, err := os.ReadFile(filepath.Join(dir, name+".svg"))
	require.NoError(t, err)
	shown, err := os.ReadFile(filepath.Join("picture", name+".svg"))
	require.NoError(t, err)
	assert.Equal(t, string(drawn), string(shown), "make pictures draws it anew")
	assert.Less(t, len(shown), 10_000)
	readme, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	assert.Contains(t, string(readme), "](ui/picture/"+name+".svg)")
}
