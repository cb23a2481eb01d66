package keys

import (
	"strconv"

	"bordon/theory"
	"bordon/ui/page"
	"bordon/ui/words"
)

// A shape is drawn as a player sees the neck who looks down at it: the sixth
// string first, a column for each fret. A finger stands as its number on its
// fret, and what the string sounds behind it.
const (
	fretColumn = 4 // cells of a fret
	leastFrets = 4 // that are drawn
)

// frets are the first and the last fret that a shape's drawing shows: from the
// nut where the hand is near it.
func frets(s theory.Shape) (first, last int) {
	for _, f := range s.Frets {
		last = max(last, f)
	}
	first = 1
	if last > leastFrets {
		first = s.Position()
	}
	return first, max(last, first+leastFrets-1)
}

// drawShape draws a shape in seven lines, the frets' numbers first. left turns
// it over for a guitar that is held to the left.
func drawShape(lang *words.Language, s theory.Shape, left bool) []page.Line {
	first, last := frets(s)
	lines := []page.Line{row(left, []string{pad("", 4), pad(" "+lang.OpenString(), 5), fretNumbers(first, last, left), pad("", lang.NoteWidth())}, page.Remark)}
	for str := 6; str >= 1; str-- {
		fret, finger := s.Place(str)
		nut, note := "", ""
		switch fret {
		case theory.Muted:
			nut = "x"
		case 0:
			nut = "0"
		}
		if fret != theory.Muted {
			note = noteOn(lang, s, str, fret)
		}
		lines = append(lines, row(left, []string{
			pad("("+strconv.Itoa(str)+")", 4), pad(" "+nut, 5), onString(first, last, fret, finger, left), pad("  "+note, lang.NoteWidth()),
		}, page.Quiet))
	}
	return lines
}

// row joins the cells of a line, turned over where the guitar is.
func row(left bool, cells []string, role page.Role) page.Line {
	text := ""
	for i := range cells {
		if left {
			i = len(cells) - 1 - i
		}
		text += cells[i]
	}
	return page.Line{{Text: text, Role: role}}
}

func fretNumbers(first, last int, left bool) string {
	text := ""
	for fret := first; fret <= last; fret++ {
		cell := pad(" "+strconv.Itoa(fret), fretColumn)
		if left {
			text = cell + text
		} else {
			text += cell
		}
	}
	return text
}

// onString is a string over the drawn frets, with the finger where it is held.
func onString(first, last, fret, finger int, left bool) string {
	text := ""
	for f := first; f <= last; f++ {
		cell := pad(" .", fretColumn)
		if f == fret {
			cell = pad(" "+strconv.Itoa(finger), fretColumn)
		}
		if left {
			text = cell + text
		} else {
			text += cell
		}
	}
	return text
}

// noteOn is the note that a string of a shape sounds, as its chord spells it.
func noteOn(lang *words.Language, s theory.Shape, str, fret int) string {
	midi := s.Tuning[str-1] + fret
	for _, names := range [][]theory.Name{s.Chord.Tones, s.Added} {
		for _, n := range names {
			if n.PitchClass() == midi%12 {
				return lang.Name(n)
			}
		}
	}
	return ""
}
