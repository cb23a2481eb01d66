// Package practice is how a line is practised: what was asked for in one
// sentence, what the turns are, what comes next, when to wait and when to go
// on. It is data and decisions; it plays nothing and hears nothing.
package practice

import (
	"fmt"
	"strings"

	"bordon/theory"
)

// Way is how notes are asked for.
type Way int

// The ways.
const (
	Timed     Way = iota // with the pulse, each beat judged as it passes
	Untimed              // each note is waited for
	HearFirst            // a turn is heard, the next answers it
	Listening            // the line is heard in every turn, nothing is judged
)

// Order is the order of several keys.
type Order int

// The orders.
const (
	InOrder   Order = iota // as they were named
	ByChance               // in no order
	WeakFirst              // the player's weak keys first
)

// Hold is what stops the page at the end of its stretch.
type Hold int

// The holds.
const (
	NoHold     Hold = iota
	HoldPitch       // a wrong note
	HoldTiming      // a wrong note, or an early or late one
)

// Claps is what is clapped.
type Claps int

// The claps.
const (
	EveryBeat Claps = iota
	Accents
	NoClaps
)

// Plan is a way to practise, as one sentence says it.
type Plan struct {
	Form         string   // "alegrias"
	Keys         []string // as theory.ParseKey reads them, one or more
	Cejilla      int      // fret, 0 to 12
	Tempo        float64  // units of the form a minute, 20 to 400; 0 for the form's usual one
	Line         string   // in the grammar of theory.ParseLine, or a name; "" for the best
	From, To     int      // beats that are judged; 0 for all
	Turns        int      // of each key; 0 for no end
	Way          Way
	Order        Order
	Hold         Hold
	Claps        Claps
	Contratiempo bool // claps between the beats as well
	EveryOther   bool // every other turn silent
	CountFrom    int  // beat of the form that the count-in begins with; 0 for the usual
	TurnPlan     []Turn
	Sounds       bool // a short sound tells how each stretch went
}

// Kind of a turn of a turn plan.
type Kind int

// The kinds of turn.
const (
	Strummed Kind = iota // without a thumb line
	Falseta              // melody, not judged
	Played               // a line is played, and judged
)

// Turn is one or more turns of a turn plan.
type Turn struct {
	Kind  Kind
	Times int    // 1 or more
	Line  string // of Played: as Plan.Line; "" for the plan's own
}

// MaxTimes is how often a turn of a turn plan may be repeated.
const MaxTimes = 32

var kindWords = [...]string{"strummed", "falseta", "line"}

// String is the turn as the sentence has it: "2 line best-2".
func (t Turn) String() string {
	s := kindWords[t.Kind]
	if t.Line != "" {
		s += " " + t.Line
	}
	if t.Times > 1 {
		s = fmt.Sprintf("%d %s", t.Times, s)
	}
	return s
}

// Compose is the line that a turn plan asks for over all its turns, after which
// it repeats. resolve gives a line of its name or text; "" is the plan's own.
// The error says what is wrong.
func Compose(turns []Turn, key theory.Key, form theory.Form, tuning theory.Tuning, resolve func(string) (theory.Line, error)) (theory.Line, error) {
	var text []string
	count := 0
	for _, t := range turns {
		for range max(t.Times, 1) {
			if t.Kind != Played {
				count++
				continue
			}
			line, err := resolve(t.Line)
			if err != nil {
				return theory.Line{}, err
			}
			text = append(text, Shifted(line, count))
			count += max(line.Turns, 1)
		}
	}
	switch {
	case len(text) == 0:
		return theory.Line{}, fmt.Errorf("the turn plan %q judges nothing; let a turn of it be a line", SayTurns(turns))
	case count > theory.MaxTurns:
		return theory.Line{}, fmt.Errorf("the turn plan has %d turns; it may have %d", count, theory.MaxTurns)
	}
	line, err := theory.ParseLine(strings.Join(text, " "), key, form, tuning)
	if err != nil {
		return theory.Line{}, fmt.Errorf("turn plan: %w", err)
	}
	return line.Over(count), nil
}

// Shifted is the text of a line that begins some turns later.
func Shifted(line theory.Line, by int) string {
	items := make([]string, len(line.Items))
	for i, it := range line.Items {
		it.Position.Turn = max(it.Position.Turn, 1) + by
		items[i] = it.String()
	}
	return strings.Join(items, " ")
}

// Only is the part of a line that lies on beats from to to. The error says
// that nothing lies there.
func Only(line theory.Line, from, to int) (theory.Line, error) {
	var items []string
	for _, it := range line.Items {
		if it.Position.Beat >= from && it.Position.Beat <= to {
			items = append(items, it.String())
		}
	}
	if len(items) == 0 {
		return theory.Line{}, fmt.Errorf("the line asks for nothing on the beats %d to %d; it asks for %s", from, to, line)
	}
	part, err := theory.ParseLine(strings.Join(items, " "), line.Key, line.Form, line.Tuning)
	if err != nil {
		return theory.Line{}, err
	}
	part.Turns, part.Exact = line.Turns, line.Exact
	return part, nil
}

// Answered is a line of which each turn is heard first and then answered: it
// asks for something in every second pass.
func Answered(line theory.Line) (theory.Line, error) {
	turns := max(line.Turns, 1)
	if 2*turns > theory.MaxTurns {
		return theory.Line{}, fmt.Errorf("a line of %d turns is too long to be heard first; it may have %d", turns, theory.MaxTurns/2)
	}
	answer, err := theory.ParseLine(Shifted(line, turns), line.Key, line.Form, line.Tuning)
	if err != nil {
		return theory.Line{}, err
	}
	answer.Exact = line.Exact
	return answer.Over(2 * turns), nil
}

// SayTurns is a turn plan as the sentence has it: "strummed; 2 line".
func SayTurns(turns []Turn) string {
	said := make([]string, len(turns))
	for i, t := range turns {
		said[i] = t.String()
	}
	return strings.Join(said, "; ")
}
