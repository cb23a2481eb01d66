package listen_test

import (
	"context"
	"testing"

	mix "bordon/fixtures/room"
	"bordon/listen"
	"bordon/listen/audio/pulse"
	"bordon/listen/grid"
	"bordon/listen/match"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Claps have no pitch: a pulse that the microphone hears in a room without a
// guitar says nothing of its tuning.
func TestThePulseHasNoTuning(t *testing.T) {
	const rate = 48000
	key, err := theory.ParseKey("G")
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	line, err := theory.ParseLine("7:B2 8:A2 9:F#2 10:G2", key, form, theory.Standard)
	require.NoError(t, err)
	for _, tempo := range []float64{60, 104, 160, 240} {
		for _, between := range []bool{false, true} {
			for _, db := range []float64{0, -30} {
				set := listen.Settings{Key: key, Form: form, Line: line, Tempo: tempo, FirstBeat: 6, A4: 440, Tolerance: match.Learning}
				g, err := grid.NewFixed(rate, tempo, 1)
				require.NoError(t, err)
				p, err := pulse.New(pulse.Config{Rate: rate, Form: form, Grid: g, Style: pulse.Style{Contratiempo: between}})
				require.NoError(t, err)
				palmas := make([]float32, 24*rate)
				p.Render(palmas, 0)
				x := make([]float32, len(palmas))
				mix.Mix(x, palmas, mix.Decibels(db))
				s, err := listen.NewSession(set, rate)
				require.NoError(t, err)
				told, all := 0, 0
				src := &live{samples: x, rate: rate}
				require.NoError(t, listen.Run(context.Background(), watching{src, func() {
					all++
					if _, known := s.Tuning(); known {
						told++
					}
				}}, nil, s, nil))
				assert.Zero(t, told, "%g a minute, contratiempo %t, %g dB: told at %d of %d moments", tempo, between, db, told, all)
			}
		}
	}
}

// watching looks at a session after each read.
type watching struct {
	listen.Source
	look func()
}

func (w watching) Read(ctx context.Context, dst []float32) (int, int64, error) {
	w.look()
	return w.Source.Read(ctx, dst)
}
