package page

import (
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
	c.Label = w.words.Label(v)
	if v.Timing == match.Early || v.Timing == match.Late {
		c.Timing, c.TimingLarge = w.words.Timing(v, w.rate), w.words.TimingLarge(v, w.rate)
	}
	return c
}

// fingered names a sounding pitch as the left hand knows it.
func (w *Writer) fingered(midi int) string {
	return w.words.Pitched(w.set.Key.Spell(midi - w.set.Cejilla))
}

// asked names what an item asks for, and where the first of its notes lies.
func (w *Writer) asked(it theory.Item) (asked, place string) {
	var names []string
	for _, ch := range it.Choices {
		switch ch.Kind {
		case theory.AnyScale:
			names = append(names, w.words.AnyOf(w.words.Key(w.set.Key)))
		case theory.AnyChord:
			names = append(names, w.words.AnyOf(w.words.Chord(it.Chord)))
		default:
			names = append(names, w.words.Pitched(ch.Note))
			if place == "" {
				if p, ok := w.set.Line.Tuning.Place(ch.Note.MIDI()); ok {
					place = w.words.Mark(p)
				}
			}
		}
	}
	return w.words.Or(names), place
}
