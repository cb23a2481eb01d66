package main

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/match"
	"bordon/listen/take"
)

// On the page of a take, and at the end of one that is played again, the
// player overrules the ear; it is kept, and shown from then on.
func TestOverruledOnThePage(t *testing.T) {
	if testing.Short() {
		t.Skip("it plays in real time")
	}
	dir := t.TempDir()
	s := &shelf{t, filepath.Join(dir, "bordon", "takes"), t.TempDir()}
	id := s.record()
	program := built(t)
	rulings := func() []take.Ruling {
		kept, err := take.Load(filepath.Join(s.takes, id))
		require.NoError(t, err)
		for i := range kept.Player.Rulings {
			kept.Player.Rulings[i].At = ""
		}
		return kept.Player.Rulings
	}

	w := openTerminal(t, 80, 24, program+" takes show last", own(dir))
	w.until("v overrule")
	w.tmux("send-keys", "v")
	// The last mistake of the built-in performance: its fourth turn has no bass on 8.
	w.until("turn 4, beat 8: the ear said no bass. What was it?")
	w.tmux("send-keys", "r")
	w.until("you say: right")
	w.tmux("send-keys", "Up", "Up", "u")
	t.Logf("the page:\n%s", w.until("you say cannot be told"))
	w.tmux("send-keys", "q")
	after := w.until("status 0")
	assert.Contains(t, after, "you say", "the page stays on the terminal")
	w.restored()
	want := []take.Ruling{
		{Turn: 2, Beat: "8", Pitch: match.Unsure, Ear: match.OutOfScale},
		{Turn: 4, Beat: "8", Pitch: match.Right, Ear: match.Missing},
	}
	assert.Equal(t, want, rulings())

	again := openTerminal(t, 80, 40, program+" takes again last", own(dir))
	again.until("the take is over")
	again.until("you say: right")
	again.tmux("send-keys", "v")
	// Of what was not overruled no pitch is wrong: the last verdict is chosen.
	again.until("turn 4, beat 10: the ear said right.")
	again.tmux("send-keys", "Left", "Left", "e")
	again.until("turn 4, beat 8: the ear said no bass. What was it?")
	again.tmux("send-keys", "q")
	again.until("status 0")
	assert.Equal(t, want[:1], rulings(), "the player's word was taken back")
}
