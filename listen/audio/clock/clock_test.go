package clock_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"bordon/listen/audio/clock"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const rate = 48000

// stream reports as a sound system does: every 26.7 ms some blocks of 256, the
// last of them as late as the computer is busy.
type stream struct {
	ppm   float64 // its clock against the reports'
	ahead float64 // seconds: how long before or after its time a sample is reported
	next  float64
	count int64
	rng   *rand.Rand
}

// true sample at a time.
func (s *stream) sample(t float64) float64 { return (t - s.ahead) * rate * (1 + s.ppm*1e-6) }

func (s *stream) until(t float64, report func(int64, time.Duration)) {
	for s.next < t {
		// Mostly prompt, sometimes up to 150 ms late, as eight busy goroutines
		// on two cores have been seen to make it.
		late := 0.0005 * s.rng.ExpFloat64()
		if s.rng.IntN(20) == 0 {
			late += 0.150 * s.rng.Float64()
		}
		at := s.next + late
		for n := int64(s.sample(at)); s.count+256 <= n; {
			s.count += 256
			report(s.count, time.Duration(at*1e9))
		}
		s.next = max(s.next+1280.0/rate, at)
	}
}

// An output and an input whose clocks differ by 200 parts in a million, with
// jitter: a sample's place is known to a millisecond, all the time.
func TestAcross(t *testing.T) {
	for _, ppm := range []float64{0, 20, 200, -200} {
		t.Run(fmt.Sprintf("%g ppm", ppm), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(5, 7))
			in := &stream{ppm: -ppm / 2, ahead: 0.0167, rng: rng}
			out := &stream{ppm: ppm / 2, ahead: -0.0901, rng: rng}
			a, b := clock.New(rate), clock.New(rate)
			early, worst := 0.0, 0.0
			for now := 0.0; now < 600; now += 0.1 {
				in.until(now, a.Observe)
				out.until(now, b.Observe)
				require.Zero(t, a.Lost(), "nothing was lost by %g s", now)
				if now < 3 {
					continue
				}
				require.True(t, a.Known() && b.Known())
				// A beat that is half a second away, as the pulse is handed over.
				// What is reported is whole blocks: a constant of the stream.
				e := math.Abs(clock.Across(b, a, out.sample(now+0.5))-in.sample(now+0.5)) / rate
				if now < 8 { // before the first note of a line: clocks are hardly known yet
					early = max(early, e)
				} else {
					worst = max(worst, e)
				}
			}
			t.Logf("worst place: %.3f ms in the first eight seconds, then %.3f ms", 1000*early, 1000*worst)
			assert.Less(t, early, 0.002, "seconds")
			assert.Less(t, worst, 0.001, "seconds")
		})
	}
}

func TestClockTellsWhatWasLost(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	s := &stream{ppm: 30, rng: rng}
	c := clock.New(rate)
	gone, found := int64(0), int64(0)
	for now := 0.0; now < 60; now += 0.1 {
		if now >= 20 && gone == 0 {
			gone = 4800
		}
		s.until(now, func(n int64, at time.Duration) { c.Observe(n-gone, at) })
		if lost := c.Lost(); lost > 0 {
			assert.Less(t, now, 22.1, "told within two seconds")
			found += lost
			c.Skip()
		}
	}
	// What jitter leaves of 100 ms.
	assert.InDelta(t, 4800, found, 256)
	assert.InDelta(t, s.sample(60)-float64(gone), c.Sample(60), 0.001*rate)
}

func TestClockInverse(t *testing.T) {
	c := clock.New(rate)
	assert.False(t, c.Known())
	for i := range 2000 {
		c.Observe(int64(i*256), time.Duration(float64(i*256)/rate*1.0001*1e9))
	}
	require.True(t, c.Known())
	assert.InDelta(t, 123456, c.Sample(c.Seconds(123456)), 1e-6)
	assert.InDelta(t, rate/1.0001, c.Rate(), 1.5, "a quarter of the difference is left to doubt after ten seconds")
}

func ExampleAcross() {
	in, out := clock.New(48000), clock.New(48000)
	for i := int64(0); i < 1000; i++ {
		t := time.Duration(i) * 10 * time.Millisecond
		in.Observe(i*480, t)
		out.Observe(i*480+4800, t) // 100 ms are in the output's buffer
	}
	fmt.Printf("%.0f\n", clock.Across(out, in, 9600))
	// Output: 4800
}
