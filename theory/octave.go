package theory

import "fmt"

// place gives every degree of a line its octave by the rule that ParseLine
// tells, and checks that all notes are on the guitar. On an error it returns
// the index of the item that is wrong.
func place(items []draft, tuning Tuning) (int, error) {
	low, high := tuning.low(), tuning.high()
	after, hasAfter := 0, false
	for i := len(items) - 1; i >= 0; i-- {
		first, hasFirst := 0, false
		for j := range items[i].choices {
			c := &items[i].choices[j]
			if c.Kind != ExactNote {
				continue
			}
			if c.floating {
				midi, ok := nearest(c.Note.PitchClass(), after, hasAfter, low, high)
				if !ok {
					return i, fmt.Errorf("this guitar has no %v", c.Note.Name)
				}
				c.Note = c.Note.Name.at(midi + 12*c.shift)
			}
			midi := c.Note.MIDI()
			if midi < low || midi > high {
				return i, octaveError(c.Choice, low, high)
			}
			if !hasFirst {
				first, hasFirst = midi, true
			}
		}
		if hasFirst {
			after, hasAfter = first, true
		}
	}
	return 0, nil
}

// nearest is the note of a pitch class between low and high that is nearest to
// the note after it, the lower of two; where there is none after it, the
// lowest.
func nearest(pitchClass, after int, hasAfter bool, low, high int) (midi int, ok bool) {
	for m := low + mod(pitchClass-low, 12); m <= high; m += 12 {
		if !ok || hasAfter && distance(m, after) < distance(midi, after) {
			midi, ok = m, true
		}
	}
	return midi, ok
}

func distance(a, b int) int { return max(a-b, b-a) }

// octaveError says that a choice is not on the guitar, and which one of its
// name is.
func octaveError(c Choice, low, high int) error {
	named := c.Note.String()
	if c.Text != named {
		named = fmt.Sprintf("%s (%s)", shorten(c.Text), named)
	}
	side, edge := "below the open sixth string", "lowest"
	right, ok := nearest(c.Note.PitchClass(), low, true, low, high)
	if c.Note.MIDI() > high {
		side, edge = fmt.Sprintf("above fret %d of the first string", LastFret), "highest"
		right, ok = nearest(c.Note.PitchClass(), high, true, low, high)
	}
	if !ok {
		return fmt.Errorf("%s is in an octave no guitar has, %s", named, side)
	}
	return fmt.Errorf("%s is in an octave no guitar has, %s; the %s %v there is %v",
		named, side, edge, c.Note.Name, c.Note.Name.at(right))
}
