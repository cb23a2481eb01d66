package chords

import (
	"math"

	"bordon/theory"
)

// A family is the chords on one root with one third: the major ones on C, C
// sharp and so on, with and without a seventh, and then the minor ones. A
// player is free to add a seventh, and in a Phrygian key the open strings that
// ring through its shapes.
const families = 24

// family of a chord as fingered, as it sounds; -1 for one that has none, a
// diminished one.
func (c *Config) family(chord theory.Chord) int {
	if len(chord.Tones) < 3 {
		return -1
	}
	root := chord.Tones[0].PitchClass()
	third, fifth := (chord.Tones[1].PitchClass()-root+12)%12, (chord.Tones[2].PitchClass()-root+12)%12
	sounding := (root + c.Cejilla) % 12
	switch {
	case third == 4 && fifth == 7:
		return sounding
	case third == 3 && fifth == 7:
		return 12 + sounding
	}
	return -1
}

// chord is the triad of a family, as fingered and spelled in the key.
func (c *Config) chord(family int) theory.Chord {
	root, third := 60+family%12-c.Cejilla, 4
	if family >= 12 {
		third = 3
	}
	var tones []theory.Name
	for _, above := range []int{0, third, 7} {
		tones = append(tones, c.Key.Spell(root+above).Name)
	}
	return theory.Chord{Tones: tones}
}

// odds are the log-probabilities of the families on a beat, by the scorer: one
// set of weights for each kind of chord, moved to each root, and a softmax over
// all kinds and roots.
func (s *scorer) odds(e *evidence) (out [families]float64) {
	gate := gateOf(e.struck)
	top := math.Inf(-1)
	var score [kinds][12]float64
	for k := range score {
		for root := range 12 {
			score[k][root] = gate * s.sum(k, root, e)
			top = max(top, score[k][root])
		}
	}
	total := 0.0
	for k := range score {
		for root, v := range score[k] {
			p := math.Exp(v - top)
			out[familyOf[k]*12+root] += p
			total += p
		}
	}
	for i := range out {
		out[i] = math.Log(out[i] / total)
	}
	return out
}

// gateOf is how much a beat's evidence counts by how much is new on it.
func gateOf(struck float64) float64 { return min(1, struck/gateAt) }

const gateAt = 0.4

// kinds of chord that the scorer knows, and what family each is of: major,
// seventh, minor.
const kinds = 3

var familyOf = [kinds]int{0, 0, 1}

// scorer holds for each kind the weight of each pitch class by the semitones
// above its root, in what is new and in all that sounds, and an offset.
type scorer [kinds][25]float64

func (s *scorer) sum(kind, root int, e *evidence) float64 {
	w := &s[kind]
	sum := w[24]
	for above := range 12 {
		class := (root + above) % 12
		sum += e.shares[class]*w[above] + e.shares[12+class]*w[12+above]
	}
	return sum
}
