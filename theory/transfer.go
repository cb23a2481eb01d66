package theory

import "fmt"

// In is the line in another key, on the same beats, each note by its degree:
// the third stays the third, the leading note the leading note. The whole
// moves up or down to where the bass strings hold it with the least effort;
// between two keys of one mode all intervals stay as they are. Loose items ask
// for the same in the new key. The error says which note no guitar has there.
func (l Line) In(key Key) (Line, error) {
	if !key.valid() {
		return Line{}, fmt.Errorf("moving line %v: there is no key; give one such as G or por-medio", l)
	}
	up := mod(key.Tonic.PitchClass()-l.Key.Tonic.PitchClass(), 12)
	var best Line
	var problem error
	least, found := 0, false
	for _, octaves := range [...]int{-36, -24, -12, 0, 12, 24} {
		moved, err := l.by(key, up+octaves)
		if err != nil {
			// The nearest of the failing ways is the one to tell of.
			if problem == nil || octaves == -12 && up > 6 || octaves == 0 && up <= 6 {
				problem = err
			}
			continue
		}
		cost := moved.effort()
		if !found || cost < least {
			best, least, found = moved, cost, true
		}
	}
	if !found {
		return Line{}, fmt.Errorf("moving line %v from %v to %v: %w", l, l.Key, key, problem)
	}
	return best, nil
}

// by is the line in key with its notes moved by about so many semitones.
func (l Line) by(key Key, semitones int) (Line, error) {
	moved := l
	moved.Key, moved.Items, moved.Held = key, make([]Item, len(l.Items)), nil
	for i, item := range l.Items {
		p := item.Position
		item.Chord = l.Form.ChordAt(key, float64(p.Beat)+p.fraction())
		choices := make([]Choice, len(item.Choices))
		for j, c := range item.Choices {
			if c.Kind == ExactNote {
				c.Note = moveNote(c.Note, l.Key, key, semitones)
				c.Text = c.Note.String()
				if m := c.Note.MIDI(); m < l.Tuning.low() || m > l.Tuning.high() {
					return Line{}, fmt.Errorf("beat %v would ask for %v, which this guitar has not; write the line for this key", p, c.Note)
				}
			}
			choices[j] = c
		}
		item.Choices = choices
		moved.Items[i] = item
	}
	return moved, nil
}

// moveNote is a note of one key by its degree in another, nearest to where so
// many semitones take it, the lower of two.
func moveNote(n Note, from, to Key, semitones int) Note {
	number := mod(letterIndex(n.Letter)-letterIndex(from.Tonic.Letter), 7) + 1
	alter := mod(n.PitchClass()-from.name(number, 0).PitchClass()+6, 12) - 6
	// The leading note is the major scale's seventh and the minor one's raised
	// seventh.
	if number == 7 && from.Mode != Phrygian && to.Mode != Phrygian {
		alter += modes[from.Mode.index()].steps[6] - modes[to.Mode.index()].steps[6]
	}
	name := to.name(number, alter)
	if name.Alter < -2 || name.Alter > 2 {
		name = to.Spell(60 + name.PitchClass()).Name
	}
	goal := n.MIDI() + semitones
	midi := goal - mod(goal-name.PitchClass(), 12)
	if goal-midi > 6 {
		midi += 12
	}
	return name.at(midi)
}

// effort is what a line asks for as a walk; one that leaves the bass strings
// is worse than any that does not.
func (l Line) effort() int {
	w, err := WalkOf(l)
	if err != nil {
		return unreachable
	}
	return w.Cost()
}

// LiesBadly reports whether a better walk is worth learning anew rather than
// keeping this one: it is better by more than margin, or this one makes the
// hand leave its place and the other does not.
func (w Walk) LiesBadly(better Walk) bool {
	return w.Cost() > better.Cost()+margin || w.Count(Shift) > better.Count(Shift)
}
