package cue_test

import (
	"math"
	"testing"

	"bordon/dsp"
	"bordon/listen/audio/cue"
	"bordon/listen/practice"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const rate = 48000

// pips counts the sounds between silences, and measures how high they are by
// how often they cross zero.
func pips(x []float32) (count int, hz float64) {
	crossings, loud, quiet := 0, 0, rate
	for i, v := range x {
		if math.Abs(float64(v)) < 1e-3 {
			quiet++
			continue
		}
		if quiet > rate/50 {
			count++
		}
		quiet = 0
		loud++
		if i > 0 && (v > 0) != (x[i-1] > 0) {
			crossings++
		}
	}
	return count, float64(crossings) / 2 / float64(loud) * rate
}

// Three sounds that are told apart without looking: by number, and by an octave
// in height.
func TestTold(t *testing.T) {
	heights := map[int]float64{}
	for o, want := range map[practice.Outcome]int{practice.Clean: 1, practice.Late: 2, practice.Wrong: 3} {
		x := cue.Told(o, rate)
		n, hz := pips(x)
		assert.Equal(t, want, n)
		heights[n] = hz
		top := float32(0)
		for _, v := range x {
			top = max(top, v, -v)
		}
		assert.Less(t, top, float32(0.15), "quiet: 16 dB below full scale")
		assert.Less(t, len(x), rate/2, "short")
		assert.Zero(t, x[0])
	}
	assert.Greater(t, heights[1], 1.9*heights[2])
	assert.Greater(t, heights[2], 1.9*heights[3])
	assert.Nil(t, cue.Told(practice.NotJudged, rate))
}

// What is played is what was asked: the ear hears the walk, on its beats.
func TestLineIsHeardAsItself(t *testing.T) {
	key, err := theory.ParseKey("G")
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	line, err := theory.ParseLine("7:B2 8:A2 9:F#2 10:G2", key, form, theory.Standard)
	require.NoError(t, err)
	const cejilla = 3
	x, err := cue.Line(line, 1, cejilla, 440, rate, func(p theory.Position) float64 { return 0.5 + 0.6*(p.Offset(12)-6) })
	require.NoError(t, err)
	ear, err := dsp.NewEar(dsp.EarConfig{Rate: rate, A4: 440, Lowest: dsp.LowestMIDI, Highest: dsp.HighestMIDI})
	require.NoError(t, err)
	heard := map[int]int{}
	notes := append(append([]dsp.Note(nil), ear.Write(x)...), ear.Flush()...)
	for _, n := range notes {
		if !n.Last || n.Began < 0.5 {
			continue
		}
		best := 0
		for i, l := range n.Likelihood {
			if l > n.Likelihood[best] {
				best = i
			}
		}
		i := int(math.Round((float64(n.Onset)/rate - 0.5) / 0.6))
		heard[i] = dsp.LowestMIDI + best
	}
	right := 0
	for i, it := range line.Items {
		if heard[i] == it.Choices[0].Note.MIDI()+cejilla {
			right++
		}
	}
	assert.GreaterOrEqual(t, right, 3, "the ear may miss one: %v", heard)
	none, err := cue.Line(line, 2, 0, 440, rate, nil)
	require.NoError(t, err)
	assert.Nil(t, none, "the line asks for nothing in a second turn")
}
