package dsp

import (
	"fmt"
	"math"

	"bordon/dsp/vector"
)

// resampler converts a stream from one rate to another with a polyphase
// windowed sinc (Kaiser window, 80 dB). Output k stands for the input instant
// k*in/out exactly: the filter's own delay is taken off.
type resampler struct {
	in, out int // reduced ratio: out samples for in
	half    int // taps either side of the centre
	pad     int // zeros before them
	taps    [][]float32
	hist    []float32 // the last pad + 2*half inputs and what came after
	base    int64     // stream index of hist[0]
	next    int64     // next output index
}

// newResampler converts in samples a second to out. Content above 0.83 of the
// lower Nyquist frequency is attenuated; aliases stay above that.
func newResampler(in, out int) (*resampler, error) {
	if in <= 0 || out <= 0 {
		return nil, fmt.Errorf("resample %d to %d samples a second: rates must be positive", in, out)
	}
	g := gcd(in, out)
	r := &resampler{in: in / g, out: out / g}
	low := float64(min(in, out))
	// Cut at the lower Nyquist with a transition of a third of it: what folds
	// back lands above the pass band.
	cut := low / 2 / float64(in)
	width := 0.34 * low / 2 / float64(in)
	const stop = 80.0
	n := (stop - 8) / (2.285 * 2 * math.Pi * width)
	r.half = int(math.Ceil(n/2)) + 1
	beta := 0.1102 * (stop - 8.7) // Kaiser's formula for more than 50 dB
	r.pad = vector.Padded(2*r.half) - 2*r.half
	r.taps = make([][]float32, r.out)
	for p := range r.taps {
		frac := float64(p) / float64(r.out)
		r.taps[p] = make([]float32, r.pad+2*r.half)
		row := r.taps[p][r.pad:]
		sum := 0.0
		for i := range row {
			t := float64(i-r.half+1) - frac
			v := kaiser(t/float64(r.half), beta) * sinc(2*cut*t)
			row[i] = float32(v)
			sum += v
		}
		for i := range row {
			row[i] = float32(float64(row[i]) / sum)
		}
	}
	r.reset()
	return r, nil
}

func (r *resampler) reset() {
	n := r.pad + 2*r.half
	r.base = int64(-n)
	r.hist = append(r.hist[:0], make([]float32, n)...)
	r.next = 0
}

// write resamples x and appends the result to dst, which grows only when its
// capacity does not do. The last half of the filter's length is held back.
func (r *resampler) write(dst, x []float32) []float32 {
	for len(x) > 0 {
		n := min(len(x), 4096)
		r.hist = append(r.hist, x[:n]...)
		x = x[n:]
		pos := r.next * int64(r.in)
		first, phase := int(pos/int64(r.out)-int64(r.half)+1-r.base), int(pos%int64(r.out))
		for first+2*r.half <= len(r.hist) {
			// Four at a time, always: alone an output might be rounded otherwise.
			var taps, from [4][]float32
			n := 0
			for n < len(taps) && first+2*r.half <= len(r.hist) {
				taps[n], from[n] = r.taps[phase], r.hist[first-r.pad:]
				n++
				phase += r.in
				first += phase / r.out
				phase %= r.out
			}
			for i := n; i < len(taps); i++ {
				taps[i], from[i] = taps[0], from[0]
			}
			dst = vector.Dots(dst, &taps, &from, n)
			r.next += int64(n)
		}
		keep := r.next*int64(r.in)/int64(r.out) - int64(r.half) + 1 - int64(r.pad)
		if drop := int(keep - r.base); drop > 0 {
			drop = min(drop, len(r.hist))
			r.hist = r.hist[:copy(r.hist, r.hist[drop:])]
			r.base += int64(drop)
		}
	}
	return dst
}

// needs is how many input samples must have been written before the first n
// outputs have all come out.
func (r *resampler) needs(n int64) int64 {
	return (n-1)*int64(r.in)/int64(r.out) + int64(r.half) + 1
}

func sinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

// kaiser is the Kaiser window at x from -1 to 1, 0 outside.
func kaiser(x, beta float64) float64 {
	if x < -1 || x > 1 {
		return 0
	}
	return bessel0(beta*math.Sqrt(1-x*x)) / bessel0(beta)
}

// bessel0 is the modified Bessel function of the first kind and order zero,
// by its power series.
func bessel0(x float64) float64 {
	sum, term := 1.0, 1.0
	for k := 1; k < 60; k++ {
		term *= (x / 2 / float64(k)) * (x / 2 / float64(k))
		sum += term
		if term < 1e-12*sum {
			break
		}
	}
	return sum
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
