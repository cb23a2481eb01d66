package tonality

// Where the thumb plays alone what sounds beside its notes are their own
// harmonics, of which chords are made that nobody holds: an E alone has its
// G sharp. From this share of all onsets on that are not the thumb's, chords
// and what sounds altogether count in full.
const fullShare = 0.2

// full is how much of that counts, 0 to 1: all where it is not known what else
// was struck.
func (h *Heard) full() float64 {
	if len(h.Notes) == 0 {
		return 1
	}
	others := 0
	for i := range h.Notes {
		if h.Notes[i].Began < sworn {
			others++
		}
	}
	return min(1, float64(others)/float64(len(h.Notes))/fullShare)
}
