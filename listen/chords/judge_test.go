package chords

import (
	"testing"

	"bordon/dsp"
	"bordon/fixtures"
	"bordon/fixtures/fluid"
	"bordon/listen/grid"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heard judges the chords of a take whose grid is given.
func heard(t *testing.T, spec fixtures.Spec, in fixtures.Instrument) []Verdict {
	t.Helper()
	take, err := fixtures.Generate(spec)
	require.NoError(t, err)
	x, err := in.Render(take, rate)
	require.NoError(t, err)
	c, err := dsp.NewChroma(rate, 440)
	require.NoError(t, err)
	var frames []dsp.ChromaFrame
	for i := 0; i < len(x); i += 4096 {
		frames = append(frames, c.Write(x[i:min(i+4096, len(x))])...)
	}
	frames = append(frames, c.Flush()...)
	key, err := theory.ParseKey(take.Key)
	require.NoError(t, err)
	form, err := theory.LookupForm(take.Form)
	require.NoError(t, err)
	line, err := theory.ParseLine(take.Line, key, form, theory.Standard)
	require.NoError(t, err)
	beats, err := grid.New(rate, take.Tempo, take.FirstBeat, form.Lengths)
	require.NoError(t, err)
	cfg := Config{Rate: rate, Key: key, Form: form, Line: line, Cejilla: take.Cejilla, Beats: beats, End: int64(len(x))}
	for _, n := range take.Truth {
		if n.MIDI != 0 {
			cfg.Thumbs = append(cfg.Thumbs, Thumb{Onset: int64(n.Time * rate), MIDI: n.MIDI})
		}
	}
	return Judge(cfg, frames)
}

// The scenario holds the form's chords throughout, with mistakes of the thumb
// alone: that a chord was another, or came early or late, is hardly ever said.
func TestScenarioHoldsItsChords(t *testing.T) { scenarioHolds(t, fixtures.Synthesised{}) }

// The same on strings that are not ours and that nothing was learned from.
func TestScenarioHoldsItsChordsOnASampledGuitar(t *testing.T) {
	var in fluid.Instrument
	if err := in.Available(); err != nil {
		t.Skip(err)
	}
	scenarioHolds(t, in)
}

func scenarioHolds(t *testing.T, in fixtures.Instrument) {
	right, accused, all := 0, 0, 0
	for _, spec := range fixtures.Specs() {
		for _, v := range heard(t, spec, in) {
			all++
			switch {
			case v.Word == Wrong, v.When == Early, v.When == Late:
				accused++
				t.Logf("%s, turn %d, beat %d: %s for %s, %s", spec.Name, v.Turn, v.Beat, v.Heard, v.Asked, v.When)
			case v.Word == Right:
				right++
			}
		}
	}
	assert.LessOrEqual(t, accused, all/100, "what is promised")
	t.Logf("%d of %d right", right, all)
	assert.Greater(t, right, all/2, "most of them are strummed")
}

func TestVerdictsAreWhereTheFormChanges(t *testing.T) {
	said := heard(t, fixtures.Spec{Name: "two turns", Key: "G", Tempo: 104, FirstBeat: 1, Turns: 2, Strums: true,
		Texture: fixtures.Rolled, Cejilla: 3, Hand: fixtures.Steady, Guitar: draw(1).Guitar, Seed: 1}, fixtures.Synthesised{})
	require.Len(t, said, 4)
	for i, want := range []struct {
		turn, beat int
		asked      string
	}{{1, 3, "D7"}, {1, 10, "G"}, {2, 3, "D7"}, {2, 10, "G"}} {
		v := said[i]
		assert.Equal(t, want.turn, v.Turn)
		assert.Equal(t, want.beat, v.Beat)
		assert.Equal(t, want.asked, v.Asked.String(), "as fingered")
		assert.Equal(t, Right, v.Word)
		assert.Equal(t, want.asked, v.Heard.String())
		assert.InDelta(t, (1+float64(12*(want.turn-1)+want.beat-1)*60/104)*rate, float64(v.Time), 1)
	}
}

// A thumb alone is accused of no chord.
func TestNoChordsAreNotJudged(t *testing.T) {
	for _, v := range heard(t, fixtures.Spec{Name: "bare", Key: "G", Tempo: 104, FirstBeat: 1, Turns: 4, Hand: fixtures.Steady, Guitar: draw(1).Guitar, Seed: 1}, fixtures.Synthesised{}) {
		assert.NotEqual(t, Wrong, v.Word, "turn %d, beat %d", v.Turn, v.Beat)
	}
	key, err := theory.ParseKey("G")
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	cfg := Config{Rate: rate, Key: key, Form: form, Beats: grid.Fixed{Rate: rate, Tempo: 104}, End: 10 * rate}
	assert.Empty(t, Judge(cfg, nil))
	quiet := make([]dsp.ChromaFrame, 200)
	for i := range quiet {
		quiet[i].At = int64(i) * 1024
	}
	for _, v := range Judge(cfg, quiet) {
		assert.Equal(t, Unsure, v.Word)
		assert.Empty(t, v.Heard.Tones)
		assert.Zero(t, v.Confidence)
	}
	form, err = theory.LookupForm("free:1")
	require.NoError(t, err)
	cfg.Form = form
	assert.Empty(t, Judge(cfg, quiet), "it changes no chord")
}
