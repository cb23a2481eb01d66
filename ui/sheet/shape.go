package sheet

import (
	"strconv"

	"bordon/theory"
)

// A shape is drawn as a player sees the neck who looks down at it, as on the
// screen: the sixth string first, and thickest. A finger stands as its number
// on its fret.
const (
	shapeWidth  = 36.0 // with the room to the next
	shapeHeight = 19.5
	nutAt       = 4.0 // from the left
	neck        = 25.0
	stringStep  = 2.2
)

// shape draws a shape under the symbol of its chord over it.
func (c *canvas) shape(x, y float64, s theory.Shape, symbol string, held bool) {
	c.text(x+nutAt, y+4, symbol, style{size: 4.4, bold: true, room: neck})
	if !held {
		return
	}
	first, last := fretsOf(s)
	step := neck / float64(last-first+1)
	top := y + 6.2
	stringAt := func(number int) float64 { return top + float64(6-number)*stringStep }
	for number := 6; number >= 1; number-- {
		c.line(x+nutAt, stringAt(number), x+nutAt+neck, stringAt(number), 0.12+0.07*float64(number))
	}
	for fret := first - 1; fret <= last; fret++ {
		wide, at := 0.25, x+nutAt+float64(fret-first+1)*step
		if fret == 0 {
			wide = 1
		}
		c.line(at, stringAt(6), at, stringAt(1), wide)
	}
	middle := func(fret int) float64 { return x + nutAt + (float64(fret-first)+0.5)*step }
	if _, fret, from, to, ok := s.Barre(); ok {
		c.box(middle(fret)-0.6, stringAt(from), 1.2, stringAt(to)-stringAt(from), 0.6)
	}
	for number := 6; number >= 1; number-- {
		fret, finger := s.Place(number)
		at := stringAt(number) + 0.9
		switch {
		case fret == theory.Muted:
			c.text(x+nutAt-2, at, "×", style{size: 2.8, anchor: atMiddle})
		case fret == 0:
			c.text(x+nutAt-2, at, "0", style{size: 2.6, anchor: atMiddle})
		default:
			c.disc(middle(fret), stringAt(number), 1.4)
			c.text(middle(fret), at, strconv.Itoa(finger), style{size: 2.6, anchor: atMiddle, bold: true, white: true})
		}
	}
	if first > 1 {
		c.text(middle(first), stringAt(1)+3.2, strconv.Itoa(first), style{size: 2.6, anchor: atMiddle})
	}
}

// fretsOf are the frets that the drawing of a shape shows: four at least, from
// the nut where the hand is near it.
func fretsOf(s theory.Shape) (first, last int) {
	const least = 4
	for _, fret := range s.Frets {
		last = max(last, fret)
	}
	first = 1
	if last > least {
		first = s.Position()
	}
	return first, max(last, first+least-1)
}

// chordsOf are the chords of a turn, each once, in the order in which they are
// first changed to; the one that sounds on from the turn before comes where it
// is changed to.
func chordsOf(line theory.Line) []theory.Chord {
	var chords []theory.Chord
	seen := map[string]bool{}
	add := func(c theory.Chord) {
		if !seen[c.String()] {
			seen[c.String()] = true
			chords = append(chords, c)
		}
	}
	for _, change := range line.Form.Plan(line.Key.Mode) {
		add(line.Key.Chord(change.Degree, change.Seventh))
	}
	if len(chords) == 0 {
		add(line.Key.TonicChord())
	}
	return chords
}

// shapeOf is how a chord of a key is held; ok is false where no hand is known
// to hold it.
func shapeOf(c theory.Chord, key theory.Key, t theory.Tuning) (theory.Shape, bool) {
	s, ok := theory.ShapeOf(c, t)
	if c.String() == key.TonicChord().String() {
		s, ok = key.TonicShape(t)
	}
	return s, ok
}
