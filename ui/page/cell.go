package page

import (
	"fmt"
	"math"
	"strings"

	"bordon/listen/match"
	"bordon/theory"
)

// cell is what stands on the page for a verdict.
func (w *Writer) cell(v match.Verdict) Cell {
	c := Cell{State: Written, Word: v.Pitch}
	c.Asked, c.Place = w.asked(v.Item)
	if v.Heard != nil && v.Pitch != match.Unsure {
		c.Heard = w.fingered(v.Heard.MIDI)
	}
	switch v.Pitch {
	case match.Octave:
		c.Label = "an octave up"
		if v.Heard != nil && v.Heard.MIDI < v.ExpectedMIDI {
			c.Label = "an octave down"
		}
	case match.InScale:
		c.Label = "wrong, in key"
	case match.OutOfScale:
		c.Label = "not in key"
	}
	if ms := w.ms(v.Offset); v.Timing == match.Early || v.Timing == match.Late {
		c.Timing = fmt.Sprintf("%.0f ms %s", math.Abs(ms), v.Timing)
	}
	return c
}

func (w *Writer) ms(samples int64) float64 { return float64(samples) * 1000 / float64(w.rate) }

// fingered names a sounding pitch as the left hand knows it.
func (w *Writer) fingered(midi int) string {
	return w.set.Key.Spell(midi - w.set.Cejilla).String()
}

// asked names what an item asks for, and where the first of its notes lies.
func (w *Writer) asked(it theory.Item) (asked, place string) {
	var names []string
	for _, ch := range it.Choices {
		switch ch.Kind {
		case theory.AnyScale:
			names = append(names, "any note of "+KeyName(w.set.Key))
		case theory.AnyChord:
			names = append(names, "any note of "+it.Chord.String())
		default:
			names = append(names, ch.Note.String())
			if place == "" {
				if p, ok := w.set.Line.Tuning.Place(ch.Note.MIDI()); ok {
					place = PlaceName(p)
				}
			}
		}
	}
	return strings.Join(names, " or "), place
}

// PlaceName writes a place on the neck as guitar scores do: "(5) open",
// "(6) fret 2".
func PlaceName(p theory.Place) string {
	if p.Fret == 0 {
		return fmt.Sprintf("(%d) open", p.String)
	}
	return fmt.Sprintf("(%d) fret %d", p.String, p.Fret)
}

// NoteName says a spelled name in words: "B flat".
func NoteName(n theory.Name) string {
	s := string(n.Letter)
	switch n.Alter {
	case -2:
		s += " double flat"
	case -1:
		s += " flat"
	case 1:
		s += " sharp"
	case 2:
		s += " double sharp"
	}
	return s
}

// KeyName says a key in words: "B flat major".
func KeyName(k theory.Key) string {
	mode := "major"
	switch k.Mode {
	case theory.Minor:
		mode = "minor"
	case theory.Phrygian:
		mode = "phrygian"
	}
	return NoteName(k.Tonic) + " " + mode
}
