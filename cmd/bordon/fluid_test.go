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

// The scenario's takes, played as Standard MIDI Files on FluidSynth's sampled
// nylon guitar (General MIDI program 25, counted from 1), are checked by the
// command line as any recording is. That guitar is not of our making: its notes
// may disagree with us, and the table says where.
func TestCheckFluidSynthTakes(t *testing.T) {
	in := fluid.Instrument{}
	if err := in.Available(); err != nil {
		t.Skip(err)
	}
	takes, err := fixtures.Scenario()
	require.NoError(t, err)
	total, agree, accused := 0, 0, 0
	for _, take := range takes {
		if testing.Short() && take.Name != "g-mistakes" && take.Name != "b-flat-mistakes" {
			continue
		}
		x, err := in.Render(take, demoRate)
		require.NoError(t, err)
		dir := inFolder(t, map[string][]byte{"take.wav": wav16(demoRate, x)})
		r := bordon(t, append(append([]string{"check", "--format", "json"}, flagsOf(take)...), filepath.Join(dir, "take.wav"))...)
		require.Equal(t, done, r.status, r.errOut)
		var c listen.Check
		require.NoError(t, json.Unmarshal([]byte(r.out), &c))
		truth := map[string]fixtures.TruthNote{}
		for _, n := range take.Truth {
			truth[ftoa(float64(n.Turn))+"/"+n.Beat] = n
		}
		for _, b := range c.Beats {
			n, ok := truth[ftoa(float64(b.Turn))+"/"+b.Beat]
			if !ok {
				continue
			}
			want, heard := wordOf(n), "-"
			if b.Heard != nil {
				heard = b.Heard.Name
			}
			mark := ""
			total++
			switch {
			case b.Pitch == want:
				agree++
			case want == match.Right && b.Pitch != match.Unsure:
				accused++
				mark = "  <- accused"
			default:
				mark = "  <-"
			}
			t.Logf("%-20s turn %d beat %-3s played %-12s said %-12s heard %-4s%s", take.Name, n.Turn, n.Beat, want, b.Pitch, heard, mark)
		}
	}
	t.Logf("%d of %d verdicts as played; %d right notes accused", agree, total, accused)
	require.NotZero(t, total)
	// A floor below what was measured (337 of 368, 14 accused), so that an ear
	// that hears this guitar worse is noticed. Raise it with the ear.
	assert.GreaterOrEqual(t, float64(agree)/float64(total), 0.9)
	assert.LessOrEqual(t, float64(accused)/float64(total), 0.05)
}
