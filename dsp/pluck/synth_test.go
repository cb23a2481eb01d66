package pluck

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// chord is a strum of all six strings at time at.
func chord(at float64) []Event {
	var out []Event
	for i, fret := range [6]int{3, 0, 0, 0, 2, 3} {
		out = append(out, Event{At: at + 0.008*float64(5-i), Kind: Pluck, String: i + 1, Fret: fret, Velocity: 0.7})
	}
	return out
}

func busy() []Event {
	out := chord(0.1)
	return append(out,
		Event{At: 0.35, Kind: Tap, Velocity: 0.8},
		Event{At: 0.4, Kind: Pluck, String: 5, Fret: 2, Velocity: 0.8, Apoyado: true},
		Event{At: 0.45, Kind: Clap, Velocity: 0.5},
		Event{At: 0.5, Kind: Pluck, String: 5, Fret: 3, Velocity: 0.8, Ligado: true},
		Event{At: 0.55, Kind: Click, Velocity: 0.5},
		Event{At: 0.56, Kind: Squeak, String: 6, Velocity: 0.5},
		Event{At: 0.6, Kind: Pluck, String: 1, Fret: 12, Velocity: 0.4},
		Event{At: 0.7, Kind: Damp},
	)
}

func TestRenderIsDeterministic(t *testing.T) {
	a, err := Render(Classic(), 44100, 7, 0, busy(), 1)
	require.NoError(t, err)
	b, err := Render(Classic(), 44100, 7, 0, busy(), 1)
	require.NoError(t, err)
	require.Equal(t, a, b)
	c, err := Render(Classic(), 44100, 8, 0, busy(), 1)
	require.NoError(t, err)
	require.NotEqual(t, a, c)
}

func TestChunkSizeChangesNothing(t *testing.T) {
	want, err := Render(Classic(), 44100, 7, 0, busy(), 1)
	require.NoError(t, err)
	for _, size := range []int{1, 64, 441, 4096} {
		s, err := New(Classic(), 44100, 7, 0)
		require.NoError(t, err)
		require.NoError(t, s.Schedule(busy()...))
		got := make([]float32, len(want))
		for i := 0; i < len(got); i += size {
			s.Read(got[i:min(i+size, len(got))])
		}
		require.Equal(t, want, got, "chunks of %d", size)
	}
}

// Events given while playing sound as if given at the start, in whatever order.
func TestScheduleLater(t *testing.T) {
	want, err := Render(Classic(), 44100, 7, 0, busy(), 1)
	require.NoError(t, err)
	s, err := New(Classic(), 44100, 7, 0)
	require.NoError(t, err)
	got := make([]float32, len(want))
	ev := busy()
	require.NoError(t, s.Schedule(ev[3:9]...))
	s.Read(got[:1000])
	require.NoError(t, s.Schedule(ev[:3]...))
	s.Read(got[1000:20000])
	require.NoError(t, s.Schedule(ev[9:]...))
	s.Read(got[20000:])
	require.Equal(t, want, got)
}

func TestLevelsAndCleanliness(t *testing.T) {
	guitars := Guitars()
	rng := rand.New(rand.NewPCG(1, 2))
	n := 40
	if testing.Short() {
		n = 10
	}
	for range n {
		guitars = append(guitars, RandomGuitar(rng))
	}
	for i, g := range guitars {
		for _, rate := range []int{44100, 48000} {
			x, err := Render(g, rate, uint64(i), 0, busy(), 1)
			require.NoError(t, err, g.Name)
			var peak, sum float64
			for _, v := range x {
				require.False(t, math.IsNaN(float64(v)) || math.IsInf(float64(v), 0), g.Name)
				peak = math.Max(peak, math.Abs(float64(v)))
				sum += float64(v)
			}
			t.Logf("%s %d: peak %.2f dBFS", g.Name, rate, 20*math.Log10(peak))
			require.Less(t, peak, 1.0, g.Name)
			// -6 dBFS is the aim for a chord of this velocity; how a passage's thumps
			// and strings happen to add up moves its peak by some decibels.
			require.InDelta(t, -6, 20*math.Log10(peak), 8, g.Name)
			require.Less(t, math.Abs(sum/float64(len(x))), 1e-4*peak, "%s: DC", g.Name)
		}
	}
}

func TestReadAllocatesNothing(t *testing.T) {
	s, err := New(Classic(), 44100, 7, 0)
	require.NoError(t, err)
	require.NoError(t, s.Schedule(busy()...))
	buf := make([]float32, 441)
	require.Zero(t, testing.AllocsPerRun(80, func() { s.Read(buf) }))
}

// Silence must come, and as zeros: neither a rest nor denormal numbers, which
// would slow a processor down a hundredfold.
func TestSilenceIsZero(t *testing.T) {
	s, err := New(Classic(), 44100, 7, 0)
	require.NoError(t, err)
	require.NoError(t, s.Schedule(busy()...))
	buf := make([]float32, 44100)
	s.Read(buf)
	s.Read(buf)
	require.True(t, s.Idle())
	s.Read(buf)
	for _, v := range buf {
		require.Zero(t, v)
	}
	require.NoError(t, s.Schedule(chord(float64(s.Position())/44100)...))
	for range 25 {
		s.Read(buf)
	}
	require.True(t, s.Idle())
}

// BenchmarkSixStrings reports how many seconds of six ringing strings are made
// in one.
func BenchmarkSixStrings(b *testing.B) {
	const rate = 44100
	s, err := New(Classic(), rate, 1, 0)
	require.NoError(b, err)
	buf := make([]float32, rate)
	b.ResetTimer()
	for i := range b.N {
		for k := range 2 {
			require.NoError(b, s.Schedule(chord(float64(i)+0.5*float64(k))...))
		}
		s.Read(buf)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "x-realtime")
}
