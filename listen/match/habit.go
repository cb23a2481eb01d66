package match

import "math"

// What a take has shown so far of its player's thumb: how sure the ear is of its
// notes, on this guitar in this room, and when they come. An onset of which the
// ear is less sure is hardly the thumb's, and one that comes later than the
// thumb does is rather a finger's, which shakes the guitar's body.
//
// Of 1082 beats on which the ear heard another note than was asked for, these two
// tell the missing ones from the wrong ones after how sure it is of the onset
// itself, better than all else that it says of it.

const (
	// What is taken for granted of a player before anything was heard, and the
	// number of notes that it counts for: the mean logit of "a note began", and
	// how far notes spread round their mean place, in ms.
	usualSure, usualNotes      = 4.5, 2
	usualSpread, usualSpreadOf = 15, 4

	// An onset is late that comes this many spreads after the thumb's mean
	// place, and as many ms. That place is known from some notes on: how far the
	// player, or the room, lags as a whole is held against nobody.
	lateSpreads, lateLeastMS = 2, 15
	placedNotes              = 2

	// What is summed up is about that many notes: a player may move back.
	habitNotes = 40

	// The logarithm of the weight of a late onset, and how much of what is
	// wanting in the logit that is usual is held against an onset.
	lateWeight   = -3.5
	unusualShare = 1
)

// habit sums up the notes that were right without doubt.
type habit struct {
	notes          float64
	sure           float64 // sum of logits
	off, offSquare float64 // sums of ms from the beat, and of squares
}

// add takes in a note that began with that probability, so many ms after its
// beat.
func (h *habit) add(began, ms float64) {
	if h.notes >= habitNotes {
		const kept = 1 - 1.0/habitNotes
		h.notes, h.sure, h.off, h.offSquare = kept*h.notes, kept*h.sure, kept*h.off, kept*h.offSquare
	}
	h.notes++
	h.sure += logit(began)
	h.off += ms
	h.offSquare += ms * ms
}

// place is how many ms after their beats the notes come, once that is known.
func (h *habit) place() (ms float64, known bool) {
	return h.off / h.notes, h.notes >= placedNotes
}

// late reports whether an onset comes later than the thumb does. Farther from
// the beat its place says enough against it.
func (h *habit) late(ms float64) bool {
	mean, known := h.place()
	if !known || ms > nearMS {
		return false
	}
	around := max(0, h.offSquare-h.notes*mean*mean)
	spread := math.Sqrt((usualSpreadOf*usualSpread*usualSpread + around) / (usualSpreadOf + h.notes))
	return ms-mean > max(lateLeastMS, lateSpreads*spread)
}

// weight of "a thumb note began" for an onset so many ms after its beat, beside
// that of its place in time.
func (h *habit) weight(ms float64) float64 {
	usual := (usualNotes*usualSure + h.sure) / (usualNotes + h.notes)
	w := -unusualShare * (usual - usualSure)
	if h.late(ms) {
		w += lateWeight
	}
	return math.Exp(w)
}

// logit of a probability, within 7 of 0. What is no number counts as 0.
func logit(p float64) float64 {
	const least = 0.001
	if !(p > least) {
		p = least
	}
	p = min(p, 1-least)
	return math.Log(p / (1 - p))
}
