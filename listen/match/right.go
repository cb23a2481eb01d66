package match

import (
	"math"

	"bordon/dsp"
)

// The numbers by which a right note is told from none: of the logarithm of the
// odds that it was played. Found by logistic regression on the beats of
// cmd/eval's tuned half (seeds 1 to 3, ten takes of each condition) at which the
// note asked for was the likeliest and the ear doubted it: 2221 right ones, 222
// without it.
const (
	hopeBase      = 3.3
	hopePerBegan  = 0.56 // of the logit that a note began
	hopePerNamed  = 0.68 // of the logit that it was this one
	hopePerWeight = 0.79 // of the logarithm of the weight of place, habit and expectation
	// A thumb and a finger that pluck together look a little like a strum, a
	// finger alone that shakes the body does not: of the logit.
	hopePerStrum = 0.54

	// On those takes 0.52 % of the wrong notes are let off and 1.56 % of all unsure,
	// with 0.79 0.56 and 1.53.
	hopeEnough = 0.82
	hopeDoubt  = 0.35 // down to this it stays open whether it was played
	// And it must be this likely in the ear's own eyes, whatever was asked for;
	// more where its place says little for it: a finger, or a voice, may sound the
	// same note.
	ownLeast, ownFar = 0.003, 0.2
	ownDoubt         = 0.001

	// Where place in time says nothing for a note, or nobody knows when one is
	// due, it takes more: in the ear's own eyes, with what was asked for, and
	// for the doubt.
	ownUntimed, beganUntimed, doubtUntimed = 0.4, 0.3, 0.08

	// Where no note was heard to begin, but the one asked for was so present near
	// its beat, as among strings struck together, it is not missing: of 6 such beats
	// in 40,000 it was played on all.
	soundsAnyway = 0.8

	// A right note also needs this share of the likelihood without the expected
	// note's weight. It keeps wrong notes from being let off: of 50 notes that 0.3
	// alone had left unsure, 44 were right.
	rightAlone = 0.2
)

// readRight reads an onset at which the note asked for was heard; alone is the
// weight of all notes without expectation, strum how much it looked like one.
func (a *ask) readRight(r *reading, n *dsp.Note, p place, alone, strum float64) {
	named := n.Likelihood[r.pitch]
	if p.untimed {
		r.open = r.began >= doubtUntimed
		r.fair = r.began >= beganUntimed && r.own >= ownUntimed
	} else {
		h := hope(n.Began, named, strum, p.weight*a.favour[r.pitch])
		r.open = h >= hopeDoubt && r.own >= ownDoubt
		least := ownLeast
		if !p.near {
			least = ownFar
		}
		r.fair = h >= hopeEnough && r.own >= least
	}
	r.fair = r.fair && named*a.reach[r.pitch] >= rightAlone*alone
}

// hope is the probability that the note asked for was played, at an onset that
// was named so and looked like a strum that much.
func hope(began, named, strum, weight float64) float64 {
	return logistic(hopeBase + hopePerBegan*logit(began) + hopePerNamed*logit(named) +
		hopePerStrum*logit(strum) + hopePerWeight*math.Log(weight))
}

// logistic is the probability of which z is the logit.
func logistic(z float64) float64 { return 1 / (1 + math.Exp(-z)) }
