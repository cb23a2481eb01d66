package dsp

const (
	envFFT  = 128 // 11.6 ms at the ear's rate
	bands   = 10
	envRing = 128 // hops kept, 0.74 s
)

// bandEdges are FFT bins of 86 Hz, the last exclusive.
var bandEdges = [bands + 1]int{1, 2, 3, 5, 7, 10, 14, 20, 29, 41, 58}

// envelope follows the energy in ten bands, one frame a hop. The frame of hop
// h is centred on sample h*hop.
type envelope struct {
	spec *spectrum
	win  []float64
	pow  []float64
	db   [envRing][bands]float32 // dB relative to full scale
	rise [envRing]float32        // how much the bands rose, dB in all
	n    int64                   // frames so far
}

func newEnvelope() *envelope {
	e := &envelope{spec: newSpectrum(envFFT), win: make([]float64, envFFT), pow: make([]float64, envFFT/2+1)}
	hann(e.win)
	return e
}

const envFloor = -100 // dB

// hear takes the envFFT samples round the next hop.
func (e *envelope) hear(x []float32) {
	e.spec.power(e.pow, x, e.win)
	cur := &e.db[e.n%envRing]
	for b := range bands {
		sum := 1e-10
		for _, p := range e.pow[bandEdges[b]:bandEdges[b+1]] {
			sum += p
		}
		cur[b] = float32(decibels(sum))
	}
	e.n++
	// Two frames either side of a hop, averaged so that noise does not pass
	// for a rise; beating strings rise more slowly than that.
	h := e.n - 3
	a, b, c, d, f, g := e.at(h+1), e.at(h+2), e.at(h-1), e.at(h-2), e.at(h-3), e.at(h-4)
	rise := float32(0)
	for k := range bands {
		before := max((c[k]+d[k])/2, (f[k]+g[k])/2, -80)
		if up := (a[k]+b[k])/2 - before; up > 0 {
			rise += min(up, 20)
		}
	}
	if h >= 0 {
		e.rise[h%envRing] = rise
	}
}

var silence = func() (s [bands]float32) {
	for b := range s {
		s[b] = envFloor
	}
	return s
}()

// at is the frame of a hop; silence before the first.
func (e *envelope) at(hop int64) *[bands]float32 {
	if hop < 0 {
		return &silence
	}
	return &e.db[hop%envRing]
}

// risen is how much the bands rose at a hop, in dB summed over the bands.
func (e *envelope) risen(hop int64) float32 {
	if hop < 0 || hop > e.n-3 {
		return 0
	}
	return e.rise[hop%envRing]
}
