package match

import "bordon/theory"

// Cause is the nearest explanation of a wrong pitch, for the sentence that
// ui/words makes of it.
type Cause string

// The causes.
const (
	NoCause     Cause = ""
	Semitone    Cause = "semitone"     // one fret off on the same string
	WrongString Cause = "wrong-string" // same fret, neighbouring string
	Swapped     Cause = "swapped"      // the note of a neighbouring beat of the line
	StillThere  Cause = "still-there"  // the previous note was repeated
	OtherDegree Cause = "other-degree" // another degree of the scale
)

// causeOf explains a wrong pitch, the likeliest explanation first: what the
// hand was doing just before, then where the finger stood, then the scale.
// All pitches are fingered MIDI; before is what was heard on the beat before,
// 0 where nothing was.
func causeOf(line *theory.Line, item, heard, expected, before int) Cause {
	switch {
	case heard == before:
		return StillThere
	case item > 0 && asksFor(&line.Items[item-1], heard),
		item+1 < len(line.Items) && asksFor(&line.Items[item+1], heard):
		return Swapped
	}
	if place, ok := line.Tuning.Place(expected); ok {
		onString := heard - line.Tuning[place.String-1]
		switch {
		case onString == place.Fret-1 && onString >= 0, onString == place.Fret+1:
			return Semitone
		case place.String > 1 && heard-line.Tuning[place.String-2] == place.Fret,
			place.String < 6 && heard-line.Tuning[place.String] == place.Fret:
			return WrongString
		}
	}
	if line.Key.Contains(heard) {
		return OtherDegree
	}
	return NoCause
}

// asksFor reports whether an item names exactly this note.
func asksFor(item *theory.Item, midi int) bool {
	for i := range item.Choices {
		if c := &item.Choices[i]; c.Kind == theory.ExactNote && c.Note.MIDI() == midi {
			return true
		}
	}
	return false
}
