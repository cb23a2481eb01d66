package theory

import (
	"cmp"
	"slices"
)

// LastFret is the highest fret of a flamenco guitar's first string (common
// practice, no source).
const LastFret = 19

// Tuning holds the open strings as MIDI numbers: index 0 is string 1 (E4),
// index 5 string 6 (E2).
type Tuning [6]int

// Standard is the guitar's usual tuning, E2 A2 D3 G3 B3 E4.
var Standard = Tuning{64, 59, 55, 50, 45, 40}

// Place on the neck: String 1 to 6, Fret from the nut or cejilla (0 is open).
type Place struct{ String, Fret int }

// low and high are the lowest and the highest note that a line may ask for:
// the open sixth string and the last fret of the first.
func (t Tuning) low() int  { return t[5] }
func (t Tuning) high() int { return t[0] + LastFret }

// Places are all places of midi up to maxFret, the lowest fret first; nil where
// there is none.
func (t Tuning) Places(midi, maxFret int) []Place {
	var places []Place
	for i, open := range t {
		if fret := midi - open; fret >= 0 && fret <= maxFret {
			places = append(places, Place{i + 1, fret})
		}
	}
	slices.SortStableFunc(places, func(a, b Place) int { return cmp.Compare(a.Fret, b.Fret) })
	return places
}

// Place is the usual place of a bass note: the one with the lowest fret. It is
// false where the neck has none up to LastFret. It allocates nothing.
func (t Tuning) Place(midi int) (Place, bool) {
	best := Place{0, LastFret + 1}
	for i, open := range t {
		if fret := midi - open; fret >= 0 && fret < best.Fret {
			best = Place{i + 1, fret}
		}
	}
	return best, best.String != 0
}
