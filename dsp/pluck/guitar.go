package pluck

import (
	"fmt"
	"math"
)

// Modes is the number of body resonances of a Guitar.
const Modes = 7

// Mode is one resonance of the guitar's body.
type Mode struct {
	Hz    float64 // frequency, 40 to 4000
	Decay float64 // time constant (to 1/e) in seconds, 0.002 to 0.5
	// Gain is the peak response relative to the bridge's direct sound, linear;
	// negative where the mode radiates against the others, as the air mode
	// (the lowest) does: below it the two cancel and nothing is heard.
	Gain float64
}

// StringSpec is what one string is like.
type StringSpec struct {
	Open  float64 // MIDI pitch of the open string, 28 to 70
	Cents float64 // how far the string is out of tune with the rest, -50 to 50
	// Decay is the time in seconds in which the open string's fundamental
	// falls by 60 dB, 0.2 to 30.
	Decay float64
	// HighDecay is the same at 2 kHz, 0.02 to Decay: new strings ring bright
	// for long, worn ones go dull at once.
	HighDecay float64
	// Inharmonicity is B of the open string in f_n = n f_0 sqrt(1 + B n^2), 0
	// to 0.001. It grows as the string is shortened.
	Inharmonicity float64
	Gain          float64 // linear, 1 is even with the others
	// Ripple makes neighbouring partials decay unequally, as the bridge takes
	// more from one than from another: the largest change of a partial's loss,
	// -0.5 to 0.5. RippleAt is how often that alternates, in rounds per
	// partial, 0.1 to 0.6.
	Ripple, RippleAt float64
}

// Reflections is the number of Reflections of a Guitar.
const Reflections = 8

// Reflection is a late echo of the bridge's pull from the plates and ribs.
// Together they make the response between the body modes uneven.
type Reflection struct {
	Delay float64 // seconds, 0.0002 to 0.015
	Gain  float64 // linear, -1 to 1
}

// Guitar holds the parameters of a nylon-string guitar and of the hand that
// plays it.
type Guitar struct {
	Name    string
	Strings [6]StringSpec // index 0 is string 1, the highest
	Body    [Modes]Mode
	Echoes  [Reflections]Reflection

	// Diffusion is the share of the direct sound that plates and near walls
	// smear over some 20 ms, 0 to 0.9. It takes the edge off the attack, but
	// not the attack away: the rest comes at once.
	Diffusion float64

	// Position is where the string is plucked, as a fraction of the open
	// string's length from the bridge, 0.03 to 0.5.
	Position float64
	// Spread is how far the place wanders from pluck to pluck, as a fraction
	// of Position, 0 to 0.5.
	Spread float64
	// Edge is the cutoff in Hz of the pluck's own lowpass at full velocity,
	// 300 to 16000: a nail is sharp, the flesh is round.
	Edge float64
	// Softness is by how many octaves Edge falls from velocity 1 to 0, 0 to 4.
	Softness float64

	// Detune is how far apart the two polarisations of a string are tuned, in
	// cents, 0 to 3.
	Detune float64
	// Quick is the decay of the polarisation that drives the top, as a
	// fraction of the other's, 0.1 to 1.
	Quick float64
	// Lean is the share of a free stroke's energy that goes into the
	// slow polarisation, 0 to 1. A rest stroke gives it half of that.
	Lean float64

	Noise float64 // finger noise at the attack relative to the note, linear, 0 to 1
	// Thump is the force that the pulled string held the bridge with and now
	// lets go, relative to the note, linear, 0 to 8: it sets the body ringing
	// whatever the note.
	Thump   float64
	LowCut  float64 // below this frequency in Hz the direct sound falls away, 20 to 600
	HighCut float64 // above this frequency in Hz the direct sound falls away, 1000 to 20000
}

func (g Guitar) validate() error {
	check := func(what string, v, lo, hi float64) error {
		if !(v >= lo && v <= hi) { // NaN fails too
			return fmt.Errorf("guitar %q: %s is %g, it must lie between %g and %g", g.Name, what, v, lo, hi)
		}
		return nil
	}
	type bound struct {
		what      string
		v, lo, hi float64
	}
	bounds := []bound{
		{"diffusion", g.Diffusion, 0, 0.9},
		{"position", g.Position, 0.03, 0.5}, {"spread", g.Spread, 0, 0.5},
		{"edge in Hz", g.Edge, 300, 16000}, {"softness in octaves", g.Softness, 0, 4},
		{"detune in cents", g.Detune, 0, 3}, {"quick", g.Quick, 0.1, 1}, {"lean", g.Lean, 0, 1},
		{"noise", g.Noise, 0, 1}, {"thump", g.Thump, 0, 8},
		{"low cut in Hz", g.LowCut, 20, 600}, {"high cut in Hz", g.HighCut, 1000, 20000},
	}
	for i, s := range g.Strings {
		n := fmt.Sprintf("string %d's ", i+1)
		bounds = append(bounds,
			bound{n + "open pitch (MIDI)", s.Open, 28, 70}, bound{n + "cents", s.Cents, -50, 50},
			bound{n + "decay in seconds", s.Decay, 0.2, 30}, bound{n + "high decay in seconds", s.HighDecay, 0.02, s.Decay},
			bound{n + "inharmonicity", s.Inharmonicity, 0, 0.001}, bound{n + "gain", s.Gain, 0, 10},
			bound{n + "ripple", s.Ripple, -0.5, 0.5}, bound{n + "ripple period", s.RippleAt, 0.1, 0.6})
	}
	for i, m := range g.Body {
		n := fmt.Sprintf("body mode %d's ", i+1)
		bounds = append(bounds, bound{n + "frequency in Hz", m.Hz, 40, 4000},
			bound{n + "decay in seconds", m.Decay, 0.002, 0.5}, bound{n + "gain", m.Gain, -50, 50})
	}
	for i, e := range g.Echoes {
		n := fmt.Sprintf("echo %d's ", i+1)
		bounds = append(bounds, bound{n + "delay in seconds", e.Delay, 0.0002, 0.015}, bound{n + "gain", e.Gain, -1, 1})
	}
	for _, b := range bounds {
		if err := check(b.what, b.v, b.lo, b.hi); err != nil {
			return err
		}
	}
	return nil
}

// frequency in Hz of string s (0 to 5) stopped at fret semitones above the
// open string, the whole guitar being cents off A4 = 440 Hz (ISO 16).
func (g *Guitar) frequency(s, fret int, cents float64) float64 {
	spec := &g.Strings[s]
	return 440 * math.Exp2((spec.Open+float64(fret)-69)/12+(spec.Cents+cents)/1200)
}
