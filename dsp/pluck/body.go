package pluck

import "math"

// body turns the pull on the bridge into sound: a direct path between two
// gentle filters and a bank of two-pole resonators.
type body struct {
	b, a1, a2 [Modes]float64
	y1, y2    [Modes]float64
	x1, x2    float64
	hp, lp    float64 // coefficients
	sHP, sLP  float64
	gain      float64
	resting   bool
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
	return d
}

// sound writes what is heard to dst: force through top and air, and noise,
// which reaches the microphone without the guitar.
func (d *body) sound(dst []float32, force, noise []float64) {
	x1, x2, hp, lp := d.x1, d.x2, d.sHP, d.sLP
	for i := range dst {
		x := force[i]
		diff := x - x2
		x2, x1 = x1, x
		hp += d.hp * (x - hp)
		lp += d.lp * (x - hp - lp)
		out := lp
		for m := range Modes {
			y := d.b[m]*diff + d.a1[m]*d.y1[m] + d.a2[m]*d.y2[m]
			d.y2[m] = d.y1[m]
			d.y1[m] = y
			out += y
		}
		dst[i] = limit(d.gain * (out + noise[i]))
	}
	d.x1, d.x2, d.sHP, d.sLP = x1, x2, hp, lp
}

// floor is 160 dB below a loud pull on the bridge.
const floor = 1e-8

// rest clears each filter that holds nothing to be heard, before its numbers
// become denormal.
func (d *body) rest() {
	for m := range Modes {
		if math.Abs(d.y1[m]) < floor && math.Abs(d.y2[m]) < floor {
			d.y1[m], d.y2[m] = 0, 0
		}
	}
	if math.Abs(d.sHP) < floor && math.Abs(d.sLP) < floor {
		d.sHP, d.sLP = 0, 0
	}
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
