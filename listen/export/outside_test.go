package export_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"bordon/listen/export"

	"github.com/stretchr/testify/require"
)

// python is Debian's, which has the packages that read what is exported.
const python = "/usr/bin/python3"

// read lets a script of Python's read a file and decodes what it prints.
func read(t *testing.T, module, script, path string, into any) {
	t.Helper()
	if err := exec.Command(python, "-c", "import "+module).Run(); err != nil {
		t.Skipf("%s has no %s: %v", python, module, err)
	}
	cmd := exec.Command(python, "-c", script, path)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	require.NoError(t, err, errs.String())
	require.NoError(t, json.Unmarshal(out, into), string(out))
}

// file writes what is exported into a file of its own.
func file(t *testing.T, name string, b []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, b, 0o644))
	return path
}

func midiOf(t *testing.T, p export.Piece) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, p.MIDI(&b, plainWords))
	return b.Bytes()
}

func musicXMLOf(t *testing.T, p export.Piece) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, p.MusicXML(&b, plainWords))
	return b.Bytes()
}

func csvOf(t *testing.T, p export.Piece) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, p.CSV(&b))
	return b.Bytes()
}
