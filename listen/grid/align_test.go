package grid_test

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"testing"

	"bordon/dsp"
	"bordon/listen/grid"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const rate = 8000

// player makes evidence as a sure ear would hear it.
type player struct {
	rng  *rand.Rand
	line theory.Line
	e    grid.Evidence
	at   []float64 // seconds of the beats played
	beat []int     // of the turn, from 0
}

func newPlayer(t testing.TB, form string, seed uint64) *player {
	t.Helper()
	key, err := theory.ParseKey("G")
	require.NoError(t, err)
	f, err := theory.LookupForm(form)
	require.NoError(t, err)
	line, err := theory.DefaultLine(key, f, theory.Standard)
	require.NoError(t, err)
	return &player{rng: rand.New(rand.NewPCG(seed, 1)), line: line, e: grid.Evidence{Rate: rate}}
}

func (p *player) plan(t testing.TB) *grid.Plan {
	t.Helper()
	plan, err := grid.NewPlan(p.line, 0)
	require.NoError(t, err)
	return plan
}

// note is heard at a time, midi 0 for a strum.
func (p *player) note(at float64, midi int) {
	n := dsp.Note{Onset: int64(at * rate), Last: true, Level: -25}
	if midi > 0 {
		n.Began, n.Likelihood[midi-dsp.LowestMIDI] = 0.98, 1
	} else {
		n.Strum = 0.98
		for i := range n.Likelihood {
			n.Likelihood[i] = 1.0 / dsp.Pitches
		}
	}
	p.e.Notes = append(p.e.Notes, n)
}

// asked is the note that the line asks for on a beat of the turn, from 0; 0
// for none.
func (p *player) asked(beat int) int {
	for _, it := range p.line.Items {
		if it.Position.Beat == beat+1 {
			return it.Choices[0].Note.MIDI()
		}
	}
	return 0
}

// play plays beats from one of the turn on, the first at a time, each lasting
// what length says; change may make another note of one: a MIDI pitch, 0 for a
// strum, -1 for nothing, and how much too late.
func (p *player) play(at float64, from, beats int, length func(n int) float64, change func(n, midi int) (int, float64)) {
	for n := range beats {
		beat := (from + n) % p.line.Form.Beats
		p.at, p.beat = append(p.at, at), append(p.beat, beat)
		midi, late := p.asked(beat), 0.0
		if change != nil {
			midi, late = change(n, midi)
		}
		if midi >= 0 {
			p.note(at+late+0.006*p.rng.NormFloat64(), midi)
		}
		at += length(n)
	}
	p.e.Length = int64((at + 1) * rate)
}

func even(seconds float64) func(int) float64 { return func(int) float64 { return seconds } }

// check holds an alignment against what was played: every beat within 50 ms,
// with its place in the turn; the jitter of the hand is 6 ms, a frame is 10.
func (p *player) check(t *testing.T, a *grid.Alignment) {
	t.Helper()
	var got []grid.Knot
	for _, s := range a.Segments {
		got = append(got, s.Beats...)
	}
	require.Len(t, got, len(p.at))
	for i, k := range got {
		assert.InDelta(t, p.at[i], k.Sample/rate, 0.05, "beat %d of all", i)
		assert.Equal(t, p.beat[i], int(k.Beat)%p.line.Form.Beats, "beat %d of all", i)
	}
}

func TestAlignFindsTheCompas(t *testing.T) {
	slow := func(n int) float64 { return 0.55 * math.Pow(1.1, float64(n)/48) } // a tenth over the take
	sway := func(n int) float64 { return 0.6 / (1 + 0.15*math.Sin(2*math.Pi*float64(n)/12)) }
	breath := func(n int) float64 {
		if n%12 == 11 {
			return 0.6 + 0.7
		}
		return 0.6
	}
	wrong := func(n, midi int) (int, float64) {
		switch n {
		case 7, 20: // a wrong note
			return 51, 0
		case 9, 31: // none
			return -1, 0
		case 18: // a note far too late
			return midi, 0.11
		case 33: // and one too early
			return midi, -0.11
		}
		return midi, 0
	}
	bare := func(n, midi int) (int, float64) {
		if midi == 0 {
			return -1, 0
		}
		return midi, 0
	}
	for name, tt := range map[string]struct {
		form   string
		from   int
		beats  int
		length func(int) float64
		change func(n, midi int) (int, float64)
	}{
		"even":                         {"alegrias", 0, 48, even(0.577), nil},
		"from the middle of a turn":    {"alegrias", 6, 42, even(0.6), nil},
		"slower by a tenth":            {"alegrias", 0, 48, slow, nil},
		"rubato":                       {"solea", 0, 48, sway, nil},
		"a breath before each turn":    {"alegrias", 0, 48, breath, nil},
		"wrong, missing and off notes": {"alegrias", 0, 48, even(0.577), wrong},
		"the same with rubato":         {"alegrias", 0, 48, sway, wrong},
		"the line alone":               {"alegrias", 0, 48, even(0.577), bare},
		"fast":                         {"bulerias", 0, 96, even(0.27), nil},
		"four beats":                   {"tangos", 0, 32, even(0.4), nil},
	} {
		t.Run(name, func(t *testing.T) {
			p := newPlayer(t, tt.form, 7)
			p.play(1.3, tt.from, tt.beats, tt.length, tt.change)
			a, err := grid.Align(&p.e, p.plan(t), grid.Options{})
			require.NoError(t, err)
			p.check(t, a)
			assert.Greater(t, a.Confidence, 0.95)
		})
	}
}

// Beats of two and three eighths are found by the form's own lengths.
func TestAlignFindsUnevenBeats(t *testing.T) {
	p := newPlayer(t, "seguiriyas", 3)
	p.play(0.8, 0, 25, func(n int) float64 { return 0.4 * float64(p.line.Form.Length(n%5+1)) }, nil)
	a, err := grid.Align(&p.e, p.plan(t), grid.Options{})
	require.NoError(t, err)
	p.check(t, a)
	assert.InDelta(t, 150, a.Tempo, 1.5, "eighths a minute; the hand's jitter over 25 beats")
}

// A start broken off, a silence, and a start in the middle of a turn are two
// stretches.
func TestAlignFindsSegments(t *testing.T) {
	p := newPlayer(t, "alegrias", 5)
	p.play(1, 0, 20, even(0.577), nil)
	p.play(18, 5, 31, even(0.6), nil)
	a, err := grid.Align(&p.e, p.plan(t), grid.Options{})
	require.NoError(t, err)
	require.Len(t, a.Segments, 2)
	p.check(t, a)
	assert.Equal(t, 24.0+5, a.Segments[1].Beats[0].Beat, "the second begins a turn of its own")
	// The grid goes through all of them.
	for _, s := range a.Segments {
		for _, k := range s.Beats {
			assert.InDelta(t, k.Sample, a.Grid.Sample(k.Beat), 1)
		}
	}
}

// What is given is kept to.
func TestAlignKeepsToWhatIsGiven(t *testing.T) {
	p := newPlayer(t, "alegrias", 5)
	p.play(1.3, 0, 48, even(0.577), nil)
	a, err := grid.Align(&p.e, p.plan(t), grid.Options{Tempo: 100})
	require.NoError(t, err)
	p.check(t, a)
	a, err = grid.Align(&p.e, p.plan(t), grid.Options{FirstBeat: 1.3 + 12*0.577, FirstKnown: true})
	require.NoError(t, err)
	require.NotEmpty(t, a.Segments)
	first := a.Segments[0].Beats[0]
	assert.Equal(t, 0.0, first.Beat)
	assert.InDelta(t, 1.3+12*0.577, first.Sample/rate, 0.05, "the hand's jitter and a frame")
}

// Nothing is made of what is not the form.
func TestAlignFindsNothingInOtherThings(t *testing.T) {
	for name, play := range map[string]func(p *player){
		"silence":   func(p *player) {},
		"one strum": func(p *player) { p.note(3, 0) },
		"notes at random": func(p *player) {
			for at := 0.5; at < 28; at += 0.15 + 0.9*p.rng.Float64() {
				p.note(at, 40+p.rng.IntN(14))
			}
		},
		"a scale in time": func(p *player) {
			for i := range 40 {
				p.note(1+0.5*float64(i), []int{40, 42, 43, 45, 47, 48, 50, 52}[i%8])
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			p := newPlayer(t, "alegrias", 11)
			play(p)
			p.e.Length = 30 * rate
			a, err := grid.Align(&p.e, p.plan(t), grid.Options{})
			require.NoError(t, err)
			assert.Empty(t, a.Segments)
			assert.Nil(t, a.Grid)
		})
	}
}

// The same strum on every beat says nothing of where the turn begins: then no
// reading is sure.
func TestAlignDoesNotPickWhatCannotBeTold(t *testing.T) {
	p := newPlayer(t, "tangos", 11)
	for i := range 60 {
		p.note(1+0.45*float64(i), 0)
	}
	p.e.Length = 30 * rate
	a, err := grid.Align(&p.e, p.plan(t), grid.Options{})
	require.NoError(t, err)
	for _, s := range a.Segments {
		assert.Less(t, s.Confidence, grid.Sure)
		require.Len(t, s.Readings, 2)
	}
}

func TestAlignRefuses(t *testing.T) {
	p := newPlayer(t, "alegrias", 1)
	plan := p.plan(t)
	p.e.Length = rate
	for want, o := range map[string]grid.Options{
		"a tempo of 3 beats":        {Tempo: 3},
		"a tempo of NaN beats":      {Tempo: math.NaN()},
		"a first beat at +Inf":      {FirstBeat: math.Inf(1), FirstKnown: true},
		"must be within 86400 seco": {FirstBeat: -1e9, FirstKnown: true},
	} {
		_, err := grid.Align(&p.e, plan, o)
		assert.ErrorContains(t, err, want)
	}
	p.e.Rate = 0
	_, err := grid.Align(&p.e, plan, grid.Options{})
	assert.ErrorContains(t, err, "a rate of 0")
}

// Whatever is heard, beats come one after the other and nothing breaks.
func FuzzAlign(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18})
	seed := make([]byte, 6*60)
	for i := range 60 {
		binary.LittleEndian.PutUint16(seed[6*i:], uint16(4600*i))
		seed[6*i+2], seed[6*i+3] = 250, byte(40+i%12)
	}
	f.Add(seed)
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 6*200 {
			return
		}
		p := newPlayer(t, []string{"alegrias", "seguiriyas", "tangos"}[len(data)%3], 1)
		at := int64(0)
		for ; len(data) >= 6; data = data[6:] {
			at += int64(binary.LittleEndian.Uint16(data))
			n := dsp.Note{Onset: at - 1000, Last: true, Began: float64(data[2]) / 250, Strum: float64(data[4]) / 200, Level: float64(data[5]) - 200}
			n.Likelihood[int(data[3])%dsp.Pitches] = 1
			if data[5] == 255 {
				n.Began, n.Level, n.Likelihood[0] = math.NaN(), math.Inf(-1), math.NaN()
			}
			p.e.Notes = append(p.e.Notes, n)
			c := grid.Chroma{At: at}
			c.Classes[data[3]%12], c.Classes[data[4]%12] = float32(data[5]), -1
			p.e.Chroma = append(p.e.Chroma, c)
		}
		p.e.Length = min(at, 60*rate)
		a, err := grid.Align(&p.e, p.plan(t), grid.Options{})
		require.NoError(t, err)
		last := grid.Knot{Beat: -1, Sample: math.Inf(-1)}
		for _, s := range a.Segments {
			require.True(t, s.Confidence >= 0 && s.Confidence <= 1, "confidence %v", s.Confidence)
			for _, k := range s.Beats {
				require.Greater(t, k.Beat, last.Beat)
				require.Greater(t, k.Sample, last.Sample)
				last = k
			}
		}
	})
}
