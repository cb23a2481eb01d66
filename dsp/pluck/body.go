package pluck

import "math"

// body turns the pull on the bridge into sound: a direct path between two
// gentle filters and a bank of two-pole resonators.
type body struct {
	b, a1, a2 [Modes]float64
	y1, y2    [Modes]float64
	x1, x2    float64
	hp, lp    float64 // coefficients of the one-pole filters
	sHP, sHP2 float64
	sLP       float64
	gain      float64
	past      []float64 // the last pulls, a ring of a power of two
	at        int
	delay     [Reflections]int
	echo      [Reflections]float64
	diffuse   [diffusers]diffuser
	diffusion float64
}

// diffusers is the number of allpasses that smear the sound.
const diffusers = 3

// diffuser is an allpass of Schroeder (J. Audio Engineering Society 10(3),
// 1962): all frequencies pass alike, spread over time.
type diffuser struct {
	buf []float64
	at  int
}

const diffuserGain = 0.6

func (f *diffuser) next(x float64) float64 {
	old := f.buf[f.at]
	v := x + diffuserGain*old
	f.buf[f.at] = v
	if f.at++; f.at == len(f.buf) {
		f.at = 0
	}
	return old - diffuserGain*v
}

func newBody(g *Guitar, rate float64) body {
	var d body
	for i, m := range g.Body {
		r := math.Exp(-1 / (m.Decay * rate))
		d.a1[i] = 2 * r * math.Cos(2*math.Pi*m.Hz/rate)
		d.a2[i] = -r * r
		d.b[i] = m.Gain * (1 - r*r) / 2 // unit gain at resonance, none at 0 Hz
	}
	d.hp = 1 - math.Exp(-2*math.Pi*g.LowCut/rate)
	d.lp = 1 - math.Exp(-2*math.Pi*math.Min(g.HighCut, 0.45*rate)/rate)
	d.gain = 1
	size := 1
	for size < int(0.015*rate)+2 {
		size *= 2
	}
	d.past = make([]float64, size)
	for i, e := range g.Echoes {
		d.delay[i] = max(1, int(math.Round(e.Delay*rate)))
		d.echo[i] = e.Gain
	}
	// Delays without a common divisor, moved with the first echoes: they stand
	// for the size of the box.
	box := math.Min(math.Max(g.Echoes[0].Delay/0.00043, 0.5), 2)
	for i, seconds := range [diffusers]float64{0.00187, 0.00413, 0.00719} {
		d.diffuse[i].buf = make([]float64, max(1, int(math.Round(seconds*box*rate))))
	}
	d.diffusion = g.Diffusion
	return d
}

// sound writes what is heard to dst: force through top and air, and noise,
// which reaches the microphone without the guitar.
func (d *body) sound(dst []float32, force, noise []float64) {
	x1, x2, h1, h2, lp := d.x1, d.x2, d.sHP, d.sHP2, d.sLP
	past, mask, at := d.past, len(d.past)-1, d.at
	for i := range dst {
		x := force[i]
		past[at&mask] = x
		for k, n := range d.delay {
			x += d.echo[k] * past[(at-n)&mask]
		}
		at++
		diff := force[i] - x2
		x2, x1 = x1, force[i]
		h1 += d.hp * (x - h1)
		x -= h1
		h2 += d.hp * (x - h2)
		x -= h2
		smear := x
		for k := range d.diffuse {
			smear = d.diffuse[k].next(smear)
		}
		x += d.diffusion * (smear - x)
		lp += d.lp * (x - lp)
		out := lp
		for m := range Modes {
			y := d.b[m]*diff + d.a1[m]*d.y1[m] + d.a2[m]*d.y2[m]
			d.y2[m] = d.y1[m]
			d.y1[m] = y
			out += y
		}
		dst[i] = limit(d.gain*out + noise[i])
	}
	d.x1, d.x2, d.sHP, d.sHP2, d.sLP, d.at = x1, x2, h1, h2, lp, at&mask
}

// floor is 140 dB below a loud pull on the bridge.
const floor = 1e-7

// rest clears each filter that holds nothing to be heard, before its numbers
// become denormal.
func (d *body) rest() {
	for m := range Modes {
		if math.Abs(d.y1[m]) < floor && math.Abs(d.y2[m]) < floor {
			d.y1[m], d.y2[m] = 0, 0
		}
	}
	if math.Abs(d.sHP) < floor && math.Abs(d.sHP2) < floor && math.Abs(d.sLP) < floor && d.stillness() {
		d.sHP, d.sHP2, d.sLP = 0, 0, 0
		for k := range d.diffuse {
			clear(d.diffuse[k].buf)
		}
	}
}

// stillness reports whether the diffusers hold nothing to be heard.
func (d *body) stillness() bool {
	for k := range d.diffuse {
		for _, v := range d.diffuse[k].buf {
			if math.Abs(v) >= floor {
				return false
			}
		}
	}
	return true
}

// limit is the identity up to 0.7 and bends smoothly towards 1 above.
func limit(x float64) float32 {
	const knee = 0.7
	if x > knee {
		x = knee + (1-knee)*math.Tanh((x-knee)/(1-knee))
	} else if x < -knee {
		x = -knee + (1-knee)*math.Tanh((x+knee)/(1-knee))
	}
	return float32(x)
}

// silent reports whether nothing sounds any more.
func (d *body) silent() bool { return d.y1 == [Modes]float64{} && d.sHP == 0 && d.sLP == 0 }
