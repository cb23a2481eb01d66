package match

import (
	"math"

	"bordon/dsp"
)

// The numbers by which a wrong note is told from none, and from the right one
// misheard: of the logarithm of the odds, found by logistic regression on the
// beats of cmd/eval's tuned half (seeds 1 to 3, ten takes of each condition) at
// which another note was heard than was asked for: 3327 wrong notes, 402 beats
// without a note or with the right one.
const (
	blameBase      = -2.85
	blamePerBegan  = 0.66 // of the logit that a note began
	blamePerShare  = 0.67 // of the logit of its share of the notes' weight
	blamePerWeight = 0.7  // of the logarithm of the weight of its place
	// What sounds in a note's stead, a finger or a string that was brushed, is
	// in the key; who hears a foreign note has hardly misheard.
	blameForeign = 1.2
	// The note asked for sounds too: of the logit of its presence.
	blamePerPresence = -0.19

	// To be called wrong, it must be this likely; the likelier the more its
	// onset looks like a strum, up to the most: a strum's lowest string is
	// nobody's mistake.
	blameEnough, blamePerStrum, blameMost = 0.62, 0.5, 0.88
	// However much one speaks for it, the other must too: that a note began
	// there, rather than not, and that it was this one.
	blameBegan, blameShare = 0.5, 0.6
)

// readWrong reads an onset at which another note was heard than was asked for.
func (a *ask) readWrong(r *reading, n *dsp.Note, p place, strum float64) {
	enough := min(blameEnough+blamePerStrum*strum, blameMost)
	r.fair = blame(n.Began, r.share, a.presence(n), p.weight, r.word == OutOfScale) >= enough &&
		posterior(n.Began, p.weight) >= blameBegan && r.share >= blameShare
}

// blame is the probability that a note was played that was not asked for; asked
// is how present the one is that was.
func blame(began, share, asked, weight float64, foreign bool) float64 {
	z := blameBase + blamePerBegan*logit(began) + blamePerShare*logit(share) +
		blamePerWeight*math.Log(weight) + blamePerPresence*logit(asked)
	if foreign {
		z += blameForeign
	}
	return logistic(z)
}

// presence is that of the note asked for, 0 where more than two are: one of
// those always sounds.
func (a *ask) presence(n *dsp.Note) float64 {
	most := 0.0
	for i, present := range n.Presence {
		if a.favour[i] >= askedFor {
			most = max(most, present)
		}
	}
	return most
}
