package sheet

import (
	"strings"

	"bordon/theory"
)

// middleLine is the place of the staff's middle line: places are counted by
// lines and gaps, 0 is the lowest line.
const middleLine = 4

const scale = "CDEFGAB" // letters in the order of the octave

// placeOf is where a note stands on the guitar's staff: the treble clef has G4
// on its second line, place 2, and the guitar is written an octave above its
// sound.
func placeOf(n theory.Note) int {
	return 7*(n.Octave+1) + strings.IndexByte(scale, n.Letter) - (7*4 + strings.IndexByte(scale, 'G')) + 2
}

// signaturePlaces are where the signs of a key stand, in their order, and the
// letters that they alter.
var (
	sharpPlaces = [7]int{8, 5, 9, 6, 3, 7, 4}
	flatPlaces  = [7]int{4, 7, 3, 6, 2, 5, 1}
)

const (
	sharpLetters = "FCGDAEB"
	flatLetters  = "BEADGCF"
)

// signature is a key's signature: the name of its sign and the places where it
// stands.
func signature(k theory.Key) (sign string, places []int) {
	switch n := k.Signature(); {
	case n > 0:
		return "accidentalSharp", sharpPlaces[:min(n, 7)]
	case n < 0:
		return "accidentalFlat", flatPlaces[:min(-n, 7)]
	}
	return "", nil
}

// accidentalNames by the semitones that they alter, from -2 on.
var accidentalNames = [5]string{"accidentalDoubleFlat", "accidentalFlat", "accidentalNatural", "accidentalSharp", "accidentalDoubleSharp"}

// bar knows which accidentals hold: those of the signature in every octave, and
// one that stands before a note for the rest of the bar, on its own place.
type bar struct {
	key     theory.Key
	altered map[int]int // by place
}

func newBar(k theory.Key) *bar { return &bar{k, map[int]int{}} }

// accidental is the sign that a note needs before it, "" where none; what it
// does holds for the notes after.
func (b *bar) accidental(n theory.Note) string {
	place := placeOf(n)
	now, ok := b.altered[place]
	if !ok {
		signs := b.key.Signature()
		switch {
		case strings.IndexByte(sharpLetters, n.Letter) < signs:
			now = 1
		case strings.IndexByte(flatLetters, n.Letter) < -signs:
			now = -1
		}
	}
	b.altered[place] = n.Alter
	if n.Alter == now || n.Alter < -2 || n.Alter > 2 {
		return ""
	}
	return accidentalNames[n.Alter+2]
}

// ledgers are the places of the ledger lines that a note needs.
func ledgers(place int) []int {
	var lines []int
	for p := -2; p >= place; p -= 2 {
		lines = append(lines, p)
	}
	for p := 10; p <= place; p += 2 {
		lines = append(lines, p)
	}
	return lines
}

// stemsUp reports whether notes at these places take their stem upwards: the
// note farthest from the middle line decides, and on it stems go down.
func stemsUp(places ...int) bool {
	low, high := span(places)
	return middleLine-low > high-middleLine
}

func span(places []int) (low, high int) {
	low, high = places[0], places[0]
	for _, p := range places {
		low, high = min(low, p), max(high, p)
	}
	return low, high
}

// stemEnd is the place where the stem of a note ends: an octave on, or on the
// middle line where that is farther.
func stemEnd(place int, up bool) int {
	if up {
		return max(place+7, middleLine)
	}
	return min(place-7, middleLine)
}
