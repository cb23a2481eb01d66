//go:build unix && !nomic

package audio

import (
	"io"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

func TestQuiet(t *testing.T) {
	// Descriptor 2 becomes a pipe for the length of the test.
	own, err := unix.Dup(2)
	require.NoError(t, err)
	defer unix.Close(own)
	r, w, err := os.Pipe()
	require.NoError(t, err)
	require.NoError(t, unix.Dup2(int(w.Fd()), 2))
	w.Close()

	say := func(s string) { unix.Write(2, []byte(s)) }
	say("a")
	outer := Quiet()
	say("b")
	inner := Quiet()
	say("c")
	inner()
	inner() // twice is once
	say("d")
	outer()
	say("e")
	require.NoError(t, unix.Dup2(own, 2)) // closes the pipe's last writer
	got, err := io.ReadAll(r)
	require.NoError(t, err)
	assert.Equal(t, "ae", string(got))
}
