package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A line is written for other programs in a key, by name, or moved.
func TestLineForOtherPrograms(t *testing.T) {
	for _, args := range [][]string{
		{"line", "-k", "F"}, {"line", "-k", "F", "usual"}, {"line", "-k", "G", "--cejilla", "3", "7:3 8:2|4 9:7 10:1"},
		{"line", "--from", "D", "--to", "F", "7:3 8:2 9:7 10:1"}, {"line", "-k", "por-medio", "--form", "seguiriyas", "usual"},
	} {
		r := bordon(t, append(args, "--format", "midi")...)
		require.Equal(t, done, r.status, r.errOut)
		assert.True(t, bytes.HasPrefix([]byte(r.out), []byte("MThd")), "%v", args)
		r = bordon(t, append(args, "--format", "musicxml")...)
		require.Equal(t, done, r.status, r.errOut)
		assert.Contains(t, r.out, "<score-partwise version=\"4.0\">", "%v", args)
		assert.NotContains(t, r.out, "heard", "nobody has played")

		// xmllint reads it against the schema of MusicXML 4.0 that the
		// environment names.
		schema := os.Getenv("BORDON_MUSICXML_XSD")
		if _, err := exec.LookPath("xmllint"); schema == "" || err != nil {
			continue
		}
		path := filepath.Join(t.TempDir(), "line.musicxml")
		require.NoError(t, os.WriteFile(path, []byte(r.out), 0o644))
		cmd := exec.Command("xmllint", "--nonet", "--noout", "--schema", schema, path)
		cmd.Env = append(os.Environ(), "XML_CATALOG_FILES="+filepath.Join(filepath.Dir(schema), "catalog.xml"))
		out, err := cmd.CombinedOutput()
		assert.NoError(t, err, "%v: %s", args, out)
	}
	r := bordon(t, "line", "-k", "F", "9:9", "--format", "midi")
	assert.NotEqual(t, done, r.status)
	assert.Empty(t, r.out)
}
