package theory

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// What a line may hold at most. The limits are far beyond music and keep a
// hostile line small.
const (
	MaxLine  = 4096 // bytes of its text
	MaxTurns = 64   // turns of the form
	maxDen   = 96   // parts of a beat
)

// ParseLine reads a line in the contract's grammar:
//
//	line     = item { " " item }
//	item     = position ":" choice { "|" choice }
//	position = [ turn "/" ] beat [ "+" n "/" d ]
//	choice   = note | degree | "scale" | "chord"
//
// A note is written with its octave (A2, C#3, Bb2), a degree as 1 to 7 of the
// key's own scale with one # or b before it where it is altered. The octave of
// a degree follows a rule: the line's last note is the lowest at or above the
// open sixth string, and every earlier one, going back, is the playable one
// nearest to the note after it, the lower of two that are equally near. After
// that each "," behind a degree takes it an octave down and each "'" an octave
// up, and the notes before it follow. The note after is the first exact choice
// of the next item that has one; "scale" and "chord" are passed over.
//
// Positions stand in order of time. An error names the item and says what
// would be right. Notes outside the open sixth string to fret 19 of the first
// are in an octave that no guitar has.
func ParseLine(text string, key Key, form Form, tuning Tuning) (Line, error) {
	switch {
	case !key.valid():
		return Line{}, errors.New("a line needs a key, such as G or por-medio")
	case form.Beats < 1:
		return Line{}, errors.New("a line needs a form with at least one beat, such as alegrias")
	case len(text) > MaxLine:
		return Line{}, fmt.Errorf("the line is %d bytes long; write one of at most %d", len(text), MaxLine)
	}
	fields := strings.Fields(text)
	if len(fields) == 0 {
		return Line{}, errors.New("the line is empty; write items such as 7:B2 8:A2 9:F#2 10:G2")
	}
	line := Line{Turns: 1, Key: key, Form: form, Tuning: tuning}
	drafts := make([]draft, len(fields))
	for i, field := range fields {
		d, err := parseItem(field, key, form)
		if err == nil {
			err = follows(drafts[:i], d.position)
		}
		if err != nil {
			return Line{}, itemError(i, field, err)
		}
		drafts[i] = d
		line.Turns = max(line.Turns, d.position.Turn)
	}
	if i, err := place(drafts, tuning); err != nil {
		return Line{}, itemError(i, fields[i], err)
	}
	line.Items = make([]Item, len(drafts))
	for i, d := range drafts {
		line.Items[i] = d.item(key, form)
	}
	last := &line.Items[len(drafts)-1]
	for _, c := range last.Choices {
		if c.Kind == ExactNote && c.Note.PitchClass() == key.Tonic.PitchClass() {
			last.Landing = true
		}
	}
	return line, nil
}

func itemError(i int, field string, err error) error {
	return fmt.Errorf("line item %d, %s: %w", i+1, quote(field), err)
}

// draft is an item whose degrees have no octave yet.
type draft struct {
	position Position
	choices  []draftChoice
}

type draftChoice struct {
	Choice
	floating bool // a degree: the octave of Note is still to be found
	shift    int  // octaves that its marks add
}

func (d draft) item(key Key, form Form) Item {
	item := Item{
		Position: d.position,
		Choices:  make([]Choice, len(d.choices)),
		Chord:    form.ChordAt(key, float64(d.position.Beat)+d.position.fraction()),
	}
	for i, c := range d.choices {
		item.Choices[i] = c.Choice
	}
	return item
}

// follows checks that a position comes after those before it.
func follows(before []draft, p Position) error {
	for i := range before {
		if before[i].position.Compare(p) == 0 {
			return fmt.Errorf("position %v stands twice in the line; join alternatives by a bar, as in 8:4|6, and write beat 7 of a second turn as 2/7", p)
		}
	}
	if n := len(before); n > 0 && before[n-1].position.Compare(p) > 0 {
		return fmt.Errorf("position %v comes before %v; write the items in order of time", p, before[n-1].position)
	}
	return nil
}

func parseItem(s string, key Key, form Form) (draft, error) {
	where, what, ok := strings.Cut(s, ":")
	if !ok {
		return draft{}, errors.New("there is no colon; write a beat, a colon and a note, such as 7:B2")
	}
	position, err := parsePosition(where, form)
	if err != nil {
		return draft{}, err
	}
	d := draft{position: position}
	for _, text := range strings.Split(what, "|") {
		c, err := parseChoice(text, key)
		if err != nil {
			return draft{}, err
		}
		d.choices = append(d.choices, c)
	}
	return d, nil
}

func parsePosition(s string, form Form) (Position, error) {
	p := Position{Turn: 1, Den: 1}
	if s == "" {
		return p, errors.New("there is no beat before the colon; write one, such as 7:B2")
	}
	beat, fraction, hasFraction := strings.Cut(s, "+")
	if turn, after, found := strings.Cut(beat, "/"); found {
		n, err := parseNumber(turn, "turn")
		if err != nil {
			return p, err
		}
		if n < 1 || n > MaxTurns {
			return p, fmt.Errorf("there is no turn %d; the turns of a line are 1 to %d", n, MaxTurns)
		}
		p.Turn, p.turnWritten, beat = n, true, after
	}
	n, err := parseNumber(beat, "beat")
	if err != nil {
		return p, err
	}
	if n < 1 || n > form.Beats {
		return p, fmt.Errorf("there is no beat %d; the beats of %s are 1 to %d", n, form.Title, form.Beats)
	}
	p.Beat = n
	if !hasFraction {
		return p, nil
	}
	num, den, found := strings.Cut(fraction, "/")
	if !found {
		return p, fmt.Errorf("%s is no fraction of a beat; write one such as %d+1/2", quote(fraction), p.Beat)
	}
	if p.Num, err = parseNumber(num, "fraction"); err != nil {
		return p, err
	}
	if p.Den, err = parseNumber(den, "fraction"); err != nil {
		return p, err
	}
	switch {
	case p.Den < 1 || p.Den > maxDen:
		return p, fmt.Errorf("a beat is not divided by %d; divide it by 2 to %d, such as %d+1/2", p.Den, maxDen, p.Beat)
	case p.Num == 0:
		return p, fmt.Errorf("the fraction %s is nothing; write the beat alone, %d", fraction, p.Beat)
	case p.Num >= p.Den:
		return p, fmt.Errorf("the fraction %s is not below 1; write the beat that it reaches", fraction)
	}
	return p, nil
}

// parseNumber reads a count of what. It takes plain digits only: a position is
// printed as it was written.
func parseNumber(s, what string) (int, error) {
	n, err := strconv.Atoi(s)
	if errors.Is(err, strconv.ErrRange) {
		return 0, fmt.Errorf("the %s %s is too large", what, shorten(s))
	}
	if err != nil || strconv.Itoa(n) != s || n < 0 {
		return 0, fmt.Errorf("%s is no %s; write a whole number in plain digits", quote(s), what)
	}
	return n, nil
}

func parseChoice(s string, key Key) (draftChoice, error) {
	c := draftChoice{Choice: Choice{Text: s}}
	switch s {
	case "":
		return c, errors.New("a choice is empty; write a note such as B2, a degree such as 3, scale or chord")
	case "scale":
		c.Kind = AnyScale
		return c, nil
	case "chord":
		c.Kind = AnyChord
		return c, nil
	}
	if s[0] >= 'A' && s[0] <= 'G' {
		note, err := spelledNote(s) // whether it is on the guitar, place says
		if err != nil {
			return c, err
		}
		c.Note = note
		return c, nil
	}
	name, shift, err := parseDegree(s, key)
	c.Note.Name, c.shift, c.floating = name, shift, true
	return c, err
}

// parseDegree reads a degree and the octaves that its marks add.
func parseDegree(s string, key Key) (name Name, shift int, err error) {
	alter, size := accidental(s)
	rest := s[size:]
	digits := strings.TrimRight(rest, ",'")
	marks := rest[len(digits):]
	down, up := strings.Count(marks, ","), strings.Count(marks, "'")
	number, err := strconv.Atoi(digits)
	switch {
	case err != nil || strconv.Itoa(number) != digits:
		if note, err := parseNote(strings.ToUpper(s[:1]) + s[1:]); err == nil {
			return name, 0, fmt.Errorf("the letter of a note is a capital; write %v", note)
		}
		return name, 0, fmt.Errorf("%s is neither a note nor a degree; write a note such as B2, a degree such as 3 or #4, scale or chord", quote(s))
	case alter < -1 || alter > 1:
		return name, 0, fmt.Errorf("a degree takes one # or b; write %s by the degree next to it", quote(s))
	case number < 1 || number > 7:
		return name, 0, fmt.Errorf("there is no degree %d; the degrees are 1 to 7, and 1' is an octave above 1", number)
	case down > 0 && up > 0:
		return name, 0, fmt.Errorf("%s goes an octave down and up at once; write , or ' alone", quote(s))
	}
	return key.name(number, alter), up - down, nil
}
