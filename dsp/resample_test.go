package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func sine(hz, rate, amp float64, n int) []float32 {
	x := make([]float32, n)
	for i := range x {
		x[i] = float32(amp * math.Sin(2*math.Pi*hz*float64(i)/rate))
	}
	return x
}

func TestResampleKeepsSinesInPlace(t *testing.T) {
	for _, in := range []int{8000, 11025, 16000, 22050, 32000, 44100, 48000, 88200, 96000, 192000} {
		for _, hz := range []float64{82.41, 440, 2000, 3600} {
			r, err := newResampler(in, earRate)
			require.NoError(t, err)
			out := r.write(nil, sine(hz, float64(in), 0.5, in/2))
			worst := 0.0
			for i := 500; i < len(out)-500; i++ {
				want := 0.5 * math.Sin(2*math.Pi*hz*float64(i)/earRate)
				worst = max(worst, math.Abs(float64(out[i])-want))
			}
			// 80 dB below full scale is what the filter is designed for; float32
			// sums add a little. At 8000 samples a second 3600 Hz lies in the
			// transition band, where the level falls.
			if in == 8000 && hz > 3300 {
				continue
			}
			assert.Less(t, worst, 2e-4, "%g Hz at %d samples a second", hz, in)
		}
	}
}

func TestResampleStopsWhatWouldFold(t *testing.T) {
	for _, hz := range []float64{7600, 9000, 15000} {
		r, err := newResampler(48000, earRate)
		require.NoError(t, err)
		out := r.write(nil, sine(hz, 48000, 1, 48000))
		sum := 0.0
		for _, v := range out[500:] {
			sum += float64(v) * float64(v)
		}
		db := 10 * math.Log10(sum/float64(len(out)-500)*2)
		assert.Less(t, db, -78.0, "%g Hz: the filter's stop band is designed for 80 dB", hz)
	}
}

func TestResampleChunks(t *testing.T) {
	x := sine(440, 48000, 1, 20000)
	whole, err := newResampler(48000, earRate)
	require.NoError(t, err)
	want := whole.write(nil, x)
	for _, n := range []int{1, 64, 441, 4097} {
		r, err := newResampler(48000, earRate)
		require.NoError(t, err)
		var got []float32
		for i := 0; i < len(x); i += n {
			got = r.write(got, x[i:min(i+n, len(x))])
		}
		require.Equal(t, want, got, "chunks of %d", n)
	}
	_, err = newResampler(0, earRate)
	require.Error(t, err)
}
