package theory

import "fmt"

// noNote stands for the note before the first.
const noNote = -1

// alone counts the traits that a note has by itself: what it is to the
// sounding chord and what it asks of the hand.
func alone(counts *[traits]int, chord Chord, midi int, g grasp) {
	if !chord.Contains(midi) {
		counts[Foreign]++
		if chord.Contains(midi - 1) {
			counts[Clash]++
		}
	}
	counts[Damped] += g.damped
	counts[Stretch] += g.stretch
	if g.shift {
		counts[Shift]++
	}
}

// move counts the traits of the step from one note to the next, after a third
// one, noNote where there is none.
func move(counts *[traits]int, key Key, before, from, to int, landing bool) {
	apart := distance(from, to)
	switch {
	case apart == 1 && key.degree(from).number == key.degree(to).number:
		counts[Chromatic]++
	case apart > 12, apart == 6, apart > 7 && apart < 12:
		counts[AwkwardLeap]++
	case apart > 4:
		counts[Leap]++
	case apart > 2:
		counts[Third]++
	}
	if before != noNote {
		if (before < from) != (from < to) {
			counts[TurnsBack]++
		}
		if before == to {
			counts[Returns]++
		}
	}
	if landing {
		if before != noNote && filled(before, from, to) {
			counts[Third]--
		}
		switch {
		case apart > 2:
			counts[LeapLanding]++
		case apart == 2:
			counts[WholeLanding]++
		}
	}
}

// filled reports whether two notes a third apart have the landing between them.
func filled(before, from, landing int) bool {
	apart := distance(before, from)
	return apart > 2 && apart <= 4 && (before < landing) == (landing < from)
}

// Surrounds reports whether the last two notes before the landing lie a third
// apart on either side of it.
func (w Walk) Surrounds() bool {
	n := len(w.Notes)
	return n > 2 && filled(w.Notes[n-3].Note.MIDI(), w.Notes[n-2].Note.MIDI(), w.Notes[n-1].Note.MIDI())
}

// count counts the traits of the whole walk.
func (w *Walk) count() {
	w.Counts = [traits]int{}
	before, from := noNote, noNote
	for i, n := range w.Notes {
		midi, last := n.Note.MIDI(), i == len(w.Notes)-1
		alone(&w.Counts, n.Chord, midi, grasp{n.Damped, n.Stretch, n.Shift})
		if from != noNote {
			move(&w.Counts, w.Key, before, from, midi, last)
		}
		if last {
			w.Counts[HighLanding] += max(midi-lowestTonic(w.Key, w.Tuning), 0) / 12
		}
		before, from = from, midi
	}
}

// WalkOf is a line as a walk: its exact notes, the first choice of each item,
// with where the hand finds them and what it asks of it. Items that ask for
// any note of the scale or the chord are passed over. Notes that no place on
// the bass strings has are told by an error.
func WalkOf(line Line) (Walk, error) {
	w := Walk{Key: line.Key, Form: line.Form, Tuning: line.Tuning}
	for _, item := range line.Items {
		for _, c := range item.Choices {
			if c.Kind != ExactNote {
				continue
			}
			midi := c.Note.MIDI()
			h := handOn(line.Key, item.Chord, line.Tuning)
			place, g, ok := h.place(line.Tuning, midi)
			for _, held := range line.Held {
				at := held.Place
				if held.Position.Compare(item.Position) == 0 && line.Tuning[at.String-1]+at.Fret == midi {
					place, g, ok = at, h.reach(at), true
				}
			}
			if !ok {
				return Walk{}, fmt.Errorf("walk %v: %v is on none of the bass strings, 6 to %d", line, c.Note, basses)
			}
			w.Notes = append(w.Notes, WalkNote{
				Position: item.Position, Note: c.Note, Degree: line.Key.Degree(midi), Place: place,
				Chord: item.Chord, Damped: g.damped, Stretch: g.stretch, Shift: g.shift,
			})
			break
		}
	}
	if len(w.Notes) == 0 {
		return Walk{}, fmt.Errorf("walk %v: it names no note", line)
	}
	w.count()
	return w, nil
}

// lineBeats are the beats where a form's line runs in a key, the landing last:
// those of its usual walk or, where it has none, the landing on the tonic and
// up to three beats of the chord before.
func (f Form) lineBeats(key Key) ([]Position, error) {
	if walk := f.WalkIn(key.Mode); walk != "" {
		line, err := ParseLine(walk, key, f, Standard)
		if err != nil {
			return nil, fmt.Errorf("usual line of %s: %w", f.Name, err)
		}
		beats := make([]Position, len(line.Items))
		for i, item := range line.Items {
			beats[i] = item.Position
		}
		return beats, nil
	}
	plan := f.Plan(key.Mode)
	for i := len(plan) - 1; i > 0; i-- {
		if plan[i].Degree != 1 || plan[i-1].Degree == 1 {
			continue
		}
		var beats []Position
		for b := max(plan[i].Beat-3, plan[i-1].Beat); b <= plan[i].Beat; b++ {
			beats = append(beats, Position{Turn: 1, Beat: b, Den: 1})
		}
		return beats, nil
	}
	return nil, fmt.Errorf("form %s never goes from another chord to the tonic; write a line of your own", quote(f.Name))
}

// degree is the degree of the key that midi is named by.
func (k Key) degree(midi int) degree { return modes[k.Mode.index()].chromatic[k.interval(midi)] }

// HandCost is the part of Cost that the left hand bears: fingers that leave
// the chord, stretches and shifts.
func (w Walk) HandCost() int {
	sum := 0
	for _, t := range [...]Trait{Damped, Stretch, Shift} {
		sum += w.Counts[t] * weights[t].cost
	}
	return sum
}
