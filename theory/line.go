package theory

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"
)

// Position of a line's item: "2/7" is beat 7 of the second turn, "9+1/2" half
// a beat after 9.
type Position struct {
	Turn     int // 1-based turn of the line
	Beat     int // 1-based
	Num, Den int // fraction of a beat after Beat, as written; 0/1 when on the beat

	turnWritten bool // "1/7" and "7" are the same position, each printed as written
}

// String is the position as it was written.
func (p Position) String() string {
	var b strings.Builder
	if p.Turn > 1 || p.turnWritten {
		b.WriteString(strconv.Itoa(p.Turn) + "/")
	}
	b.WriteString(strconv.Itoa(p.Beat))
	if p.Num != 0 {
		b.WriteString("+" + strconv.Itoa(p.Num) + "/" + strconv.Itoa(p.Den))
	}
	return b.String()
}

// fraction is the part of a beat after the beat.
func (p Position) fraction() float64 {
	if p.Num == 0 {
		return 0
	}
	return float64(p.Num) / float64(p.Den)
}

// Offset is the position's distance, in beats, after beat 1 of the line's
// first turn, in a form of that many beats a turn.
func (p Position) Offset(beats int) float64 {
	return float64((p.Turn-1)*beats+p.Beat-1) + p.fraction()
}

// Compare orders positions: -1 where p comes before q, 0 where they are the
// same moment, 1 where p comes after q.
func (p Position) Compare(q Position) int {
	// Cross-multiplied: 1/3 and 2/6 are one moment, exactly.
	return cmp.Or(cmp.Compare(p.Turn, q.Turn), cmp.Compare(p.Beat, q.Beat),
		cmp.Compare(p.Num*max(q.Den, 1), q.Num*max(p.Den, 1)))
}

// ChoiceKind tells what a choice asks for.
type ChoiceKind int

// The kinds of choice.
const (
	ExactNote ChoiceKind = iota // a note of a given octave
	AnyScale                    // "scale": any note that the key contains
	AnyChord                    // "chord": any tone of the sounding chord
)

// Choice is one of the alternatives of an item.
type Choice struct {
	Kind ChoiceKind
	Note Note   // as fingered; for ExactNote
	Text string // as written: "B2", "3", "5,", "scale"
}

// String is the choice resolved: its note, or "scale", or "chord".
func (c Choice) String() string {
	switch c.Kind {
	case AnyScale:
		return "scale"
	case AnyChord:
		return "chord"
	}
	return c.Note.String()
}

// Item is what a line asks for at one position. Notes are as fingered.
type Item struct {
	Position Position
	Choices  []Choice
	Chord    Chord // sounding by the form at this position
	Landing  bool  // the last item of the line, asking for the tonic
}

// String is the item with its notes resolved: "8:C3|E3".
func (i Item) String() string {
	choices := make([]string, len(i.Choices))
	for j, c := range i.Choices {
		choices[j] = c.String()
	}
	return i.Position.String() + ":" + strings.Join(choices, "|")
}

// Line is a bass line over one or more turns of a form.
type Line struct {
	Items  []Item // in order of Position.Offset
	Turns  int    // turns of the form that one pass of the line takes
	Key    Key    // as fingered
	Form   Form
	Tuning Tuning
	Exact  bool   // played exactly as written: repeats and ornaments are extras too
	Held   []Held // suggested places of some of its notes; nil for most
}

// String is the line as written, resolved to notes: "7:B2 8:A2 9:F#2 10:G2".
// ParseLine reads it again to the same notes.
func (l Line) String() string {
	items := make([]string, len(l.Items))
	for i, item := range l.Items {
		items[i] = item.String()
	}
	return strings.Join(items, " ")
}

// Accepts reports whether a fingered MIDI note satisfies one of the choices of
// item, an item of this line. It allocates nothing.
func (l Line) Accepts(item Item, midi int) bool {
	for i := range item.Choices {
		switch c := &item.Choices[i]; c.Kind {
		case ExactNote:
			if c.Note.MIDI() == midi {
				return true
			}
		case AnyScale:
			if l.Key.Contains(midi) {
				return true
			}
		case AnyChord:
			if item.Chord.Contains(midi) {
				return true
			}
		}
	}
	return false
}

// DefaultLine is the form's usual walk in key: in a major key the degrees
// 3 2 7 1 on beats 7 to 10 of the twelve-beat forms, in a minor one the same
// with the leading note, in a Phrygian one the descent 4 3 2 1. Where the walk
// would reach its landing by a leap because the note under it is not on the
// guitar (E in standard tuning), it lands an octave higher.
func DefaultLine(key Key, form Form, tuning Tuning) (Line, error) {
	walk := form.WalkIn(key.Mode)
	if walk == "" {
		return Line{}, fmt.Errorf("form %s has no usual line; write one such as 7:3 8:2 9:7 10:1", quote(form.Name))
	}
	line, err := ParseLine(walk, key, form, tuning)
	if err != nil {
		return Line{}, fmt.Errorf("usual line of %s: %w", form.Name, err)
	}
	if n := len(line.Items); n > 1 && line.Items[n-1].Landing {
		landing, before := line.Items[n-1].Choices[0].Note.MIDI(), line.Items[n-2].Choices[0]
		if before.Kind == ExactNote && before.Note.MIDI()-landing > 6 {
			if higher, err := ParseLine(walk+"'", key, form, tuning); err == nil {
				return higher, nil
			}
		}
	}
	return line, nil
}
