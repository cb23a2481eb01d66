package tonality

import (
	"math"

	"bordon/theory"
)

// A line ends on the tonic, and nothing follows it for a while. Where nobody
// strums, that is heard: notes as far from each other as beats, and none where
// the next would come.
const (
	closed     = 0.8  // share of the closing notes that are the tonic, mistakes left out
	mostClosed = 4    // more of them tell no more
	evenly     = 1.7  // factor between two beats in a row, and one that is left out
	strum      = 0.5  // how likely an onset is one that counts as one
	doubled    = 0.08 // s; what comes as soon after a note is of the same stroke
)

// closing is how likely it is that the notes on which runs of the thumb's end
// close in a key.
func (h *Heard) closing(k theory.Key) float64 {
	ends := h.ends()
	sum := 0.0
	for _, b := range ends {
		p := (1 - closed) / 11
		if b.MIDI%12 == k.Tonic.PitchClass() {
			p = closed
		}
		sum += b.Sure * math.Log(12*p)
	}
	if n := len(ends); n > mostClosed {
		sum *= mostClosed / float64(n)
	}
	return sum
}

// ends are the last notes of runs of three or more that go evenly, where no
// other note and no strum comes in the next one's place.
func (h *Heard) ends() (ends []Bass) {
	var one []Bass // of each stroke
	for _, b := range h.Bass {
		if n := len(one); n > 0 && float64(b.Onset-one[n-1].Onset) < doubled*float64(h.Rate) {
			continue
		}
		one = append(one, b)
	}
	for i := 2; i < len(one); i++ {
		gap, before := float64(one[i].Onset-one[i-1].Onset), float64(one[i-1].Onset-one[i-2].Onset)
		if gap > evenly*before || before > evenly*gap || gap > stepSeconds*float64(h.Rate) {
			continue
		}
		if i+1 < len(one) && float64(one[i+1].Onset-one[i].Onset) < evenly*gap {
			continue
		}
		if !h.struck(one[i].Onset+int64(gap/evenly), one[i].Onset+int64(evenly*gap)) {
			ends = append(ends, one[i])
		}
	}
	return ends
}

// struck reports whether a strum was heard between two samples.
func (h *Heard) struck(from, to int64) bool {
	for i := range h.Notes {
		if n := &h.Notes[i]; n.Onset >= from && n.Onset < to && n.Strum >= strum {
			return true
		}
	}
	return false
}
