package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bordon/listen/class"
	"bordon/listen/match"
	"bordon/theory"
)

// ClassHeads is how many columns the table of a class has beside the notes.
const ClassHeads = 9

// classes are the words on a class.
type classes struct {
	heads [ClassHeads + 1]string // student, file, key, cejilla, right, accuracy, on time, mean offset, worst beats, notes
	title counted
	bad   counted
	page  string
	fault string // {beat}, {wrong}, {of}, {fault}

	things    [6]string // that are asked for, in the order of classThings
	ask       string    // {things}, {columns}, {such}, {flags}
	askTwice  string    // {thing}, {says}, {column}
	askShift  counted   // {column}, {such}
	shift     counted
	found     string
	keyHeard  string
	nobody    string
	cut       string
	unread    string // {words}
	unsure    counted
	strummed  counted
	unjudged  string
	private   string
	pageHolds string
}

// classThings are the columns of the manifest in the order of classes.things.
var classThings = [6]class.Column{class.Student, class.Key, class.Cejilla, class.Tempo, class.FirstBeat, class.Form}

// className is a name that says all that a name can say.
const className = "lucia-G-cejilla3-104-first1.84.m4a"

// ClassColumns are the heads of the table of a class, the notes last.
func (l *Language) ClassColumns() []string { return append([]string(nil), l.classes.heads[:]...) }

// ClassTitle tells of how many recordings a class is; ClassBad how many of them
// were not judged; ClassPage what the page of a recording is called where it is
// gone to.
func (l *Language) ClassTitle(n int) string { return l.classes.title.of(n) }
func (l *Language) ClassBad(n int) string   { return l.classes.bad.of(n) }
func (l *Language) ClassPage() string       { return l.classes.page }

// Private says whose a recording is; PageHolds that on a page with parts of one.
func (l *Language) Private() string   { return l.classes.private }
func (l *Language) PageHolds() string { return l.classes.pageHolds }

// ClassCells are a row of a class under ClassColumns but for the notes; "" is
// what is not known.
func (l *Language) ClassCells(r class.Row) [ClassHeads]string {
	c := [ClassHeads]string{class.Shown(r.Student), r.File, class.Shown(r.Key)}
	if k, err := theory.ParseKey(r.Key); err == nil {
		c[2] = l.Key(k)
	}
	if r.Cejilla != nil {
		c[3] = strconv.Itoa(*r.Cejilla)
	}
	if s := r.Score; s != nil {
		c[4] = l.RightOf(s.Right, s.Judged-s.Unsure)
		c[5], c[6] = percentOf(s.Accuracy), percentOf(s.AccuracyOnTime)
		var worst []string
		for _, b := range r.Worst {
			worst = append(worst, fill(l.classes.fault, "beat", class.Shown(b.Beat), "wrong", strconv.Itoa(b.Wrong), "of", strconv.Itoa(b.Of), "fault", l.faultOf(b.Fault)))
		}
		if s.OffsetMean != nil {
			c[7] = "0 ms"
			if ms := math.Round(*s.OffsetMean); ms != 0 {
				c[7] = fmt.Sprintf("%+.0f ms", ms)
			}
		}
		c[8] = strings.Join(worst, ", ")
	}
	return c
}

func percentOf(share *float64) string {
	if share == nil {
		return ""
	}
	return strconv.Itoa(int(math.Round(100**share))) + " %"
}

// faultOf says a pitch or timing word of a verdict, one of a beat's many.
func (l *Language) faultOf(fault string) string {
	for i, word := range []string{string(match.Octave), string(match.InScale), string(match.OutOfScale), string(match.Missing),
		string(match.Early), string(match.Late), string(match.Unsure)} {
		if fault == word {
			return l.takes.faults[i]
		}
	}
	return class.Shown(fault)
}

// ClassNotes are the sentences on a row: what it asks for, why it failed, and
// what else is to be said of it.
func (l *Language) ClassNotes(r class.Row) []string {
	w := &l.classes
	var said []string
	if r.Error != "" {
		said = append(said, sentence(l.Problem(class.Shown(r.Error))))
	}
	said = append(said, l.asks(r)...)
	if s := r.Score; s != nil {
		switch left := s.Judged - s.Unsure; {
		case s.Judged == 0 && s.Strummed > 0:
			said = append(said, l.summary.allStrummed)
		case s.Judged == 0:
			said = append(said, l.summary.nothing)
		case left == 0:
			said = append(said, w.unjudged)
		case s.Unsure > 0:
			said = append(said, w.unsure.of(s.Unsure))
		}
		if s.Judged > 0 && s.Strummed > 0 {
			said = append(said, w.strummed.of(s.Strummed))
		}
		if r.Found {
			said = append(said, w.found)
		}
		if r.KeyHeard {
			said = append(said, w.keyHeard)
		}
		if r.Shift > 0 {
			said = append(said, w.shift.of(r.Shift))
		}
		if r.Student == "" {
			said = append(said, fill(w.nobody, "column", class.Student.String(), "such", className))
		}
	}
	if r.Truncated {
		said = append(said, w.cut)
	}
	if len(r.Unread) > 0 {
		said = append(said, fill(w.unread, "words", class.Shown(strings.Join(r.Unread, " "))))
	}
	return said
}

// asks are what a row asks of somebody who was there.
func (l *Language) asks(r class.Row) []string {
	w := &l.classes
	var said, things, columns, flags []string
	for _, a := range r.Asks {
		thing := class.Shown(a.What)
		for i, c := range classThings {
			if c.String() != a.What {
				continue
			}
			thing = w.things[i]
			flags = append(flags, "--"+c.String()+" "+c.Such())
		}
		switch {
		case a.What == class.Cejilla.String() && r.Shift > 0:
			said = append(said, fill(w.askShift.of(r.Shift), "column", a.What, "such", className))
		case len(a.Says) > 0:
			said = append(said, fill(w.askTwice, "thing", thing, "says", class.Shown(l.list(a.Says)), "column", a.What))
		default:
			things, columns = append(things, thing), append(columns, class.Shown(a.What))
		}
	}
	if len(things) > 0 {
		said = append(said, fill(w.ask, "things", l.list(things), "columns", l.list(columns), "such", className, "flags", strings.Join(flags, " ")))
	}
	return said
}

// sentence is an error's text as a sentence.
func sentence(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(first)) + s[size:]
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}
