package dsp_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bordon/dsp"
	"bordon/dsp/pluck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// walk is a bass line with an arpeggio rolled over each note, at rate.
func walk(t testing.TB, rate int, midi ...int) (x []float32, at []float64) {
	var events []pluck.Event
	for i, m := range midi {
		s := 0.5 + 0.7*float64(i)
		at = append(at, s)
		str, fret := 6, m-40
		if m >= 50 {
			str, fret = 4, m-50
		} else if m >= 45 {
			str, fret = 5, m-45
		}
		events = append(events, pluck.Event{At: s, String: str, Fret: fret, Velocity: 0.7},
			pluck.Event{At: s + 0.035, String: 3, Velocity: 0.5},
			pluck.Event{At: s + 0.07, String: 2, Velocity: 0.5},
			pluck.Event{At: s + 0.105, String: 1, Fret: 3, Velocity: 0.5})
	}
	x, err := pluck.Render(pluck.Classic(), rate, 1, 0, events, 0.7*float64(len(midi))+1)
	require.NoError(t, err)
	return x, at
}

// hear feeds x in chunks and returns the notes.
func hear(t testing.TB, x []float32, cfg dsp.EarConfig, chunk int) []dsp.Note {
	ear, err := dsp.NewEar(cfg)
	require.NoError(t, err)
	var all []dsp.Note
	for len(x) > 0 {
		n := min(chunk, len(x))
		all = append(all, ear.Write(x[:n])...)
		x = x[n:]
	}
	return append(all, ear.Flush()...)
}

func best(n dsp.Note) (midi int) {
	top := 0.0
	for i, p := range n.Likelihood {
		if p > top {
			top, midi = p, dsp.LowestMIDI+i
		}
	}
	return midi
}

func TestEarNamesAWalkUnderArpeggios(t *testing.T) {
	line := []int{47, 45, 42, 43, 54, 52, 49, 50, 40, 41}
	for _, rate := range []int{44100, 48000, 96000} {
		x, at := walk(t, rate, line...)
		notes := hear(t, x, dsp.EarConfig{Rate: rate}, 441)
		named := 0
		for i, m := range line {
			found := false
			for _, n := range notes {
				// 30 ms: within it no other note of this walk begins.
				if n.Last && math.Abs(float64(n.Onset)/float64(rate)-at[i]) < 0.03 && n.Began > 0.5 {
					found = found || best(n) == m
					// 160 ms is the most that a verdict may wait.
					assert.LessOrEqual(t, float64(n.Decided-n.Onset)/float64(rate), 0.16)
				}
			}
			if found {
				named++
			}
		}
		assert.Equal(t, len(line), named, "of the walk at %d samples a second", rate)
	}
}

func TestEarDoesNotCareForChunks(t *testing.T) {
	x, _ := walk(t, 48000, 47, 45, 42, 43)
	want := hear(t, x, dsp.EarConfig{Rate: 48000}, 4096)
	require.NotEmpty(t, want)
	for _, n := range []int{1, 64, 441, len(x)} {
		require.Equal(t, want, hear(t, x, dsp.EarConfig{Rate: 48000}, n), "chunks of %d", n)
	}
}

func TestEarKeepsItsPromises(t *testing.T) {
	x, _ := walk(t, 44100, 47, 45, 42, 43, 40, 52)
	ear, err := dsp.NewEar(dsp.EarConfig{Rate: 44100})
	require.NoError(t, err)
	open := map[int64]dsp.Note{}
	check := func(notes []dsp.Note, heard int64) {
		for _, n := range notes {
			assert.LessOrEqual(t, n.Decided, heard, "a note cannot be decided on what has not been heard")
			assert.LessOrEqual(t, n.Decided-n.Onset, int64(ear.Delay()))
			if first, ok := open[n.ID]; ok {
				assert.True(t, n.Last)
				assert.Equal(t, first.Onset, n.Onset)
				delete(open, n.ID)
			} else if !n.Last {
				open[n.ID] = n
			}
			sum := 0.0
			for _, p := range n.Likelihood {
				sum += p
			}
			assert.InDelta(t, 1, sum, 1e-9)
		}
	}
	for i := 0; i < len(x); i += 100 {
		end := min(i+100, len(x))
		check(ear.Write(x[i:end]), int64(end))
	}
	check(ear.Flush(), int64(len(x)))
	assert.Empty(t, open, "every doubt is settled")
}

// Each look is told with the very sample that it needs to have heard.
func TestEarTellsWhenItMay(t *testing.T) {
	x, _ := walk(t, 22050, 47, 45, 42, 43, 40, 52)
	ear, err := dsp.NewEar(dsp.EarConfig{Rate: 22050})
	require.NoError(t, err)
	second := 0
	told := map[int64]bool{}
	for i := range x {
		for _, n := range ear.Write(x[i : i+1]) {
			require.Equal(t, int64(i+1), n.Decided)
			if told[n.ID] {
				second++
			}
			told[n.ID] = true
		}
	}
	require.NotEmpty(t, told)
	require.Positive(t, second, "some were looked at again")
}

func TestEarHearsNoNoteInNoise(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for name, sample := range map[string]func(i int) float32{
		"silence": func(int) float32 { return 0 },
		"noise":   func(int) float32 { return float32(0.1 * rng.NormFloat64()) },
		"hum":     func(i int) float32 { return float32(0.1 * math.Sin(2*math.Pi*50*float64(i)/44100)) },
		"offset":  func(int) float32 { return 0.5 },
	} {
		x := make([]float32, 10*44100)
		for i := range x {
			x[i] = sample(i)
		}
		for _, n := range hear(t, x, dsp.EarConfig{Rate: 44100}, 4096) {
			if n.Onset > 4410 { // the start of a sound that was there all along
				assert.Less(t, n.Began, 0.3, "%s at sample %d", name, n.Onset)
			}
		}
	}
}

// Full-scale squares, spikes and a blast: nothing may break.
func TestEarSurvivesAnything(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	x := make([]float32, 4*44100)
	for i := range x {
		switch i / 44100 {
		case 0:
			x[i] = float32(1 - 2*(i/50%2))
		case 1:
			x[i] = float32(rng.NormFloat64() * 1e3)
		case 2:
			if i%9973 == 0 {
				x[i] = -1
			}
		default:
			x[i] = 1e-38
		}
	}
	for _, n := range hear(t, x, dsp.EarConfig{Rate: 44100}, 777) {
		require.False(t, math.IsNaN(n.Began) || math.IsNaN(n.Level) || math.IsNaN(n.Likelihood[0]), "%+v", n)
	}
}

func TestEarRefuses(t *testing.T) {
	for _, c := range []struct {
		cfg  dsp.EarConfig
		want string
	}{
		{dsp.EarConfig{Rate: 1}, "hear 1 samples a second: the rate must lie between 8000 and 192000"},
		{dsp.EarConfig{Rate: 400000}, "hear 400000 samples a second: the rate must lie between 8000 and 192000"},
		{dsp.EarConfig{Rate: 44100, A4: 300}, "hear at a concert pitch of 300 Hz: it must lie between 415 and 466"},
		{dsp.EarConfig{Rate: 44100, A4: math.NaN()}, "hear at a concert pitch of NaN Hz: it must lie between 415 and 466"},
	} {
		_, err := dsp.NewEar(c.cfg)
		require.EqualError(t, err, c.want)
	}
}

func TestEarAllocatesNothing(t *testing.T) {
	x, _ := walk(t, 44100, 47, 45, 42, 43)
	ear, err := dsp.NewEar(dsp.EarConfig{Rate: 44100})
	require.NoError(t, err)
	ear.Write(x)
	assert.Zero(t, testing.AllocsPerRun(3, func() { ear.Write(x) }))
}

// BenchmarkEar hears four notes under arpeggios again and again; a hop is 256
// samples of the input.
func BenchmarkEar(b *testing.B) {
	x, _ := walk(b, 44100, 47, 45, 42, 43)
	ear, err := dsp.NewEar(dsp.EarConfig{Rate: 44100})
	require.NoError(b, err)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		ear.Write(x[i : i+256])
		if i += 256; i+256 > len(x) {
			i = 0
		}
	}
	seconds := float64(b.N) * 256 / 44100
	b.ReportMetric(seconds/b.Elapsed().Seconds(), "x-real-time")
}
