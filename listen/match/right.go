package match

import (
	"math"

	"bordon/dsp"
)

// The numbers by which a right note is told from none. How likely the ear names
// it says more than how likely a note began: what else begins on a beat is hardly
// ever named just as was asked. Found by counting over takes of cmd/eval's tuned
// half: 8,100 notes, 950 of them wrong and 430 left out.
const (
	hopeBase     = 3.7
	hopePerBegan = 0.7 // of the logit
	hopePerNamed = 1   // of the logit
	hopeEnough   = 0.985
	hopeDoubt    = 0.6 // down to this it stays open whether it was played
	// And it must be this likely in the ear's own eyes, whatever was asked for,
	// and stays open down to that.
	ownLeast = 0.02
	ownDoubt = 0.001
	// So much where its place says nothing for it: a finger, or a voice, may
	// sound the same note.
	ownFar = 0.2

	// Where place in time says nothing for a note, or nobody knows when one is
	// due, it takes more: in the ear's own eyes, with what was asked for, and
	// for the doubt.
	ownUntimed, beganUntimed, doubtUntimed = 0.4, 0.3, 0.08

	// A right note also needs this share of the likelihood without the expected
	// note's weight. It keeps wrong notes from being let off.
	rightAlone = 0.3
)

// readRight reads an onset at which the note asked for was heard; alone is the
// weight of all notes without expectation.
func (a *ask) readRight(r *reading, n *dsp.Note, p place, alone float64) {
	named := n.Likelihood[r.pitch]
	if p.untimed {
		r.open = r.began >= doubtUntimed
		r.fair = r.began >= beganUntimed && r.own >= ownUntimed
	} else {
		h := hope(n.Began, named, p.weight*a.favour[r.pitch])
		r.open = h >= hopeDoubt && r.own >= ownDoubt
		least := ownLeast
		if p.sure == &sureFar {
			least = ownFar
		}
		r.fair = h >= hopeEnough && r.own >= least
	}
	r.fair = r.fair && named*a.reach[r.pitch] >= rightAlone*alone
}

// hope is the probability that the note asked for was played, which was named
// with that likelihood.
func hope(began, named, weight float64) float64 {
	z := hopeBase + hopePerBegan*logit(began) + hopePerNamed*logit(named) + math.Log(weight)
	return 1 / (1 + math.Exp(-z))
}
