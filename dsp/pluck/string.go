package pluck

import (
	"math"
	"math/rand/v2"
)

// vibrator is one string: two polarisations, a finger that may damp it, and
// the excitation that is being fed in.
type vibrator struct {
	quick, slow loop // across and along the top
	active      bool
	period      float64 // samples
	plucked     int64   // sample of the last pluck

	exc               []float64 // of the last pluck
	excLen, excPos    int
	toQuick, toSlow   float64 // excitation into each polarisation
	outQuick, outSlow float64 // each polarisation's pull on the bridge
	env, envMul       float64 // the damping finger
	peak              float64 // since the last look
	quietBlocks       int
	tmp               []float64
}

// newVibrator allocates for a lowest frequency of hz.
func newVibrator(hz, rate float64) vibrator {
	period := int(rate/hz) + 8
	size := 1
	for size < period*8/5+2 { // the ripple's tap lies beyond the round
		size *= 2
	}
	return vibrator{
		quick: loop{buf: make([]float64, size)},
		slow:  loop{buf: make([]float64, size)},
		tmp:   make([]float64, size),
		exc:   make([]float64, period+int(0.012*rate)),
		env:   1, envMul: 1,
		plucked: math.MinInt64 / 2,
	}
}

// damp lets a finger stop the string with a time constant in samples.
func (v *vibrator) damp(tau float64) {
	m := math.Exp(-1 / tau)
	if m < v.envMul {
		v.envMul = m
	}
}

func (v *vibrator) silence() {
	v.quick.clear()
	v.slow.clear()
	v.active = false
	v.excPos, v.excLen = 0, 0
	v.env, v.envMul = 1, 1
	v.peak, v.quietBlocks = 0, 0
}

// release settles a damped string at what is left of it, so that a new pluck
// is not damped with the old one.
func (v *vibrator) release() {
	if v.env < 1 {
		v.quick.scale(v.env)
		v.slow.scale(v.env)
		for i := v.excPos; i < v.excLen; i++ {
			v.exc[i] *= v.env
		}
	}
	v.env, v.envMul = 1, 1
}

// render adds the string's pull on the bridge to force.
func (v *vibrator) render(force []float64) {
	if n := v.excLen - v.excPos; n > 0 {
		n = min(n, len(force))
		v.run(force[:n], v.exc[v.excPos:v.excPos+n])
		v.excPos += n
		force = force[n:]
	}
	if len(force) > 0 {
		v.run(force, nil)
	}
}

func (v *vibrator) run(force, exc []float64) {
	a, b := &v.quick, &v.slow
	abuf, bbuf := a.buf, b.buf
	amask, bmask := len(abuf)-1, len(bbuf)-1
	aw, bw, an, bn := a.w, b.w, a.n, b.n
	af, ad, ag, ap := a.frac, a.disp, a.gain*(1-a.pole), a.pole
	bf, bd, bg, bp := b.frac, b.disp, b.gain*(1-b.pole), b.pole
	ar, aR, br, bR := a.rip, a.ripN, b.rip, b.ripN
	a0, a1, a2, a3 := a.sFrac, a.sDisp1, a.sDisp2, a.sLow
	b0, b1, b2, b3 := b.sFrac, b.sDisp1, b.sDisp2, b.sLow
	env, mul, oq, os := v.env, v.envMul, v.outQuick, v.outSlow
	peak := v.peak
	for i := range force {
		x := abuf[(aw-an)&amask] + ar*abuf[(aw-an-aR)&amask]
		y := af*x + a0
		a0 = x - af*y
		x = ad*y + a1
		a1 = y - ad*x
		y = ad*x + a2
		a2 = x - ad*y
		a3 = ag*y + ap*a3

		x = bbuf[(bw-bn)&bmask] + br*bbuf[(bw-bn-bR)&bmask]
		y = bf*x + b0
		b0 = x - bf*y
		x = bd*y + b1
		b1 = y - bd*x
		y = bd*x + b2
		b2 = x - bd*y
		b3 = bg*y + bp*b3

		q, s := a3, b3
		if i < len(exc) {
			q += v.toQuick * exc[i]
			s += v.toSlow * exc[i]
		}
		abuf[aw&amask] = q
		bbuf[bw&bmask] = s
		aw++
		bw++
		out := env * (oq*q + os*s)
		env *= mul
		force[i] += out
		if out > peak {
			peak = out
		} else if -out > peak {
			peak = -out
		}
	}
	a.w, b.w = aw&amask, bw&bmask
	a.sFrac, a.sDisp1, a.sDisp2, a.sLow = a0, a1, a2, a3
	b.sFrac, b.sDisp1, b.sDisp2, b.sLow = b0, b1, b2, b3
	v.env = env
	v.peak = peak
}

// quiet is a string's peak below which it is taken to stand still, and
// stopped the damping at which the finger has silenced it.
const (
	quiet   = 1e-5
	stopped = 1e-4
)

// tidy is called at every block's end: it puts a string to rest that no longer
// swings, which also keeps denormal numbers away.
func (v *vibrator) tidy() {
	if v.env < stopped {
		v.silence()
		return
	}
	if v.peak < quiet && v.excPos >= v.excLen {
		v.quietBlocks++
	} else {
		v.quietBlocks = 0
	}
	v.peak = 0
	if float64(v.quietBlocks*block) > 2*v.period {
		v.silence()
	}
}

// excite prepares what a pluck at the fraction at of the sounding length feeds
// into the string. A string pulled aside there and let go pulls the bridge
// with a pulse of that fraction of the period (Fletcher & Rossing, The Physics
// of Musical Instruments, the plucked string); the finger's width rounds it
// with two one-pole lowpasses of edge Hz.
func (v *vibrator) excite(at, edge, amp, noise, rate float64, rng *rand.Rand) {
	p := v.period
	width := at * p
	// Equal energy wherever it is plucked, moderated: near the bridge the
	// string resists more.
	hi := amp / math.Pow(at/(1-at), 0.35)
	lo := -hi * at / (1 - at)
	area := func(t float64) float64 { // integral of the pulse from 0 to t
		switch {
		case t <= width:
			return hi * t
		case t <= p:
			return hi*width + lo*(t-width)
		}
		return hi*width + lo*(p-width)
	}
	c := 1 - math.Exp(-2*math.Pi*edge/rate)
	tail := int(5 * rate / (2 * math.Pi * edge))
	n := min(int(p)+2+tail, len(v.exc))
	fade := math.Exp(-1 / (0.0015 * rate))
	nAmp := hi * noise
	var y1, y2, prev, nz float64
	for i := range n {
		cum := area(float64(i + 1))
		x := cum - prev
		prev = cum
		if nAmp > 1e-6*hi {
			r := rng.Float64()*2 - 1
			x += nAmp * (r - nz) // first difference: no low end
			nz = r
			nAmp *= fade
		}
		y1 += c * (x - y1)
		y2 += c * (y1 - y2)
		v.exc[i] = y2
	}
	// The loop would keep a constant for long: what the noise and the cut tail
	// left of one is taken out again, gently.
	var sum float64
	for _, x := range v.exc[:n] {
		sum += x
	}
	for i := range v.exc[:n] {
		v.exc[i] -= sum / float64(n) * (1 - math.Cos(2*math.Pi*(float64(i)+0.5)/float64(n)))
	}
	v.excLen, v.excPos = n, 0
}
