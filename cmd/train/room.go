package main

import (
	"math"
	"math/rand/v2"
)

// room makes of a clean recording what a microphone somewhere hears: distance,
// walls, noise, people, cheap electronics. x is changed in place. In company
// somebody talks or sings who is as loud as the guitar.
func room(x []float32, rate int, s *scene, company bool, voices []talk, rng *rand.Rand) {
	chance := func(p float64) bool { return rng.Float64() < p }
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	if chance(0.6) { // tone of the room and the microphone
		for range 1 + rng.IntN(3) {
			peak(x, rate, math.Exp(between(math.Log(70), math.Log(4000))), between(-9, 9), between(0.4, 2))
		}
	}
	if chance(0.35) {
		soften(x, rate, between(0.2, 0.9), between(0.006, 0.03))
	}
	if chance(0.25) {
		reverberate(x, rate, between(0.15, 0.9), between(-24, -3), rng)
	} else if chance(0.4) { // beyond a metre or so most of what is heard is not direct
		walls(x, rate, math.Exp(between(math.Log(0.12), math.Log(1.2))), between(-16, 9), rng)
	}
	if chance(0.5) {
		claps(x, rate, between(-34, -1), s, rng)
	}
	if company {
		people(x, rate, between(-16, 6), voices, rng)
	} else if chance(0.2) {
		people(x, rate, between(-30, -10), voices, rng)
	}
	if chance(0.12) {
		steps(x, rate, between(-25, -1), rng)
	}
	level := rms(x)
	if chance(0.75) {
		noise(x, level*math.Pow(10, -between(12, 50)/20), between(0, 1), rng)
	}
	if chance(0.2) {
		f := []float64{50, 60}[rng.IntN(2)]
		hum(x, rate, f*(1+between(-0.002, 0.002)), level*math.Pow(10, -between(15, 45)/20), rng)
	}
	if chance(0.25) { // a laptop's microphone, a phone's
		f := between(90, 220)
		for range 1 + rng.IntN(2) {
			highPass(x, rate, f)
		}
	}
	if chance(0.12) {
		gain(x, rate, between(0.1, 0.8))
	}
	peak := top(x)
	if peak == 0 {
		return
	}
	scale := float32(math.Pow(10, -between(1, 36)/20) / peak)
	limit := float32(1)
	if chance(0.1) {
		limit = scale * float32(peak*between(0.25, 0.7))
	}
	for i, v := range x {
		x[i] = min(max(v*scale, -limit), limit)
	}
}

func drawn(rng *rand.Rand, a, b float64) float64 { return a + (b-a)*rng.Float64() }

// top is the largest magnitude in x.
func top(x []float32) float64 {
	top := 0.0
	for _, v := range x {
		top = max(top, math.Abs(float64(v)))
	}
	return top
}

func rms(x []float32) float64 {
	sum := 0.0
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return math.Sqrt(sum / float64(len(x)))
}

// biquad runs a second-order section over x.
func biquad(x []float32, b0, b1, b2, a0, a1, a2 float64) {
	var s1, s2 float64
	for i, v := range x {
		y := b0/a0*float64(v) + s1
		s1 = b1/a0*float64(v) - a1/a0*y + s2
		s2 = b2/a0*float64(v) - a2/a0*y
		x[i] = float32(y)
	}
}

// peak lifts or lowers the band round f Hz by db. Filters after R.
// Bristow-Johnson, "Cookbook formulae for audio EQ biquad filter coefficients".
func peak(x []float32, rate int, f, db, q float64) {
	a := math.Pow(10, db/40)
	w := 2 * math.Pi * f / float64(rate)
	alpha := math.Sin(w) / 2 / q
	c := math.Cos(w)
	biquad(x, 1+alpha*a, -2*c, 1-alpha*a, 1+alpha/a, -2*c, 1-alpha/a)
}

func highPass(x []float32, rate int, f float64) {
	w := 2 * math.Pi * f / float64(rate)
	alpha := math.Sin(w) / math.Sqrt2
	c := math.Cos(w)
	biquad(x, (1+c)/2, -1-c, (1+c)/2, 1+alpha, -2*c, 1-alpha)
}

func lowPass(x []float32, rate int, f float64) {
	w := 2 * math.Pi * f / float64(rate)
	alpha := math.Sin(w) / math.Sqrt2
	c := math.Cos(w)
	biquad(x, (1-c)/2, 1-c, (1-c)/2, 1+alpha, -2*c, 1-alpha)
}

// reverberate adds a tail of rt60 seconds, wet dB relative to the sound: eight
// combs and two allpasses (Schroeder, JAES 10, 1962) of lengths drawn anew.
func reverberate(x []float32, rate int, rt60, wet float64, rng *rand.Rand) {
	in := append([]float32(nil), x...)
	lowPass(in, rate, 2500+4000*rng.Float64())
	out := make([]float32, len(x))
	for range 8 {
		d := int(float64(rate) * (0.011 + 0.034*rng.Float64()))
		g := float32(math.Pow(10, -3*float64(d)/float64(rate)/rt60))
		line := make([]float32, d)
		damp, last := float32(0.2+0.3*rng.Float64()), float32(0)
		for i, v := range in {
			y := line[i%d]
			last = y + damp*(last-y)
			line[i%d] = v + g*last
			out[i] += y
		}
	}
	for range 2 {
		d := int(float64(rate) * (0.001 + 0.005*rng.Float64()))
		line := make([]float32, d)
		for i, v := range out {
			y := line[i%d]
			u := v + 0.6*y
			line[i%d] = u
			out[i] = y - 0.6*u
		}
	}
	g := float32(math.Pow(10, wet/20) * rms(x) / (rms(out) + 1e-12))
	for i := range x {
		x[i] += g * out[i]
	}
}

// noise adds noise of an RMS, from white (tilt 0) to strongly low-pitched (1).
func noise(x []float32, level, tilt float64, rng *rand.Rand) {
	n := make([]float32, len(x))
	a := float32(0.98 * tilt)
	last := float32(0)
	for i := range n {
		last = a*last + float32(rng.NormFloat64())
		n[i] = last
	}
	g := float32(level / (rms(n) + 1e-12))
	for i := range x {
		x[i] += g * n[i]
	}
}

func hum(x []float32, rate int, f, level float64, rng *rand.Rand) {
	for n := 1; n <= 5; n++ {
		w := 2 * math.Pi * f * float64(n) / float64(rate)
		a := level * math.Sqrt2 / float64(n) * rng.Float64()
		for i := range x {
			x[i] += float32(a * math.Sin(w*float64(i)))
		}
	}
}

// burst adds a decaying noise through a resonance at f Hz.
func burst(x []float32, rate int, at, f, q, decay, level float64, rng *rand.Rand) {
	n := int(6 * decay * float64(rate))
	i0 := int(at * float64(rate))
	b := make([]float32, n)
	for i := range b {
		b[i] = float32(rng.NormFloat64() * math.Exp(-float64(i)/decay/float64(rate)))
	}
	w := 2 * math.Pi * f / float64(rate)
	alpha := math.Sin(w) / 2 / q
	biquad(b, alpha, 0, -alpha, 1+alpha, -2*math.Cos(w), 1-alpha)
	top := 1e-9
	for _, v := range b {
		top = max(top, math.Abs(float64(v)))
	}
	for i, v := range b {
		if i0+i >= 0 && i0+i < len(x) {
			x[i0+i] += float32(float64(v) * level / top)
		}
	}
}

// claps adds palmas on a pulse that knows nothing of the playing, or with the
// player's own strokes.
func claps(x []float32, rate int, db float64, s *scene, rng *rand.Rand) {
	level := math.Pow(10, db/20)
	period := 0.23 + 0.6*rng.Float64()
	f, q, decay := 700+1500*rng.Float64(), 0.7+2*rng.Float64(), 0.004+0.02*rng.Float64()
	clap := func(t float64) {
		burst(x, rate, t+0.004*rng.NormFloat64(), f, q, decay, level*(0.4+0.6*rng.Float64()), rng)
	}
	if rng.Float64() < 0.4 {
		for i, e := range s.events {
			if (i == 0 || e.At > s.events[i-1].At+0.1) && rng.Float64() < 0.6 {
				clap(e.At + 0.012*rng.NormFloat64())
			}
		}
		return
	}
	for t := rng.Float64(); t < float64(len(x))/float64(rate); t += period {
		clap(t)
	}
}

// steps adds footwork: low thumps with a hard edge.
func steps(x []float32, rate int, db float64, rng *rand.Rand) {
	level := math.Pow(10, db/20)
	for t := rng.Float64(); t < float64(len(x))/float64(rate); t += 0.12 + 0.8*rng.Float64() {
		burst(x, rate, t, 50+90*rng.Float64(), 1.5+3*rng.Float64(), 0.02+0.05*rng.Float64(), level, rng)
		burst(x, rate, t, 1000+2000*rng.Float64(), 0.8, 0.005, level*0.5, rng)
	}
}

// gain levels x as an automatic recorder does, with attack and release of
// seconds times a tenth and one.
func gain(x []float32, rate int, release float64) {
	env := 0.0
	up, down := 1-math.Exp(-1/(0.01*float64(rate))), 1-math.Exp(-1/(release*float64(rate)))
	for i, v := range x {
		a := math.Abs(float64(v))
		if a > env {
			env += up * (a - env)
		} else {
			env += down * (a - env)
		}
		x[i] = float32(float64(v) / math.Pow(env+0.02, 0.6))
	}
}

// soften takes the edge off attacks: where the level rises faster than it can
// be followed in a time of lag seconds, it is held down, by the given power of
// how far it is ahead. Strings, flesh and players differ in this more than a
// handful of recordings shows.
func soften(x []float32, rate int, power, lag float64) {
	fast, slow := 1e-6, 1e-6
	quick := 1 - math.Exp(-1/(0.002*float64(rate)))
	late := 1 - math.Exp(-1/(lag*float64(rate)))
	for i, v := range x {
		a := math.Abs(float64(v)) + 1e-6
		fast += quick * (a - fast)
		slow += late * (a - slow)
		if fast > slow {
			x[i] = float32(float64(v) * math.Pow(slow/fast, power))
		}
	}
}
