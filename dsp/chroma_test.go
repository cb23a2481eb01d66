package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// chord are notes of a dozen harmonics, each a third softer than the one
// before, moved by cents: pitches from twelve-tone equal temperament at ISO
// 16's A4.
func chord(midi []int, cents float64, rate, n int) []float32 {
	x := make([]float32, n)
	for _, m := range midi {
		f := 440 * math.Exp2((float64(m)-69+cents/100)/12)
		for h := 1; h <= 12 && f*float64(h) < 0.45*float64(rate); h++ {
			a := 0.08 * math.Pow(2.0/3, float64(h-1))
			for i := range x {
				x[i] += float32(a * math.Sin(2*math.Pi*f*float64(h)*float64(i)/float64(rate)+float64(m*h)))
			}
		}
	}
	return x
}

func framesOf(t testing.TB, x []float32, rate int, cents float64, chunk int) []ChromaFrame {
	c, err := NewChroma(rate, 440)
	require.NoError(t, err)
	c.Tune(cents)
	var all []ChromaFrame
	for i := 0; i < len(x); i += chunk {
		all = append(all, c.Write(x[i:min(i+chunk, len(x))])...)
	}
	return append(all, c.Flush()...)
}

func TestChromaOfKnownChords(t *testing.T) {
	for name, midi := range map[string][]int{
		"E major, open":     {40, 47, 52, 56, 59, 64},
		"E minor, open":     {40, 47, 52, 55, 59, 64},
		"A major":           {45, 52, 57, 61, 64},
		"A minor":           {45, 52, 57, 60, 64},
		"D7":                {50, 57, 60, 66},
		"C":                 {48, 52, 55, 60, 64},
		"B flat":            {46, 53, 58, 62, 65},
		"three on top of G": {59, 62, 67},
	} {
		for _, rate := range []int{8000, 44100, 48000} {
			for _, cents := range []float64{-40, 0, 33} {
				frames := framesOf(t, chord(midi, cents, rate, rate), rate, cents, 4096)
				f := frames[len(frames)/2]
				got := f.Fold(LowestPitch, HighestPitch)
				in, out := math.Inf(1), 0.0
				for pc, v := range got {
					is := false
					for _, m := range midi {
						is = is || m%12 == pc
					}
					if is {
						in = min(in, v)
					} else {
						out = max(out, v)
					}
				}
				// Twice would name any chord; what is over it is room for strings
				// that are not alike.
				assert.Greater(t, in, 2.5*out, "%s at %d, %g cents: %.2f", name, rate, cents, got)
			}
		}
	}
}

func TestChromaFramesAreInPlace(t *testing.T) {
	const rate = 48000
	x := append(chord([]int{45, 52, 57, 61, 64}, 0, rate, rate), chord([]int{50, 57, 62, 66}, 0, rate, rate)...)
	frames := framesOf(t, x, rate, 0, 512)
	for i, f := range frames {
		assert.InDelta(t, float64(i)*chromaHop/earRate*rate, float64(f.At), 0.5, "half a sample of rounding")
		c := f.Fold(LowestPitch, HighestPitch)
		switch at := float64(f.At) / rate; {
		// The window reaches 0.19 s either side.
		case at > 0.2 && at < 0.8:
			assert.Greater(t, c[1], c[2], "C sharp, %g s", at)
		case at > 1.2 && at < 1.8:
			assert.Greater(t, c[2], c[1], "D, %g s", at)
		}
	}
	last := frames[len(frames)-1].At
	assert.Less(t, last, int64(len(x)))
	assert.Greater(t, last, int64(len(x))-chromaHop*rate/earRate-1)
	// A sine of amplitude 0.5 has 0.5/sqrt2: 9.03 dB under full scale.
	tone := framesOf(t, sine(440, rate, 0.5, rate), rate, 0, 4096)
	assert.InDelta(t, -9.03, tone[len(tone)/2].Level, 0.01, "periods of it are not whole in the window")
}

// A guitar that is out of tune is followed as if it were told.
func TestChromaFindsTheTuning(t *testing.T) {
	const rate = 44100
	for _, cents := range []float64{-45, -20, 20, 45} {
		c, err := NewChroma(rate, 440)
		require.NoError(t, err)
		x := chord([]int{45, 52, 57, 60, 64}, cents, rate, 2*rate)
		var last ChromaFrame
		for i := 0; i < len(x); i += 4096 {
			for _, last = range c.Write(x[i:min(i+4096, len(x))]) {
			}
		}
		got, known := c.Tuning()
		assert.True(t, known)
		assert.InDelta(t, cents, got, 3, "what the ear's tuning promises")
		f := last.Fold(LowestPitch, HighestPitch)
		assert.Greater(t, min(f[9], f[0], f[4]), 2*max(f[1], f[8], f[3], f[5], f[10]), "%.2f", f)
	}
}

func TestChromaChunks(t *testing.T) {
	x := chord([]int{40, 47, 52, 56}, 0, 44100, 30000)
	want := framesOf(t, x, 44100, 0, len(x))
	for _, n := range []int{1, 64, 441, 4097} {
		require.Equal(t, want, framesOf(t, x, 44100, 0, n), "chunks of %d", n)
	}
}

// Led by an ear it gives what it gives alone.
func TestChromaBesideAnEar(t *testing.T) {
	for _, rate := range []int{8000, 44100, 48000} {
		x := append(chord([]int{40, 47, 52, 56}, 20, rate, rate), chord([]int{45, 52, 57, 60}, 20, rate, 30001)...)
		alone, err := NewChroma(rate, 440)
		require.NoError(t, err)
		want := append([]ChromaFrame{}, alone.Write(x)...)
		want = append(want, alone.Flush()...)
		for _, n := range []int{len(x), 1, 64, 4097} {
			ear, err := NewEar(EarConfig{Rate: rate})
			require.NoError(t, err)
			c, err := NewChroma(rate, 440)
			require.NoError(t, err)
			ear.Beside(c)
			var got []ChromaFrame
			for i := 0; i < len(x); i += n {
				ear.Write(x[i:min(i+n, len(x))])
				got = append(got, c.Write(nil)...)
				assert.Empty(t, c.Write(nil), "they are given once")
			}
			ear.Flush()
			require.Equal(t, want, append(got, c.Flush()...), "chunks of %d at %d", n, rate)
		}
	}
}

func TestChromaAllocatesNothing(t *testing.T) {
	c, err := NewChroma(44100, 440)
	require.NoError(t, err)
	x := chord([]int{40, 47, 52, 56}, 0, 44100, 4096)
	assert.Zero(t, testing.AllocsPerRun(50, func() { c.Write(x) }))
}

func TestChromaOfNothing(t *testing.T) {
	for _, f := range framesOf(t, make([]float32, 44100), 44100, 0, 4096) {
		assert.Equal(t, ChromaFrame{At: f.At, Level: -120}, f)
	}
	_, err := NewChroma(7999, 440)
	require.ErrorContains(t, err, "7999 samples")
	_, err = NewChroma(48000, 400)
	require.ErrorContains(t, err, "400 Hz")
	_, err = NewChroma(48000, math.NaN())
	require.ErrorContains(t, err, "NaN Hz")
}

// A tap in the middle of a chord leaves it what it was.
func TestChromaUnderATap(t *testing.T) {
	const rate = 44100
	x := chord([]int{45, 52, 57, 60, 64}, 0, rate, rate)
	seed := uint32(1)
	for i := range rate / 50 { // 20 ms of noise, as loud as the chord
		seed = seed*1664525 + 1013904223
		x[rate/2+i] += 0.3 * (float32(seed>>8)/(1<<23) - 1) * float32(math.Exp(-float64(i)/300))
	}
	frames := framesOf(t, x, rate, 0, 4096)
	c := frames[len(frames)/2].Fold(LowestPitch, HighestPitch)
	for _, pc := range []int{9, 0, 4} {
		for _, none := range []int{1, 3, 6, 8, 10} {
			assert.Greater(t, c[pc], 2*c[none], "%.2f", c)
		}
	}
}

func BenchmarkChroma(b *testing.B) {
	c, err := NewChroma(44100, 440)
	require.NoError(b, err)
	x := chord([]int{40, 47, 52, 56, 59, 64}, 0, 44100, 4410)
	c.Write(x)
	b.ReportAllocs()
	for b.Loop() {
		c.Write(x) // a tenth of a second
	}
}
