package words

import (
	"math"
	"strconv"
	"strings"
)

// sheet are the words that stand on the page, beside notes and their labels.
type sheet struct {
	cejilla string // {fret}, {key}
	tempo   string // {bpm}
	levels  [5]string
	inTune  string
	flat    counted
	sharp   counted
	lost    string // {ms}

	turn         string // {turn}
	place        string // {turn}, {beat}
	sentence     string // {place}, {why}
	asked        string // {note}
	askedAt      string // {note}, {place}
	anyOf, or    string // {of}
	also         string // {notes}
	after        string // {note}, {beat}
	next         string
	ready, first string
	countIn      counted // beats until beat 1
}

// Cejilla says at which fret it lies and which key sounds.
func (l *Language) Cejilla(fret int, key string) string {
	return fill(l.sheet.cejilla, "fret", strconv.Itoa(fret), "key", key)
}

// Tempo is in beats a minute.
func (l *Language) Tempo(bpm float64) string {
	return fill(l.sheet.tempo, "bpm", l.number(bpm, 'g', 4))
}

// Level names how loud the sound comes in, from 1 (none) over too quiet and
// good to 4 (too loud); "" for any other number.
func (l *Language) Level(i int) string {
	if i < 0 || i >= len(l.sheet.levels) {
		return ""
	}
	return l.sheet.levels[i]
}

// Tuning is the guitar's offset from concert pitch, to the nearest cent.
func (l *Language) Tuning(cents float64) string {
	switch n := int(math.Round(cents)); {
	case n < 0:
		return l.sheet.flat.of(-n)
	case n > 0:
		return l.sheet.sharp.of(n)
	}
	return l.sheet.inTune
}

// Lost says how much sound was lost, in milliseconds.
func (l *Language) Lost(ms float64) string {
	return fill(l.sheet.lost, "ms", l.number(ms, 'f', 0))
}

// Turn names a turn of the take: "turn 3".
func (l *Language) Turn(n int) string { return fill(l.sheet.turn, "turn", strconv.Itoa(n)) }

// At names a place in the take: "turn 2, beat 8".
func (l *Language) At(turn int, beat string) string {
	return fill(l.sheet.place, "turn", strconv.Itoa(turn), "beat", beat)
}

// Sentence is a reason with the place in the take before it.
func (l *Language) Sentence(turn int, beat, why string) string {
	return fill(l.sheet.sentence, "place", l.At(turn, beat), "why", why)
}

// Asked says what was asked for, and where it lies unless place is "":
// "asked A2, (5) open".
func (l *Language) Asked(note, place string) string {
	if place == "" {
		return fill(l.sheet.asked, "note", note)
	}
	return fill(l.sheet.askedAt, "note", note, "place", place)
}

// AnyOf is any note of something, such as a key or a chord.
func (l *Language) AnyOf(of string) string { return fill(l.sheet.anyOf, "of", of) }

// Or joins what may be chosen: "C3 or E3".
func (l *Language) Or(choices []string) string { return strings.Join(choices, l.sheet.or) }

// After says which beat an extra note came after.
func (l *Language) After(note, beat string) string {
	return fill(l.sheet.after, "note", note, "beat", beat)
}

// Also lists the extra notes of a turn, as After tells them.
func (l *Language) Also(notes []string) string {
	return fill(l.sheet.also, "notes", strings.Join(notes, ", "))
}

// Next stands before what comes next.
func (l *Language) Next() string { return l.sheet.next }

// Ready is said before the count-in.
func (l *Language) Ready() string { return l.sheet.ready }

// CountIn says how many beats there are until beat 1 of the first turn; 0 is
// that beat itself.
func (l *Language) CountIn(beats int) string {
	if beats <= 0 {
		return l.sheet.first
	}
	return l.sheet.countIn.of(beats)
}
