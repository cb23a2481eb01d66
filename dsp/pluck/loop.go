package pluck

import "math"

// loop is one polarisation of a string: the delay line of Karplus & Strong
// (Computer Music Journal 7(2), 1983) with the loop filters of Jaffe & Smith
// (same issue): a first-order allpass for the fraction of the delay, a
// one-pole lowpass for the damping, two equal first-order allpasses for the
// stiffness.
type loop struct {
	buf  []float64 // length a power of two
	w    int       // where the next sample is written
	n    int       // delay in samples
	frac float64   // coefficient of the fractional delay's allpass
	disp float64   // coefficient of the dispersion allpasses
	gain float64   // of the lowpass at 0 Hz
	pole float64   // of the lowpass
	rip  float64   // gain of the ripple's tap
	ripN int       // its delay in samples

	sFrac, sDisp1, sDisp2, sLow float64
}

// reference is the frequency in Hz at which HighDecay holds.
const reference = 2000

// tune sets the loop to a first partial of hz that falls by 60 dB in decay
// seconds, by 60 dB in high seconds at the reference frequency, and whose
// partials are stretched by inharmonicity. The ripple (Välimäki, Penttinen,
// Knif, Laurson & Erkut, EURASIP J. Applied Signal Processing 2004:7) is an
// extra tap of the line, a fraction at of the round later.
func (l *loop) tune(hz, rate, decay, high, inharmonicity, ripple, at float64) {
	// The decay per round in nepers is ln(1000)/(T60 f).
	w1 := 2 * math.Pi * hz / rate
	ref := math.Min(math.Max(reference, 2.5*hz), 0.4*rate)
	wr := 2 * math.Pi * ref / rate
	loss := math.Ln10 * 3 / hz
	extra := loss * (1/math.Min(high, decay) - 1/decay) * math.Pow(ref/reference, 0.5)
	want := math.Exp(-extra)
	ratio := func(a float64) float64 {
		return math.Sqrt((1 - 2*a*math.Cos(w1) + a*a) / (1 - 2*a*math.Cos(wr) + a*a))
	}
	lo, hi := 0.0, 0.95
	for range 40 {
		mid := (lo + hi) / 2
		if ratio(mid) > want {
			lo = mid
		} else {
			hi = mid
		}
	}
	a := (lo + hi) / 2
	l.pole = a
	norm := math.Sqrt(1-2*a*math.Cos(w1)+a*a) / (1 - a) // undoes the lowpass at the first partial
	target := math.Exp(-loss / decay)
	l.gain = math.Min(target*norm, 0.99999)
	lowDelay := math.Atan2(a*math.Sin(w1), 1-a*math.Cos(w1)) / w1

	// A stiff string's n-th partial needs a round of P/sqrt(1+Bn^2) samples: to
	// first order P^3 B w^2/(8 pi^2) less than at 0 Hz. A first-order allpass of
	// delay k at 0 Hz gives (k^3-k) w^2/12 less.
	p := rate / hz
	drop := p * p * p * inharmonicity / (8 * math.Pi * math.Pi)
	cubic := 12 * drop / 2
	k := math.Cbrt(cubic) + 1
	for range 30 {
		k -= (k*k*k - k - cubic) / (3*k*k - 1)
	}
	k = math.Max(k, 1)
	l.disp = (1 - k) / (1 + k)
	dispDelay := 2 * math.Atan(k*math.Tan(w1/2)) / w1

	l.rip = ripple * (1 - target)
	l.ripN = int(at * p)
	re, im := 1+l.rip*math.Cos(w1*float64(l.ripN)), -l.rip*math.Sin(w1*float64(l.ripN))
	ripDelay := -math.Atan2(im, re) / w1
	l.gain = math.Min(l.gain/math.Hypot(re, im), 0.99999/(1+math.Abs(l.rip)))

	rest := p - lowDelay - 2*dispDelay - ripDelay
	l.n = int(rest - 0.5)
	d := rest - float64(l.n) // 0.5 to 1.5
	// Exact at the first partial.
	l.frac = math.Sin((1-d)*w1/2) / math.Sin((1+d)*w1/2)
}

func (l *loop) clear() {
	clear(l.buf)
	l.sFrac, l.sDisp1, l.sDisp2, l.sLow = 0, 0, 0, 0
}

// scale multiplies everything that swings by f.
func (l *loop) scale(f float64) {
	for i := range l.buf {
		l.buf[i] *= f
	}
	l.sFrac *= f
	l.sDisp1 *= f
	l.sDisp2 *= f
	l.sLow *= f
}

// refit stretches the round that is in the line from old to l.n samples, so
// that the shape of the string survives a change of its length. tmp is at
// least as long as the line.
func (l *loop) refit(old int, tmp []float64) {
	mask := len(l.buf) - 1
	n := l.n
	for i := range n {
		at := float64(i) * float64(old) / float64(n)
		j := int(at)
		f := at - float64(j)
		tmp[i] = (1-f)*l.buf[(l.w-old+j)&mask] + f*l.buf[(l.w-old+min(j+1, old-1))&mask]
	}
	clear(l.buf)
	for i := range n {
		l.buf[(l.w-n+i)&mask] = tmp[i]
	}
}
