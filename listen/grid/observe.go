package grid

import (
	"math"

	"bordon/dsp"
)

// What is heard is weighed against a background in which onsets come at any
// time: everything here is a ratio of likelihoods, 1 where the beats explain no
// more than chance does.

// manner is how the beats outside the line are played in a stretch.
type manner int

const (
	every   manner = iota // a chord on nearly every beat
	accents               // on the accented ones
	bare                  // nothing but the line
	manners
)

// How likely a beat is to carry an onset.
const (
	onLine    = 0.90 // of the line
	onEvery   = 0.84 // a chord where every beat has one
	onAccent  = 0.86
	offAccent = 0.08
	onBare    = 0.06
)

// Where an onset falls about its beat: mostly within the hand's jitter and the
// rounding of frames, now and then early or late by a mistake.
const (
	spread   = 1.4  // frames, standard deviation
	mistimed = 0.12 // share
	astray   = 14.0 // frames either side
	// Where the form is played, most of the onsets are on its beats; between
	// them this share of all is left, a quarter to a half by how it is played.
	between = 0.40
)

// kinds are the shares of notes, strums and others among the onsets of a beat.
type kinds struct{ note, strum, other float64 }

var (
	lineKinds    = kinds{0.82, 0.12, 0.06}
	landingKinds = kinds{0.60, 0.34, 0.06}
	chordKinds   = kinds{0.26, 0.60, 0.14}
)

// What pitch a note has where one is asked for, and where a chord sounds.
const (
	asAsked   = 0.84 // the note asked for
	inOctave  = 0.04 // its name in another octave
	chordTone = 0.80 // a tone of the chord
	louder    = 0.40 // weight of loudness on accented beats
	softer    = 0.05 // and of softness on the others
)

// heard is an onset with how well each beat of the pass explains it.
type heard struct {
	at, weight, dense float64
	ratio             []float64   // by beat of the pass, a note or strum on it
	asked             [][]float64 // by beat, by note asked for after the beat
	note, strum       float64     // probabilities that it is a bass note and a strum
	fit               []float64   // by beat that asks for a note on it: how much likelier that makes the pitch, else 0
}

// weigh prepares the onsets for a plan. worth is how much a right note would
// speak for the line on each beat, as fits counts it.
func (p *Plan) weigh(onsets []onset) (out []heard, worth []float64) {
	base := kinds{0.05, 0.05, 0.05}
	pitch, strummed := background(onsets)
	sum := 0.15
	for i := range onsets {
		o := &onsets[i]
		base.note += o.note
		base.strum += o.strum
		base.other += math.Max(o.weight-o.note-o.strum, 0)
		sum += o.weight
	}
	base = kinds{base.note / sum, base.strum / sum, base.other / sum}
	for _, b := range []*float64{&base.note, &base.strum, &base.other} {
		*b = math.Max(*b, 0.08)
	}

	// What each beat expects of a pitch, once.
	asks := make([][][dsp.Pitches]float64, len(p.beats))
	chords := make([][dsp.Pitches]float64, len(p.chords))
	for c := range p.chords {
		chords[c] = p.chordPitches(c)
	}
	worth = make([]float64, len(p.beats))
	for k := range p.beats {
		for i := range p.beats[k].asks {
			asks[k] = append(asks[k], p.beats[k].asks[i].pitches())
			if a := &p.beats[k].asks[i]; a.after == 0 {
				worth[k] = a.worth(&asks[k][i], &pitch)
			}
		}
	}

	out = make([]heard, len(onsets))
	for i := range onsets {
		o := &onsets[i]
		h := &out[i]
		h.at, h.weight, h.dense, h.note, h.strum = o.at, o.weight, o.dense, o.note, o.strum
		h.fit = make([]float64, len(p.beats))
		h.ratio = make([]float64, len(p.beats))
		h.asked = make([][]float64, len(p.beats))
		other := math.Max(o.weight-o.note-o.strum, 0)
		chord := make([]float64, len(chords))  // a note of it
		struck := make([]float64, len(chords)) // the whole
		for c := range chords {
			chord[c] = expect(o.likely, &chords[c], &pitch)
			// The lowest note of a strum is told less surely.
			struck[c] = math.Sqrt(expect(o.likely, &chords[c], &strummed))
		}
		mix := func(k kinds, note, strum float64) float64 {
			return (o.note*note*k.note/base.note + o.strum*strum*k.strum/base.strum + other*k.other/base.other) / math.Max(o.weight, 1e-6)
		}
		for k := range p.beats {
			b := &p.beats[k]
			h.ratio[k] = mix(chordKinds, chord[b.chord], struck[b.chord])
			for a := range b.asks {
				kind := lineKinds
				if b.landing && b.asks[a].after == 0 {
					kind = landingKinds
				}
				fit := expect(o.likely, &asks[k][a], &pitch)
				if b.asks[a].after == 0 {
					h.fit[k] = fit
				}
				r := mix(kind, fit, struck[b.chord])
				h.asked[k] = append(h.asked[k], r)
			}
			z := louder * o.loud
			if !b.accent {
				z = -softer * o.loud
			}
			h.ratio[k] *= math.Exp(z)
		}
	}
	return out, worth
}

// background is how often each pitch is heard at all, of notes and of strums.
func background(onsets []onset) (notes, strums [dsp.Pitches]float64) {
	const even = 6.0 // onsets that speak for all pitches alike
	a, b := even, even
	for i := range onsets {
		o := &onsets[i]
		for m, l := range o.likely {
			l = clamp(l, 0, 1)
			notes[m] += o.note * l
			strums[m] += o.strum * l
		}
		a += o.note
		b += o.strum
	}
	for m := range notes {
		notes[m] = (notes[m] + even/dsp.Pitches) / a
		strums[m] = (strums[m] + even/dsp.Pitches) / b
	}
	return notes, strums
}

// expect is how much likelier an onset's pitch is where want is played than
// anywhere.
func expect(likely *[dsp.Pitches]float64, want, base *[dsp.Pitches]float64) float64 {
	sum := 0.0
	for m, l := range likely {
		sum += clamp(l, 0, 1) * want[m] / base[m]
	}
	return clamp(sum, 0.02, 20)
}

// pitches are the probabilities of a note's pitch where this is asked for.
func (a *planAsk) pitches() (p [dsp.Pitches]float64) {
	exact, named := 0, 0
	for m := range p {
		if a.accepts[m] {
			exact++
		} else if a.name[m] {
			named++
		}
	}
	rest := 1.0
	for m := range p {
		if a.accepts[m] {
			p[m] += asAsked / float64(exact)
		} else if a.name[m] {
			p[m] += inOctave / float64(named)
		}
	}
	for m := range p {
		rest -= p[m]
	}
	for m := range p {
		p[m] += math.Max(rest, 0) / dsp.Pitches
	}
	return p
}

// chordPitches are those of a bass note under a chord of the plan.
func (p *Plan) chordPitches(c int) (out [dsp.Pitches]float64) {
	tones := 0
	for m := range out {
		if p.chords[c][(dsp.LowestMIDI+m)%12] {
			tones++
		}
	}
	for m := range out {
		out[m] = (1 - chordTone) / dsp.Pitches
		if tones > 0 && p.chords[c][(dsp.LowestMIDI+m)%12] {
			out[m] += chordTone / float64(tones)
		}
	}
	return out
}

// carries is how likely a beat is to carry an onset.
func (p *Plan) carries(k int, m manner) float64 {
	b := &p.beats[k]
	switch {
	case len(b.asks) > 0 && b.asks[0].after == 0:
		return onLine
	case b.line: // between notes of the line
		return onBare
	case m == every:
		return onEvery
	case m == accents && b.accent:
		return onAccent
	case m == accents:
		return offAccent
	}
	return onBare
}

// place is the density of an onset so many frames from its beat, against one
// between the beats among dense onsets a second.
func place(off, dense float64) float64 {
	z := off / spread
	d := (1 - mistimed) / (spread * math.Sqrt(2*math.Pi)) * math.Exp(-z*z/2)
	if math.Abs(off) < astray {
		d += mistimed / (2 * astray)
	}
	return d / (between * dense * frame)
}
