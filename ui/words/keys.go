package words

import (
	"strconv"
	"strings"

	"bordon/theory"
)

// opening are the words of the screen that opens a key, and of a line that
// moves to another.
type opening struct {
	openString    string
	home          string // {key}
	notes, walk   string
	noSigns       string
	sharps, flats counted

	sameNotes string // {notes}
	newNotes  string // {new}, {old}
	sameWalk  string // {degrees}
	otherWalk string // {home}, {key}, {here}

	samePlaces             string
	otherPlaces            string // {stay}, {of}, {before}, {after}
	harder, easier, asHard string

	noStrings    string
	gained, lost string // {strings}
	sameStrings  string
	moved        string // {line}, {from}, {to}
	badly        string
	well         string
	asked        string // {line}, {degrees}, {key}
}

// OpenString heads the column of the strings that no finger holds.
func (l *Language) OpenString() string { return l.opening.openString }

// Home names the key that the player knows.
func (l *Language) Home(k theory.Key) string { return fill(l.opening.home, "key", l.Key(k)) }

// NotesOf and BestWalk head what they name.
func (l *Language) NotesOf() string  { return l.opening.notes }
func (l *Language) BestWalk() string { return l.opening.walk }

// Signature counts the sharps (above 0) or flats of a key.
func (l *Language) Signature(n int) string {
	switch {
	case n > 0:
		return l.opening.sharps.of(n)
	case n < 0:
		return l.opening.flats.of(-n)
	}
	return l.opening.noSigns
}

// NotesChanged says which notes of the scale are the home key's own and which
// are new.
func (l *Language) NotesChanged(key, home theory.Key) string {
	var new, old []string
	for _, pair := range [][2]theory.Key{{key, home}, {home, key}} {
		for _, n := range pair[0].Scale() {
			if pair[1].Contains(n.PitchClass()) {
				continue
			}
			if pair[0] == key {
				new = append(new, l.Note(n))
			} else {
				old = append(old, l.Note(n))
			}
		}
	}
	if len(new) == 0 || len(old) == 0 {
		return l.opening.sameNotes
	}
	return fill(l.opening.newNotes, "new", l.list(new), "old", l.list(old))
}

// WalksCompared says whether the best walk has the degrees of the home key's.
func (l *Language) WalksCompared(here, home theory.Walk) string {
	a, b := degrees(here), degrees(home)
	if a == b {
		return fill(l.opening.sameWalk, "degrees", a)
	}
	return fill(l.opening.otherWalk, "home", b, "key", l.Key(home.Key), "here", a)
}

func degrees(w theory.Walk) string {
	var d []string
	for _, n := range w.Notes {
		d = append(d, n.Degree)
	}
	return strings.Join(d, " ")
}

// UnderTheHand says in a sentence or two what changes for the left hand from one
// walk to another that has as many notes.
func (l *Language) UnderTheHand(before, after theory.Walk) string {
	t := &l.opening
	stay, same, openBefore, openAfter := 0, len(before.Notes) == len(after.Notes), 0, 0
	for i, n := range after.Notes {
		if i < len(before.Notes) && before.Notes[i].Place.String == n.Place.String {
			stay++
		}
		same = same && before.Notes[i].Place == n.Place
		if n.Place.Fret == 0 {
			openAfter++
		}
	}
	for _, n := range before.Notes {
		if n.Place.Fret == 0 {
			openBefore++
		}
	}
	places := t.samePlaces
	if !same {
		places = fill(t.otherPlaces, "stay", strconv.Itoa(stay), "of", strconv.Itoa(len(after.Notes)),
			"before", strconv.Itoa(openBefore), "after", strconv.Itoa(openAfter))
	}
	effort := t.asHard
	switch b, a := before.HandCost(), after.HandCost(); {
	case a > b:
		effort = t.harder
	case a < b:
		effort = t.easier
	}
	return places + " " + effort
}

// StringsChanged says which open strings are notes of the key and were none of
// the home key's, and the other way round.
func (l *Language) StringsChanged(gained, lost []string) []string {
	t := &l.opening
	if len(gained) == 0 && len(lost) == 0 {
		return []string{t.sameStrings}
	}
	all := func(strings []string) string {
		if len(strings) == 0 {
			return t.noStrings
		}
		return l.list(strings)
	}
	return []string{fill(t.gained, "strings", all(gained)), fill(t.lost, "strings", all(lost))}
}

// Moved names a line and its keys, Badly and Well say how it lies there beside
// the best that there is.
func (l *Language) Moved(line string, from, to theory.Key) string {
	return fill(l.opening.moved, "line", line, "from", l.Key(from), "to", l.Key(to))
}
func (l *Language) Badly() string { return l.opening.badly }
func (l *Language) Well() string  { return l.opening.well }

// Chosen says which line is asked for where the player named none.
func (l *Language) Chosen(w theory.Walk) string {
	return fill(l.opening.asked, "line", w.Line().String(), "degrees", degrees(w), "key", l.Key(w.Key))
}

// capturing are the words on a line that is written down from two turns.
type capturing struct {
	differ  string // {beat}, {first}, {second}, {guess}
	doubt   string // {beat}, {guess}
	nothing string
	answer  string
	kept    string // {file}
}

// Differ says where two turns of a captured line disagree; notes are as fingered,
// "" for none.
func (l *Language) Differ(beat, first, second, guess string) string {
	t := &l.capturing
	for _, s := range []*string{&first, &second, &guess} {
		if *s == "" {
			*s = t.nothing
		}
	}
	if first == second {
		return fill(t.doubt, "beat", beat, "guess", guess)
	}
	return fill(t.differ, "beat", beat, "first", first, "second", second, "guess", guess)
}

// Answer asks for the one or the other.
func (l *Language) Answer() string { return l.capturing.answer }

// LineKept says where a captured line is.
func (l *Language) LineKept(file string) string { return fill(l.capturing.kept, "file", file) }
