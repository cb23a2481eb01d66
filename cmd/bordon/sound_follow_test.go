package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A player with no pulse is found on the screen, shown where they are, and told
// at the end how steady it was.
func TestSoundFollow(t *testing.T) {
	inRoom(t)
	mic, played := freeMicrophone(t, "constant", 2)
	dir := t.TempDir()
	wav := filepath.Join(dir, "played.wav")
	require.NoError(t, os.WriteFile(wav, wav16(demoRate, mic.samples), 0o644))
	command := built(t) + " listen --follow -k " + played.Key + " --form " + played.Form + " -l '" + played.Line + "'"
	s := openTerminal(t, 90, 30, command, own(dir))
	s.until("WHO-ITU")
	s.tmux("send-keys", "Enter")
	s.until("is being looked for")
	require.NoError(t, exec.Command("paplay", wav).Start())
	s.until("You are in turn 2, beat ")
	shown := s.until("You are in turn 3, beat ")
	assert.Contains(t, shown, "your own pulse")
	s.until("You are in turn 4, beat 10.")
	s.tmux("send-keys", "q")
	last := s.until("The last turn is")
	assert.Contains(t, last, "The compás was found in the sound")
	assert.Contains(t, last, "notes right")
}
