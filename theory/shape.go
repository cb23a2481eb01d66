package theory

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Muted stands for a string that a shape does not sound.
const Muted = -1

// Shape is how the left hand holds a chord. Index 0 is string 1, as in Tuning.
// Frets count from the nut or the cejilla, and notes are as fingered.
type Shape struct {
	Chord   Chord
	Tuning  Tuning
	Frets   [6]int // 0 is open, Muted not sounded
	Fingers [6]int // suggested: 1 (index) to 4 (little finger); 0 where the string is open or muted
	Added   []Name // notes that ring with the chord and are none of its tones; nil for most
}

// Place is the fret and the finger of a string, 1 to 6; fret is Muted where it
// does not sound or there is no such string.
func (s Shape) Place(number int) (fret, finger int) {
	if number < 1 || number > 6 {
		return Muted, 0
	}
	return s.Frets[number-1], s.Fingers[number-1]
}

// Notes are the MIDI numbers of what sounds, the lowest string first.
func (s Shape) Notes() []int {
	var notes []int
	for i := 5; i >= 0; i-- {
		if s.Frets[i] != Muted {
			notes = append(notes, s.Tuning[i]+s.Frets[i])
		}
	}
	return notes
}

// Barre is the finger that holds several strings, the fret that it lies on and
// the strings it reaches, from the lowest-sounding (the higher number) to the
// highest; ok is false where no finger does.
func (s Shape) Barre() (finger, fret, from, to int, ok bool) {
	for finger = 1; finger <= 4; finger++ {
		from, to = 0, 0
		for i := 5; i >= 0; i-- {
			if s.Fingers[i] != finger {
				continue
			}
			if from == 0 {
				from, fret = i+1, s.Frets[i]
			}
			to = i + 1
		}
		if from > to {
			return finger, fret, from, to, true
		}
	}
	return 0, 0, 0, 0, false
}

// Position is the lowest fret that a finger holds; 0 where all strings are
// open.
func (s Shape) Position() int {
	low := 0
	for _, fret := range s.Frets {
		if fret > 0 && (low == 0 || fret < low) {
			low = fret
		}
	}
	return low
}

// String writes the frets from the sixth string to the first, x where a string
// is muted: "x32310". Where a fret has two digits they are joined by hyphens.
func (s Shape) String() string { return written(s.Frets) }

// Hand writes the suggested fingers in the order of String: 0 is an open
// string, x a muted one.
func (s Shape) Hand() string {
	fingers := s.Fingers
	for i, fret := range s.Frets {
		if fret == Muted {
			fingers[i] = Muted
		}
	}
	return written(fingers)
}

func written(strings6 [6]int) string {
	words, joint := make([]string, 6), ""
	for i := range words {
		n := strings6[5-i]
		words[i] = "x"
		if n >= 0 {
			words[i] = strconv.Itoa(n)
		}
		if n > 9 {
			joint = "-"
		}
	}
	return strings.Join(words, joint)
}

// Validate checks the shape note by note: it says which string sounds what is
// no tone of the chord, that the bass is not its root, which tone is missing
// (a seventh chord may go without its fifth), or what no hand can hold.
func (s Shape) Validate() error {
	sounding := s.Notes()
	if len(s.Chord.Tones) == 0 || len(sounding) == 0 {
		return fmt.Errorf("shape %v: there is no chord in it", s)
	}
	for i, fret := range s.Frets {
		if fret == Muted {
			continue
		}
		midi := s.Tuning[i] + fret
		added := slices.ContainsFunc(s.Added, func(n Name) bool { return n.PitchClass() == mod(midi, 12) })
		switch {
		case fret < 0 || fret > LastFret:
			return fmt.Errorf("shape %v: string %d has no fret %d", s, i+1, fret)
		case !s.Chord.Contains(midi) && !added:
			return fmt.Errorf("shape %v: string %d sounds no tone of %v", s, i+1, s.Chord)
		case (fret == 0) != (s.Fingers[i] == 0) || s.Fingers[i] < 0 || s.Fingers[i] > 4:
			return fmt.Errorf("shape %v: string %d is at fret %d and has finger %d", s, i+1, fret, s.Fingers[i])
		}
	}
	if mod(sounding[0], 12) != s.Chord.Tones[0].PitchClass() {
		return fmt.Errorf("shape %v: the bass is not %v, the root of %v", s, s.Chord.Tones[0], s.Chord)
	}
	for i, tone := range s.Chord.Tones {
		has := slices.ContainsFunc(sounding, func(m int) bool { return mod(m, 12) == tone.PitchClass() })
		if !has && (i != 2 || len(s.Chord.Tones) < 4) {
			return fmt.Errorf("shape %v: %v, a tone of %v, is missing", s, tone, s.Chord)
		}
	}
	return s.playable()
}

// playable says what no hand can hold: a finger on two frets, fingers out of
// order, or a barre over an open string.
func (s Shape) playable() error {
	var fret [5]int
	for i, finger := range s.Fingers {
		if finger == 0 {
			continue
		}
		if fret[finger] != 0 && fret[finger] != s.Frets[i] {
			return fmt.Errorf("shape %v: finger %d is on two frets", s, finger)
		}
		fret[finger] = s.Frets[i]
	}
	last := 0
	for finger, at := range fret {
		if at != 0 && at < last {
			return fmt.Errorf("shape %v: finger %d lies behind one before it", s, finger)
		}
		last = max(last, at)
	}
	if finger, at, from, to, ok := s.Barre(); ok {
		for i := to - 1; i < from; i++ {
			if s.Frets[i] < at {
				return fmt.Errorf("shape %v: finger %d lies over string %d, which is not held", s, finger, i+1)
			}
		}
	}
	return nil
}

// ShapeOf is the usual shape of a chord, in or near the open position. Where
// none is usual in the tuning it is the best that a search finds; ok is false
// where there is none.
func ShapeOf(c Chord, t Tuning) (s Shape, ok bool) {
	if s, ok := usualShape(c, t); ok {
		return s, true
	}
	found := Shapes(c, t)
	if len(found) == 0 {
		return Shape{}, false
	}
	return found[0], true
}

// Shapes are the shapes of a chord that a hand of four fingers can hold within
// four frets, up to the ninth, its root in the bass: the usual one first, then
// those that a search finds, the easier first. A seventh chord may go without
// its fifth.
func Shapes(c Chord, t Tuning) []Shape {
	if n := len(c.Tones); n < 3 || n > 4 {
		return nil
	}
	search := shapeSearch{chord: c, tuning: t, seen: map[[6]int]bool{}}
	for position := 1; position+shapeFrets-1 <= shapeHighest; position++ {
		search.position = position
		for i := range search.frets {
			search.frets[i] = Muted
		}
		search.from(5, false, false)
	}
	found := search.found
	slices.SortStableFunc(found, func(a, b Shape) int {
		return cmp.Or(cmp.Compare(a.effort(), b.effort()), cmp.Compare(a.String(), b.String()))
	})
	if usual, ok := usualShape(c, t); ok {
		found = slices.DeleteFunc(found, func(s Shape) bool { return s.Frets == usual.Frets })
		found = slices.Insert(found, 0, usual)
	}
	return found
}
