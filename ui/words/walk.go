package words

import (
	"slices"
	"strings"

	"bordon/theory"
)

// walks are the words on a walk of the bass and how it lies under the hand.
type walks struct {
	why  string // {motion}, {landing}, {chord}, {hand}
	lone string // the same of a single note; {chord}, {hand}

	// {motion}
	steps, around  string
	thirds, leaps  counted
	down, up       string // {motion}
	turns          counted
	turning        string // {motion}, {turns}
	semitone       string // {landing}
	whole          string
	leap           string
	allOf, only    string // {chord}; {note}
	foreign        string // {notes}
	stays          string // {hand}
	lifts          counted
	opens          string // {notes}
	shifts         string // {notes}
	handAnd        string // {one}, {other}
	withOpen       counted
	openAfter      string // {hand}, {open}
	listAnd, comma string
}

// Why is one sentence on what speaks for a walk, and what against it.
func (l *Language) Why(w theory.Walk) string {
	t := &l.walks
	if len(w.Notes) < 2 {
		return fill(t.lone, "chord", l.walkChord(w), "hand", l.walkHand(w))
	}
	return fill(t.why, "motion", l.walkMotion(w), "landing", l.walkLanding(w),
		"chord", l.walkChord(w), "hand", l.walkHand(w))
}

func (l *Language) walkMotion(w theory.Walk) string {
	t := &l.walks
	leaps := w.Count(theory.Leap) + w.Count(theory.AwkwardLeap)
	turns := w.Count(theory.TurnsBack)
	motion := t.steps
	switch {
	case leaps > 0:
		motion = t.leaps.of(leaps)
	case w.Count(theory.Third) > 0:
		motion = t.thirds.of(w.Count(theory.Third))
	case w.Surrounds() && turns == 1:
		return t.around
	}
	switch first, last := w.Notes[0].Note.MIDI(), w.Notes[len(w.Notes)-1].Note.MIDI(); {
	case turns > 0:
		return fill(t.turning, "motion", motion, "turns", t.turns.of(turns))
	case last < first:
		return fill(t.down, "motion", motion)
	}
	return fill(t.up, "motion", motion)
}

func (l *Language) walkLanding(w theory.Walk) string {
	switch {
	case w.Count(theory.LeapLanding) > 0:
		return l.walks.leap
	case w.Count(theory.WholeLanding) > 0:
		return l.walks.whole
	}
	return l.walks.semitone
}

// walkChord says which notes are none of the chord that sounds.
func (l *Language) walkChord(w theory.Walk) string {
	var foreign []string
	for _, n := range w.Notes {
		if !n.Chord.Contains(n.Note.MIDI()) {
			foreign = append(foreign, l.Note(n.Note.Name))
		}
	}
	switch len(foreign) {
	case 0:
		return l.walks.allOf
	case 1:
		return fill(l.walks.only, "note", foreign[0])
	}
	return fill(l.walks.foreign, "notes", l.list(foreign))
}

// walkHand says what the hand must do.
func (l *Language) walkHand(w theory.Walk) string {
	t := &l.walks
	var opens, shifts []string
	lifts, open := 0, 0
	for _, n := range w.Notes {
		name := l.Note(n.Note.Name)
		switch {
		case n.Shift:
			shifts = append(shifts, name)
		case n.Stretch > 0:
			opens = append(opens, name)
		}
		if n.Damped > 0 {
			lifts++
		}
		if n.Place.Fret == 0 {
			open++
		}
	}
	hand := t.stays
	if lifts > 0 {
		hand = t.lifts.of(lifts)
	}
	if len(opens) > 0 {
		other := fill(t.opens, "notes", l.list(opens))
		if lifts > 0 {
			other = fill(t.handAnd, "one", hand, "other", other)
		}
		hand = other
	}
	if len(shifts) > 0 {
		hand = fill(t.shifts, "notes", l.list(shifts))
	}
	if open > 0 {
		hand = fill(t.openAfter, "hand", hand, "open", t.withOpen.of(open))
	}
	return hand
}

// list joins things: "A, B and C", each said once.
func (l *Language) list(things []string) string {
	var once []string
	for _, s := range things {
		if !slices.Contains(once, s) {
			once = append(once, s)
		}
	}
	last := len(once) - 1
	if last < 1 {
		return strings.Join(once, "")
	}
	return strings.Join(once[:last], l.walks.comma) + l.walks.listAnd + once[last]
}
