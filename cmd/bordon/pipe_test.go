package main

import (
	"bytes"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A reader that goes away ends the program by an exit status and in silence,
// not by a signal that leaves a take half kept.
func TestAPipeThatCloses(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program")
	}
	program := built(t)
	for _, args := range [][]string{{"demo", "--fast"}, {"demo", "--fast", "--format", "json"}, {"--help"}} {
		out, in, err := os.Pipe()
		require.NoError(t, err)
		require.NoError(t, out.Close())
		var errOut bytes.Buffer
		cmd := exec.Command(program, args...)
		cmd.Stdout, cmd.Stderr = in, &errOut
		cmd.Run()
		require.NoError(t, in.Close())
		assert.True(t, cmd.ProcessState.Exited(), "%v: %v", args, cmd.ProcessState)
		assert.NotContains(t, errOut.String(), "bordon:")
	}
}
