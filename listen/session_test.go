package listen

import (
	"math"
	"testing"

	"bordon/dsp"
	"bordon/listen/match"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSession(t *testing.T) {
	s, events := hearFake(t, scenario(t), twoTurns(), at(3, 1), 1000)
	var words []match.Word
	var extras, provisional int
	var scores []Event
	for _, e := range events {
		switch e.Kind {
		case Final:
			assert.False(t, e.Verdict.Provisional)
			words = append(words, e.Verdict.Pitch)
		case Provisional:
			assert.True(t, e.Verdict.Provisional)
			provisional++
		case ExtraNote:
			extras++
			assert.Equal(t, 48, e.Extra.Heard.MIDI)
		case TurnScore:
			scores = append(scores, e)
		}
	}
	assert.Equal(t, []match.Word{"right", "right", "right", "right", "right", "out-of-scale", "right", "missing"}, words)
	assert.Equal(t, 1, provisional, "B flat was shown before it was final")
	assert.Equal(t, 1, extras)
	require.Len(t, scores, 3)
	assert.Equal(t, 1, scores[0].Turn)
	assert.Equal(t, 4, scores[0].Score.Judged)
	assert.Equal(t, 2, scores[1].Turn)
	assert.Equal(t, 8, scores[1].Score.Judged)
	assert.Zero(t, scores[2].Turn, "at the end")
	assert.Equal(t, scores[1].Score, scores[2].Score)
	assert.Equal(t, s.Score(), scores[2].Score)
	assert.Equal(t, at(3, 1), s.Heard())
}

func TestSessionChunkSizeNeverMatters(t *testing.T) {
	total := at(2, 9) // cut off in the second turn
	want, wantEvents := hearFake(t, scenario(t), twoTurns(), total, 64)
	assert.Len(t, want.Check("").Beats, 4)
	assert.Empty(t, want.Check("").Extra, "nothing of the turn that was cut off counts")
	first, last := want.CutOff()
	assert.Equal(t, [2]int{2, 2}, [2]int{first, last}, "of which something was told")
	for _, chunk := range []int{1, 441, 4096, 5000, int(total)} {
		got, events := hearFake(t, scenario(t), twoTurns(), total, chunk)
		assert.Equal(t, want.Check("take.wav"), got.Check("take.wav"), "chunks of %d", chunk)
		assert.Equal(t, wantEvents, events, "chunks of %d", chunk)
	}
}

// A turn's verdicts count once its score was given: what was told of one that
// the end cuts off is in no score.
func TestATurnThatIsCutOffGetsNoScore(t *testing.T) {
	s, events := hearFake(t, scenario(t), twoTurns(), at(2, 9), 441)
	told := map[int]int{}
	var scored []int
	for _, e := range events {
		switch e.Kind {
		case Final:
			told[e.Verdict.Turn]++
		case TurnScore:
			scored = append(scored, e.Turn)
			assert.Equal(t, 4, e.Score.Judged)
		}
	}
	assert.Equal(t, map[int]int{1: 4, 2: 2}, told)
	assert.Equal(t, []int{1, 0}, scored)
	assert.Equal(t, 4, s.Score().Judged)

	whole, _ := hearFake(t, scenario(t), twoTurns(), at(3, 1), 441)
	first, last := whole.CutOff()
	assert.Zero(t, first+last)
	quiet, _ := hearFake(t, scenario(t), nil, at(2, 7), 441)
	first, last = quiet.CutOff()
	assert.Zero(t, first+last, "nothing was told of the second turn")
}

func TestEventsStayValid(t *testing.T) {
	s, err := newSession(scenario(t), testRate, &fakeEar{notes: twoTurns()})
	require.NoError(t, err)
	var kept []Event
	for range 140 {
		for _, e := range s.Write(make([]float32, 4800)) {
			if e.Kind == Final && e.Verdict.Heard != nil {
				kept = append(kept, e)
			}
		}
	}
	require.Len(t, kept, 7)
	for i, midi := range []int{47, 45, 42, 43, 47, 46, 42} {
		assert.Equal(t, midi, kept[i].Verdict.Heard.MIDI)
	}
}

func TestLostSamplesAreSilence(t *testing.T) {
	ear := &fakeEar{notes: twoTurns()}
	s, err := newSession(scenario(t), testRate, ear)
	require.NoError(t, err)
	s.Write(ones(1000))
	events := s.Lose(10000)
	require.NotEmpty(t, events)
	assert.Equal(t, Event{Kind: GapFound, Gap: Gap{At: 1000, Lost: 10000}}, events[0])
	assert.EqualValues(t, 11000, s.Heard())
	assert.EqualValues(t, 11000, ear.heard)
	assert.Equal(t, 1000.0, ear.sum)
	assert.Empty(t, s.Lose(0))
	assert.Empty(t, s.Lose(-5))
	assert.Equal(t, []Gap{{1000, 10000}}, s.Gaps())
}

func ones(n int) []float32 {
	x := make([]float32, n)
	for i := range x {
		x[i] = 1
	}
	return x
}

func TestNoNumbersAreHeardAsSilence(t *testing.T) {
	ear := &fakeEar{}
	s, err := newSession(scenario(t), testRate, ear)
	require.NoError(t, err)
	in := []float32{0.5, float32(math.NaN()), float32(math.Inf(1)), float32(math.Inf(-1)), 0.25}
	s.Write(in)
	assert.Equal(t, 0.75, ear.sum)
	assert.True(t, math.IsNaN(float64(in[1])), "the caller's samples stay as they are")
	rms, peak, clipped := s.Level()
	assert.InDelta(t, 20*math.Log10(0.25), rms, 1e-9) // sqrt((0.25+0.0625)/5) = 0.25
	assert.InDelta(t, 20*math.Log10(0.5), peak, 1e-9)
	assert.False(t, clipped)
}

func TestCloseEndsTheSession(t *testing.T) {
	s, _ := hearFake(t, scenario(t), twoTurns(), at(3, 1), 4096)
	before := s.Check("")
	assert.Empty(t, s.Close())
	assert.Empty(t, s.Write(make([]float32, 100)))
	assert.Empty(t, s.Lose(100))
	assert.Equal(t, before, s.Check(""))
}

func TestLevel(t *testing.T) {
	s, err := newSession(scenario(t), testRate, &fakeEar{})
	require.NoError(t, err)
	rms, peak, clipped := s.Level()
	assert.Equal(t, -120.0, rms)
	assert.Equal(t, -120.0, peak)
	assert.False(t, clipped)

	sine := make([]float32, testRate)
	for i := range sine {
		sine[i] = float32(0.5 * math.Sin(2*math.Pi*440*float64(i)/testRate))
	}
	s.Write(sine)
	rms, peak, clipped = s.Level()
	// A sine of amplitude 0.5: -6.02 dB peak, 3.01 dB less in RMS. The window
	// is 290 to 300 ms, whole periods to within one.
	assert.InDelta(t, -9.03, rms, 0.02)
	assert.InDelta(t, -6.02, peak, 0.01)
	assert.False(t, clipped)

	s.Write([]float32{1, 0, 1, 1, 0})
	_, peak, clipped = s.Level()
	assert.InDelta(t, 0, peak, 1e-9)
	assert.False(t, clipped, "full scale was touched, not held")
	s.Write([]float32{-1, -1, -1})
	_, _, clipped = s.Level()
	assert.True(t, clipped)
	s.Write(make([]float32, testRate*3/10))
	rms, _, clipped = s.Level()
	assert.False(t, clipped, "0.3 s later it is forgotten")
	assert.Equal(t, -120.0, rms)
}

func TestNewSessionRefuses(t *testing.T) {
	tests := []struct {
		name   string
		change func(*Settings)
		rate   int
		want   string
	}{
		{"no key", func(s *Settings) { s.Key = theory.Key{} }, testRate, "there is no key; give one such as G"},
		{"no form", func(s *Settings) { s.Form = theory.Form{} }, testRate, "there is no form; give one such as alegrias"},
		{"no line", func(s *Settings) { s.Line = theory.Line{} }, testRate, "there is no line; give one such as 7:3"},
		{"a line of another key", func(s *Settings) { s.Key.Tonic.Letter = 'D' }, testRate, "the line was read in G and the key is D"},
		{"a line of another form", func(s *Settings) { s.Form.Beats = 4 }, testRate, "a form of 12 beats and the form has 4"},
		{"no tempo", func(s *Settings) { s.Tempo = 0 }, testRate, "a tempo of 0 beats a minute is not usable; it must be 20 to 400"},
		{"first beat nowhere", func(s *Settings) { s.FirstBeat = math.NaN() }, testRate, "a first beat at NaN seconds"},
		{"cejilla off the neck", func(s *Settings) { s.Cejilla = 13 }, testRate, "a cejilla at fret 13 is not usable; it must be 0 to 12"},
		{"cejilla behind the nut", func(s *Settings) { s.Cejilla = -1 }, testRate, "a cejilla at fret -1"},
		{"no concert pitch", func(s *Settings) { s.A4 = 0 }, testRate, "a concert pitch of 0 Hz is not usable; it must be 415 to 466"},
		{"concert pitch that is no number", func(s *Settings) { s.A4 = math.NaN() }, testRate, "a concert pitch of NaN Hz"},
		{"no tolerance", func(s *Settings) { s.Tolerance = "" }, testRate, `tolerance "" is unknown; it must be learning or performing`},
		{"a delay of a minute", func(s *Settings) { s.Delay = 60000 }, testRate, "a delay of 60000 ms is not usable; it must be within 2000 ms"},
		{"a delay that is no number", func(s *Settings) { s.Delay = math.NaN() }, testRate, "a delay of NaN ms"},
		{"turns below none", func(s *Settings) { s.Turns = -1 }, testRate, "-1 turns cannot be judged"},
		{"one sample a second", func(s *Settings) {}, 1, "a rate of 1 samples a second is not usable; it must be 8000 to 192000"},
		{"beyond what is heard", func(s *Settings) {
			s.Line, _ = theory.ParseLine("8:E5 10:1", s.Key, s.Form, theory.Standard)
		}, testRate, "beat 8 asks for E5, which sounds as MIDI 76"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			set := scenario(t)
			tt.change(&set)
			_, err := NewSession(set, tt.rate)
			require.ErrorContains(t, err, tt.want)
			assert.NotContains(t, err.Error(), "\n", "one sentence")
		})
	}
}

func TestTheEarIsTunedToTheCejillaAndTheLine(t *testing.T) {
	set := scenario(t)
	set.Cejilla = 3
	assert.Equal(t, dsp.EarConfig{Rate: testRate, A4: 440, Lowest: 43, Highest: 57}, set.hearing(testRate))
	set.Line, _ = theory.ParseLine("8:G3 10:1", set.Key, set.Form, theory.Standard)
	assert.Equal(t, 58, set.hearing(testRate).Highest, "as high as the line goes")
}
