package pulse_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"bordon/listen/audio/pulse"
	"bordon/listen/grid"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	rate  = 48000
	first = 9 // seconds: six beats at the lowest tempo fit before it
)

func alegrias(t testing.TB) theory.Form {
	t.Helper()
	f, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	return f
}

func config(t testing.TB, tempo float64) pulse.Config {
	return pulse.Config{Rate: rate, Form: alegrias(t), CountIn: 6,
		Grid: grid.Fixed{Rate: rate, Tempo: tempo, FirstBeat: first}}
}

func made(t testing.TB, cfg pulse.Config) *pulse.Pulse {
	t.Helper()
	p, err := pulse.New(cfg)
	require.NoError(t, err)
	return p
}

func claps(p *pulse.Pulse, from, to int64) []pulse.Clap {
	var all []pulse.Clap
	p.Claps(from, to, func(c pulse.Clap) { all = append(all, c) })
	return all
}

// Ten minutes, exact to the sample: in the sound that is rendered piece by
// piece, each clap begins where the tempo has its beat.
func TestTenMinutesToTheSample(t *testing.T) {
	for _, tempo := range []float64{40, 97, 137.3, 260} {
		p := made(t, config(t, tempo))
		buf := make([]float32, 441)
		sounding, beat := rate, -6.0
		for from := int64(0); from < 600*rate; from += int64(len(buf)) {
			p.Render(buf, from)
			for i, v := range buf {
				if v == 0 {
					sounding++
					continue
				}
				if sounding > rate/20 { // it was silent: a clap begins
					want := math.Round((first + beat*60/tempo) * rate)
					// The first sample of a clap's noise may be 0.
					require.InDelta(t, want, from+int64(i), 1, "beat %g at %g a minute", beat, tempo)
					beat++
				}
				sounding = 0
			}
		}
		assert.InDelta(t, (600-first)*tempo/60, beat, 1.01, "every beat of ten minutes at %g", tempo)
	}
}

func TestPiecesDoNotMatter(t *testing.T) {
	cfg := config(t, 200)
	cfg.Style.Contratiempo = true
	p := made(t, cfg)
	whole := make([]float32, 10*rate)
	p.Render(whole, 0)
	for _, n := range []int{1, 64, 441, 4096} {
		piece := make([]float32, n)
		for _, from := range []int{0, 5*rate - 17, 6*rate - n/2, 9 * rate} {
			p.Render(piece, int64(from))
			require.Equal(t, whole[from:from+n], piece, "%d from %d", n, from)
		}
	}
	assert.Zero(t, testing.AllocsPerRun(100, func() { p.Render(whole[:480], 6*rate) }))
}

func TestWhatIsClapped(t *testing.T) {
	beats := func(p *pulse.Pulse, turns int) (s string) {
		for _, c := range claps(p, 0, int64(first*rate)+int64(turns*12*rate/2)) {
			s += fmt.Sprintf("%g%s ", c.Beat, [...]string{"", "!", "-"}[c.Kind])
		}
		return s
	}
	// Accents: BRIDGES 2004 as cited in theory: 3 6 8 10 12; beat 0 is beat 1.
	const count = "-6 -5! -4 -3! -2 -1! "
	for _, tt := range []struct {
		style pulse.Style
		want  string
	}{
		{pulse.Style{}, count + "0 1 2! 3 4 5! 6 7! 8 9! 10 11! "},
		{pulse.Style{AccentsOnly: true}, count + "2! 5! 7! 9! 11! "},
		{pulse.Style{EveryOther: true}, count + "0 1 2! 3 4 5! 6 7! 8 9! 10 11! "},
		{pulse.Style{AccentsOnly: true, Contratiempo: true},
			"-6 -5.5- -5! -4.5- -4 -3.5- -3! -2.5- -2 -1.5- -1! -0.5- 0.5- 1.5- 2! 2.5- 3.5- 4.5- 5! 5.5- 6.5- 7! 7.5- 8.5- 9! 9.5- 10.5- 11! 11.5- "},
	} {
		cfg := config(t, 120)
		cfg.Style, cfg.Turns = tt.style, 1
		assert.Equal(t, tt.want, beats(made(t, cfg), 3), "%+v", tt.style)
	}
	cfg := config(t, 120)
	cfg.Style.EveryOther = true
	p := made(t, cfg)
	assert.Empty(t, claps(p, (first+6)*rate, (first+12)*rate), "the second turn is silent")
	assert.Len(t, claps(p, (first+12)*rate, (first+18)*rate), 12, "the third is not")

	for beat := 1.0; beat <= 12; beat++ { // any beat can start the count
		cfg := config(t, 120)
		cfg.CountIn = 13 - beat
		first := claps(made(t, cfg), 0, (first+1)*rate)[0]
		assert.Equal(t, beat-13, first.Beat)
	}
}

// It begins quiet, rises, and never comes near full scale.
func TestVolumeRisesAndIsLimited(t *testing.T) {
	cfg := config(t, 260)
	cfg.Style.Contratiempo = true
	p := made(t, cfg)
	buf := make([]float32, rate)
	var peaks []float32
	for s := int64(7); s < 17; s++ {
		p.Render(buf, s*rate)
		top := float32(0)
		for _, v := range buf {
			top = max(top, v, -v)
		}
		peaks = append(peaks, top)
	}
	assert.LessOrEqual(t, peaks[0], float32(0.25), "the first second")
	for i := 1; i < 4; i++ {
		assert.Greater(t, peaks[i], peaks[i-1])
	}
	for _, v := range peaks {
		assert.Less(t, v, float32(0.891), "1 dB below full scale")
	}
	assert.Greater(t, peaks[len(peaks)-1], float32(0.5))
}

func TestNewRefuses(t *testing.T) {
	for want, change := range map[string]func(*pulse.Config){
		"samples a second":   func(c *pulse.Config) { c.Rate = 1 },
		"needs a form":       func(c *pulse.Config) { c.Form = theory.Form{} },
		"needs a grid":       func(c *pulse.Config) { c.Grid = nil },
		"a count-in of -1":   func(c *pulse.Config) { c.CountIn = -1 },
		"a count-in of NaN":  func(c *pulse.Config) { c.CountIn = math.NaN() },
		"end after -2 turns": func(c *pulse.Config) { c.Turns = -2 },
	} {
		cfg := config(t, 100)
		change(&cfg)
		_, err := pulse.New(cfg)
		assert.ErrorContains(t, err, want)
	}
}

func TestTempo(t *testing.T) {
	at := func(ms ...int) (d []time.Duration) {
		for _, m := range ms {
			d = append(d, time.Duration(m)*time.Millisecond)
		}
		return d
	}
	for _, tt := range []struct {
		taps []time.Duration
		want float64
		err  string
	}{
		{at(0, 500, 1000, 1500), 120, ""},
		{at(0, 500, 1000, 1400, 2000), 120, ""},                   // one slipped
		{at(0, 500, 1000, 5000, 5300, 5600, 5900, 6200), 200, ""}, // begun anew
		{at(0, 500, 1000), 0, "3 taps do not make a tempo"},
		{nil, 0, "0 taps do not"},
		{at(0, 10, 20, 30), 0, "it must be 40 to 260"},
		{at(0, 0, 0, 0), 0, "it must be 40 to 260"},
	} {
		got, err := pulse.Tempo(tt.taps)
		if tt.err != "" {
			assert.ErrorContains(t, err, tt.err)
			continue
		}
		require.NoError(t, err)
		assert.InDelta(t, tt.want, got, 1e-9)
	}
}

func TestRise(t *testing.T) {
	r := pulse.Rise{Step: 4, Clean: 2, Most: 110}
	tempo := 100.0
	var got []float64
	for _, clean := range []bool{true, false, true, true, true, true, true, true, true, true} {
		tempo = r.Turn(clean, tempo)
		got = append(got, tempo)
	}
	assert.Equal(t, []float64{100, 100, 100, 104, 104, 108, 108, 110, 110, 110}, got)
}

// Seguiriyas: five counts of 2, 2, 3, 3 and 2 eighths, the tempo counting
// eighths (common practice, no source).
func TestUnequalCounts(t *testing.T) {
	form, err := theory.LookupForm("seguiriyas")
	require.NoError(t, err)
	g, err := grid.New(rate, 240, first, form.Lengths) // an eighth is 0.25 s
	require.NoError(t, err)
	cfg := pulse.Config{Rate: rate, Form: form, Grid: g, Turns: 1}
	var at []float64
	for _, c := range claps(made(t, cfg), 0, (first+9)*rate) {
		at = append(at, float64(c.At)/rate-first)
	}
	assert.Equal(t, []float64{0, 0.5, 1, 1.75, 2.5}, at)
	cfg.Style.Contratiempo = true
	all := claps(made(t, cfg), 0, (first+9)*rate)
	require.Len(t, all, 12, "every eighth")
	for i, c := range all {
		assert.InDelta(t, float64(i)*0.25, float64(c.At)/rate-first, 1.0/rate)
	}
}
