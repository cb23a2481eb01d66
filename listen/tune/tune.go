// Package tune hears how far each open string of a guitar is from where it
// belongs, while the others ring on.
package tune

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"

	"bordon/theory"
)

const (
	windowSeconds = 0.68 // rounded to a power of two of samples
	hopSeconds    = 0.1
	partials      = 6
	reach         = 70.0 // cents either side of its place in which a partial is looked for
	apart         = 60.0 // cents: a partial this near to another string's tells nothing
	rise          = 6.0  // in power, over the time of a window: the string was plucked
	shared        = 2.5  // times rise, where partials are shared: those of two strings beat
	pull          = 1.0  // weight of what rang before against what was plucked
	faint         = 3e-3 // in power, against the strongest partial: it tells of no pluck
	quietest      = 1e-9 // power of a full-scale sine being 0.25
)

// Reading is how a string stands.
type Reading struct {
	Cents float64 // from where it belongs; sharp is positive
	Heard bool    // since the beginning
}

// Tuner listens to open strings, one plucked after the other. Make one with
// New. It is for one goroutine.
type Tuner struct {
	rate    int
	fft     *fourier.FFT
	window  []float64
	ring    []float32 // the last samples
	filled  int
	pos     int
	hop     int
	since   int
	x       []float64
	spec    []complex128
	strings [6]one
}

// one is what is known of a string.
type one struct {
	hz      float64
	own     [partials]bool // no other string has a partial there
	anyOwn  bool
	power   [8][partials]float64 // of the last hops
	hops    int
	plucked int               // hops since it was; never where negative
	before  [partials]float64 // power before that
	reading Reading
}

// New returns a Tuner for samples at rate, of a guitar in a tuning with a
// cejilla (0 for none), at a concert pitch a4 in Hz.
func New(rate int, tuning theory.Tuning, cejilla int, a4 float64) *Tuner {
	n := 1
	for float64(n) < windowSeconds*float64(rate)*0.75 {
		n *= 2
	}
	t := &Tuner{rate: rate, fft: fourier.NewFFT(n), window: make([]float64, n), ring: make([]float32, n),
		hop: int(hopSeconds * float64(rate)), x: make([]float64, n)}
	for i := range t.window {
		t.window[i] = 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(n))
	}
	for i := range t.strings {
		t.strings[i].hz = a4 * math.Exp2(float64(tuning[i]+cejilla-69)/12)
		t.strings[i].plucked = -1
	}
	for i := range t.strings {
		s := &t.strings[i]
		for p := range s.own {
			s.own[p] = true
			for k := range t.strings {
				for q := 1; q <= 12 && k != i; q++ {
					if math.Abs(cents(t.strings[k].hz*float64(q), s.hz*float64(p+1))) < apart {
						s.own[p] = false
					}
				}
			}
			s.anyOwn = s.anyOwn || s.own[p]
		}
	}
	return t
}

func cents(hz, from float64) float64 { return 1200 * math.Log2(hz/from) }

// Write hears samples, full scale being 1.
func (t *Tuner) Write(samples []float32) {
	for _, v := range samples {
		if v != v {
			v = 0
		}
		t.ring[t.pos] = v
		t.pos = (t.pos + 1) % len(t.ring)
		t.filled++
		if t.since++; t.since >= t.hop {
			t.since = 0
			if t.filled >= len(t.ring) {
				t.look()
			}
		}
	}
}

// String returns how string n, 1 to 6, stands.
func (t *Tuner) String(n int) Reading { return t.strings[n-1].reading }

// look takes in the last window.
func (t *Tuner) look() {
	for i := range t.x {
		t.x[i] = float64(t.ring[(t.pos+i)%len(t.ring)]) * t.window[i]
	}
	t.spec = t.fft.Coefficients(t.spec, t.x)
	var at [6][partials]float64 // cents from their places
	var rose [6]bool
	var was [6][partials]float64
	var share [6]float64
	top := 0.0
	for i := range t.strings {
		for p := range at[i] {
			power, _ := t.peak(t.strings[i].hz * float64(p+1))
			top = max(top, power)
		}
	}
	for i := range t.strings {
		s := &t.strings[i]
		old := s.power[(s.hops+1)%len(s.power)] // as long ago as there is room for
		now := &s.power[s.hops%len(s.power)]
		s.hops++
		best := 0.0
		for p := range at[i] {
			now[p], at[i][p] = t.peak(s.hz * float64(p+1))
			if s.tells(p) {
				if s.hops > len(s.power) && now[p] > max(quietest, faint*top) && now[p] > s.rise()*old[p] {
					best = max(best, now[p])
				}
			}
		}
		rose[i], share[i], was[i] = best > 0, best, old
	}
	// The string whose partials rose most was plucked, unless what rose may be
	// a lower string's.
	loudest := -1
	for i := range rose {
		if rose[i] && (loudest < 0 || t.strings[i].anyOwn && !t.strings[loudest].anyOwn ||
			t.strings[i].anyOwn == t.strings[loudest].anyOwn && share[i] > share[loudest]) {
			loudest = i
		}
	}
	for i := range t.strings {
		s := &t.strings[i]
		switch {
		case i == loudest && (s.plucked < 0 || s.plucked > 2*len(s.power)):
			s.plucked, s.before = 0, was[i]
		case loudest >= 0 && i != loudest && share[loudest] > share[i]:
			if s.plucked < len(s.power) {
				s.plucked = -1 // another was plucked before this one was read
			}
		}
		if s.plucked < 0 {
			continue
		}
		// Read where the window holds the string from its pluck on.
		if s.plucked++; s.plucked == len(s.power) {
			s.read(at[i])
		}
	}
}

// tells reports whether partial p, from 0, says something of the string: one of
// its own, or, where it has none, one of its lowest that rise.
func (s *one) tells(p int) bool { return s.own[p] || !s.anyOwn && p < 2 }

// rise is by how much a partial of the string must rise.
func (s *one) rise() float64 {
	if s.anyOwn {
		return rise
	}
	return shared * rise
}

// read takes the partials that are the string's own, weighted by their
// strength.
func (s *one) read(at [partials]float64) {
	now := s.power[(s.hops-1)%len(s.power)]
	var sum, weight float64
	for p := range at {
		if !s.tells(p) || now[p] < quietest {
			continue
		}
		// What was there before pulls towards itself.
		w := math.Max(math.Sqrt(now[p])-pull*math.Sqrt(s.before[p]), 0)
		sum, weight = sum+w*at[p], weight+w
	}
	if weight > 0 {
		s.reading = Reading{sum / weight, true}
	}
}

// peak is the strongest partial near a frequency: its power and how many cents
// it lies from there.
func (t *Tuner) peak(hz float64) (power, off float64) {
	bin := float64(t.rate) / float64(len(t.x))
	lo := int(math.Floor(hz * math.Exp2(-reach/1200) / bin))
	hi := int(math.Ceil(hz * math.Exp2(reach/1200) / bin))
	at := -1
	for k := max(lo, 1); k <= min(hi, len(t.spec)-2); k++ {
		if p := t.power(k); p > power && p >= t.power(k-1) && p >= t.power(k+1) {
			power, at = p, k
		}
	}
	if at < 0 || power == 0 {
		return 0, 0
	}
	// The vertex of a parabola through the logarithms.
	a, b, c := math.Log(t.power(at-1)+1e-30), math.Log(power), math.Log(t.power(at+1)+1e-30)
	d := 0.0
	if q := a - 2*b + c; q < 0 {
		d = (a - c) / (2 * q)
	}
	return power, cents((float64(at)+d)*bin, hz)
}

func (t *Tuner) power(k int) float64 {
	re, im := real(t.spec[k]), imag(t.spec[k])
	n := float64(len(t.x)) / 2
	return (re*re + im*im) / (n * n)
}
