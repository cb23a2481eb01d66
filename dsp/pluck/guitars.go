package pluck

import (
	"math"
	"math/rand/v2"
)

// Classic is an even, well-kept concert guitar played between rosette and
// bridge.
func Classic() Guitar {
	return Guitar{
		Name: "classic",
		Strings: [6]StringSpec{
			{Open: 64, Decay: 4.0, HighDecay: 1.3, Inharmonicity: 2.2e-5, Gain: 1, Ripple: 0.30, RippleAt: 0.37},
			{Open: 59, Decay: 4.2, HighDecay: 1.2, Inharmonicity: 4.5e-5, Gain: 1, Ripple: -0.35, RippleAt: 0.29},
			{Open: 55, Decay: 4.4, HighDecay: 1.0, Inharmonicity: 9e-5, Gain: 1, Ripple: 0.40, RippleAt: 0.43},
			{Open: 50, Decay: 7.0, HighDecay: 2.0, Inharmonicity: 1.5e-5, Gain: 1, Ripple: -0.40, RippleAt: 0.31},
			{Open: 45, Decay: 7.5, HighDecay: 2.1, Inharmonicity: 1.8e-5, Gain: 1, Ripple: 0.45, RippleAt: 0.27},
			{Open: 40, Decay: 8.0, HighDecay: 2.2, Inharmonicity: 2e-5, Gain: 1, Ripple: -0.35, RippleAt: 0.35},
		},
		Body: [Modes]Mode{
			{Hz: 98, Decay: 0.065, Gain: -1.5},
			{Hz: 196, Decay: 0.036, Gain: 3.0},
			{Hz: 240, Decay: 0.030, Gain: 1.6},
			{Hz: 395, Decay: 0.025, Gain: 1.3},
			{Hz: 510, Decay: 0.020, Gain: 1.0},
			{Hz: 690, Decay: 0.014, Gain: 0.9},
			{Hz: 980, Decay: 0.010, Gain: 0.8},
		},
		Echoes: [Reflections]Reflection{
			{0.00043, 0.30}, {0.00081, -0.34}, {0.00137, 0.27}, {0.00212, -0.25},
			{0.00329, 0.22}, {0.00486, -0.16}, {0.00711, 0.12}, {0.01033, -0.08},
		},
		Diffusion: 0.6,
		Position:  0.16, Spread: 0.15, Edge: 5500, Softness: 1.6,
		Detune: 0.7, Quick: 0.5, Lean: 0.35,
		Noise: 0.10, Thump: 1, LowCut: 180, HighCut: 9000,
	}
}

// scaled returns the guitar with its strings' decays multiplied.
func (g Guitar) scaled(name string, decay, high float64) Guitar {
	g.Name = name
	for i := range g.Strings {
		s := &g.Strings[i]
		s.Decay *= decay
		s.HighDecay = math.Min(s.HighDecay*high, s.Decay)
	}
	return g
}

// Guitars returns the ready guitars, each with a name of its own.
func Guitars() []Guitar {
	bright := Classic().scaled("bright", 1.1, 1.6)
	bright.Edge, bright.Softness, bright.Position, bright.Noise, bright.HighCut = 9000, 1.2, 0.13, 0.14, 14000

	dull := Classic().scaled("dull", 0.8, 0.5)
	dull.Edge, dull.Position, dull.Noise, dull.HighCut = 2000, 0.22, 0.05, 4500

	worn := Classic().scaled("worn strings", 0.6, 0.25)
	for i := 3; i < 6; i++ { // a corroded winding is heavier here than there
		worn.Strings[i].Inharmonicity *= 2
		worn.Strings[i].Cents = [6]float64{3: 4, 4: -5, 5: 6}[i]
	}
	worn.Detune, worn.Edge = 1.4, 3000

	cheap := Classic().scaled("cheap", 0.55, 0.7)
	cheap.Body = [Modes]Mode{
		{Hz: 112, Decay: 0.045, Gain: -1.2}, {Hz: 228, Decay: 0.060, Gain: 4.0}, {Hz: 263, Decay: 0.030, Gain: 1.6},
		{Hz: 452, Decay: 0.035, Gain: 1.8}, {Hz: 570, Decay: 0.025, Gain: 1.4}, {Hz: 815, Decay: 0.020, Gain: 1.3}, {Hz: 1260, Decay: 0.012, Gain: 1.0},
	}
	cheap.LowCut, cheap.Thump, cheap.HighCut = 260, 1.7, 6000

	bridge := Classic().scaled("near the bridge", 1, 1)
	bridge.Diffusion = 0.3
	bridge.Position, bridge.Spread, bridge.Edge, bridge.Softness = 0.07, 0.2, 6000, 1

	rosette := Classic().scaled("over the rosette", 1, 1)
	rosette.Position, rosette.Edge, rosette.Softness = 0.27, 3000, 1.8

	// A flamenco guitar: thin cypress, low strings, quick answer, short tone.
	blanca := Classic().scaled("blanca", 0.55, 1.1)
	blanca.Body = [Modes]Mode{
		{Hz: 94, Decay: 0.055, Gain: -2.6}, {Hz: 186, Decay: 0.040, Gain: 3.2}, {Hz: 222, Decay: 0.035, Gain: 1.6},
		{Hz: 372, Decay: 0.025, Gain: 1.6}, {Hz: 468, Decay: 0.018, Gain: 1.2}, {Hz: 640, Decay: 0.014, Gain: 1.0}, {Hz: 910, Decay: 0.010, Gain: 0.9},
	}
	blanca.Diffusion = 0.45
	blanca.Position, blanca.Edge, blanca.Noise, blanca.Thump, blanca.Quick = 0.12, 6000, 0.2, 1.4, 0.4

	flesh := Classic().scaled("flesh of the thumb", 1, 0.9)
	flesh.Edge, flesh.Softness, flesh.Noise, flesh.Thump = 1200, 1.2, 0.04, 1.8

	boomy := Classic().scaled("boomy", 0.9, 0.8)
	boomy.Body[0].Gain, boomy.Body[1].Gain = -5, 6
	boomy.Body[0].Decay, boomy.Body[1].Decay = 0.09, 0.09
	boomy.Thump, boomy.LowCut = 2, 110

	thin := Classic().scaled("thin", 0.9, 1.2)
	thin.LowCut, thin.Body[0].Gain, thin.Body[1].Gain = 420, -0.5, 0.9

	return []Guitar{Classic(), bright, dull, worn, cheap, bridge, rosette, blanca, flesh, boomy, thin}
}

// RandomGuitar draws a guitar and a hand from ranges wider than those of the
// ready ones.
func RandomGuitar(rng *rand.Rand) Guitar {
	uniform := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	around := func(x, ratio float64) float64 { return x * math.Pow(ratio, 2*rng.Float64()-1) }

	g := Classic().scaled("random", around(0.8, 1.9), around(1, 2.6))
	outOfTune := uniform(0, 6)
	for i := range g.Strings {
		s := &g.Strings[i]
		s.Cents = outOfTune * uniform(-1, 1)
		s.Decay = around(s.Decay, 1.25)
		s.HighDecay = math.Min(math.Max(around(s.HighDecay, 1.3), 0.03), s.Decay)
		s.Inharmonicity = around(s.Inharmonicity, 2)
		s.Gain = around(1, 1.35)
		s.Ripple = uniform(-0.5, 0.5)
		s.RippleAt = uniform(0.2, 0.5)
	}
	size := around(1, 1.12) // all of the body's frequencies move with its size
	low := around(1.2, 2.5)
	for i := range g.Body {
		m := &g.Body[i]
		m.Hz = around(m.Hz*size, 1.08)
		m.Decay = around(m.Decay, 1.6)
		m.Gain = around(m.Gain, 2)
		if i < 2 {
			m.Gain *= low
		}
		if i > 1 && rng.Float64() < 0.4 {
			m.Gain = -m.Gain
		}
	}
	g.Diffusion = uniform(0.1, 0.85)
	uneven := uniform(0.2, 1.4)
	for i := range g.Echoes {
		e := &g.Echoes[i]
		e.Delay = math.Min(math.Max(around(e.Delay*size, 1.4), 0.0002), 0.015)
		e.Gain *= uneven * uniform(-1, 1) * 1.5
	}
	g.Position = around(0.14, 2.2)
	g.Spread = uniform(0.05, 0.3)
	g.Edge = around(4500, 2.6)
	g.Softness = uniform(0.6, 2.2)
	g.Detune = around(0.9, 3)
	g.Quick = uniform(0.3, 0.9)
	g.Lean = uniform(0.1, 0.6)
	g.Noise = around(0.09, 3.3)
	g.Thump = around(1, 4)
	g.LowCut = around(170, 2.3)
	g.HighCut = around(9000, 2)
	return g
}
