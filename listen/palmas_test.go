package listen_test

import (
	"context"
	"io"
	"testing"

	"bordon/fixtures"
	mix "bordon/fixtures/room"
	"bordon/listen"
	"bordon/listen/audio/pulse"
	"bordon/listen/grid"
	"bordon/listen/match"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The pulse as the microphone hears it is not a note, and moves no verdict:
// takes with the pulse mixed in at 30, 20 and 10 dB below the guitar, on the
// beats and between them.
func TestThePulseMovesNoVerdict(t *testing.T) {
	const rate = 44100
	if testing.Short() {
		t.Skip("it hears sixteen takes")
	}
	specs := fixtures.Specs()
	changed, notes, extras := map[float64]int{}, map[float64]int{}, map[float64]int{}
	for _, spec := range specs[:min(4, len(specs))] {
		spec.Turns = 4
		if len(spec.Mistakes) > 0 {
			spec.Mistakes = spec.Mistakes[:0:0]
		}
		take, err := fixtures.Generate(spec)
		require.NoError(t, err)
		key, err := theory.ParseKey(take.Key)
		require.NoError(t, err)
		form, err := theory.LookupForm(take.Form)
		require.NoError(t, err)
		line, err := theory.ParseLine(take.Line, key, form, theory.Standard)
		require.NoError(t, err)
		set := listen.Settings{Key: key, Form: form, Line: line, LineText: take.Line, Tempo: take.Tempo, FirstBeat: take.FirstBeat,
			Cejilla: take.Cejilla, A4: take.A4, Tolerance: match.Learning, DelayKnown: true}
		guitar, err := take.Render(rate)
		require.NoError(t, err)
		g, err := grid.NewFixed(rate, take.Tempo, take.FirstBeat)
		require.NoError(t, err)
		p, err := pulse.New(pulse.Config{Rate: rate, Form: form, Grid: g, CountIn: 6, Style: pulse.Style{Contratiempo: true}})
		require.NoError(t, err)
		palmas := make([]float32, len(guitar))
		p.Render(palmas, 0)
		level := mix.Loudness(guitar, rate) / mix.Loudness(palmas, rate)

		hear := func(x []float32) *listen.Session {
			s, err := listen.NewSession(set, rate)
			require.NoError(t, err)
			require.NoError(t, listen.Run(context.Background(), &live{samples: x, rate: rate}, nil, s, nil))
			return s
		}
		alone := hear(guitar)
		for _, db := range []float64{-30, -20, -10} {
			x := append([]float32(nil), guitar...)
			mix.Mix(x, palmas, level*mix.Decibels(db))
			with := hear(x)
			require.Equal(t, len(alone.Verdicts()), len(with.Verdicts()))
			extras[db] += len(with.Extras()) - len(alone.Extras())
			for i, v := range alone.Verdicts() {
				w := with.Verdicts()[i]
				notes[db]++
				if v.Pitch != w.Pitch || v.Timing != w.Timing {
					changed[db]++
					t.Logf("%s at %g dB, turn %d beat %v: %s %s became %s %s", spec.Name, db, v.Turn, v.Item.Position, v.Pitch, v.Timing, w.Pitch, w.Timing)
					assert.False(t, accuses(w.Pitch) && !accuses(v.Pitch), "nobody is accused of the pulse")
				}
			}
		}
	}
	for _, db := range []float64{-30, -20, -10} {
		t.Logf("%g dB: %d of %d verdicts changed, %+d extra notes", db, changed[db], notes[db], extras[db])
		// A note that the ear just swears to may fall short of it.
		assert.LessOrEqual(t, changed[db], notes[db]/50, "at %g dB", db)
		assert.LessOrEqual(t, extras[db], 0, "at %g dB", db)
	}
}

func accuses(w match.Word) bool {
	return w == match.Octave || w == match.InScale || w == match.OutOfScale || w == match.Missing
}

// live gives samples as they are.
type live struct {
	samples []float32
	rate    int
}

func (l *live) Rate() int { return l.rate }

func (l *live) Read(_ context.Context, dst []float32) (int, int64, error) {
	n := copy(dst, l.samples)
	if l.samples = l.samples[n:]; len(l.samples) == 0 {
		return n, 0, io.EOF
	}
	return n, 0, nil
}
