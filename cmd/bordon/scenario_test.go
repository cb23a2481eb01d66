package main

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures"
	"bordon/fixtures/fluid"
	"bordon/listen"
	"bordon/listen/match"
)

// verdicts counts what was said of takes whose truth is known.
type verdicts struct {
	said, agree    int
	right, accused int // right notes, and those called wrong or missing
	wrong, letOff  int // notes of a wrong pitch, and those called right
	played, named  int // bass notes, and those heard as what they were
}

func (v *verdicts) count(b listen.Beat, n fixtures.TruthNote) (mark string) {
	want := wordOf(n)
	v.said++
	if n.MIDI != 0 {
		v.played++
		// A landing's chord sounds its tonic in several octaves.
		if b.Heard != nil && b.Pitch != match.Unsure && (b.Heard.MIDI == n.MIDI || n.Chord && b.Pitch == match.Right) {
			v.named++
		}
	}
	if want == match.Right {
		v.right++
	} else if n.MIDI != 0 {
		v.wrong++
	}
	switch {
	case b.Pitch == want:
		v.agree++
		return ""
	case b.Pitch == match.Unsure:
		return "  <-"
	case want == match.Right:
		v.accused++
		return "  <- accused"
	case b.Pitch == match.Right && n.MIDI != 0:
		v.letOff++
		return "  <- let off"
	}
	return "  <-"
}

// judged checks the scenario's takes, played by an instrument, from the command
// line, as any recording is.
func judged(t *testing.T, in fixtures.Instrument) (v verdicts) {
	t.Helper()
	if testing.Short() {
		t.Skip("a share of few notes says nothing")
	}
	takes, err := fixtures.Scenario()
	require.NoError(t, err)
	for _, take := range takes {
		x, err := in.Render(take, demoRate)
		require.NoError(t, err)
		dir := inFolder(t, map[string][]byte{"take.wav": wav16(demoRate, x)})
		r := bordon(t, append(append([]string{"check", "--format", "json"}, flagsOf(take)...), filepath.Join(dir, "take.wav"))...)
		require.Equal(t, done, r.status, r.errOut)
		var c listen.Check
		require.NoError(t, json.Unmarshal([]byte(r.out), &c))
		truth := map[string]fixtures.TruthNote{}
		for _, n := range take.Truth {
			if n.Mistake != fixtures.Extra {
				truth[ftoa(float64(n.Turn))+"/"+n.Beat] = n
			}
		}
		for _, b := range c.Beats {
			n, ok := truth[ftoa(float64(b.Turn))+"/"+b.Beat]
			if !ok { // before the recording began
				continue
			}
			heard := "-"
			if b.Heard != nil {
				heard = b.Heard.Name
			}
			mark := v.count(b, n)
			t.Logf("%-24s turn %d beat %-3s played %-12s said %-12s heard %-4s%s", take.Name, n.Turn, n.Beat, wordOf(n), b.Pitch, heard, mark)
		}
	}
	t.Logf("%d of %d verdicts as played; %d of %d bass notes named; %d of %d right notes accused; %d of %d wrong ones let off",
		v.agree, v.said, v.named, v.played, v.accused, v.right, v.letOff, v.wrong)
	require.NotZero(t, v.said)
	return v
}

// hold holds the floors of the scenario: of 100 bass notes at least 95 are
// named, which is what the ear is for, and as many words are as played; a
// right note is accused once in 50 at most. When this was written, of the takes
// synthesised here 349 of 355 notes were named, none of 341 accused, one of 14
// let off; on the sampled guitar 346, one and none.
func (v verdicts) hold(t *testing.T) {
	t.Helper()
	assert.GreaterOrEqual(t, float64(v.named)/float64(v.played), 0.95, "named")
	assert.GreaterOrEqual(t, float64(v.agree)/float64(v.said), 0.95, "words as played")
	assert.LessOrEqual(t, float64(v.accused)/float64(v.right), 0.02, "accused")
	assert.LessOrEqual(t, v.letOff, 2, "let off")
}

func TestCheckSynthesisedTakes(t *testing.T) {
	judged(t, fixtures.Synthesised{}).hold(t)
}

// The same takes as Standard MIDI Files on FluidSynth's sampled nylon guitar
// (General MIDI program 25, counted from 1). That guitar is not of our making:
// its notes may disagree with us, and the table says where.
func TestCheckFluidSynthTakes(t *testing.T) {
	in := fluid.Instrument{}
	if err := in.Available(); err != nil {
		t.Skip(err)
	}
	judged(t, in).hold(t)
}
