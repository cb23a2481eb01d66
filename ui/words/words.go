// Package words holds every sentence that the player reads while playing and
// about what was heard. A language is one table of messages in one file;
// English is the first. All of it is pure: verdicts and scores in, sentences
// out. What is wrong with a command, a file or a device is said where it is
// found.
//
// Notes are named as they are fingered: with a cejilla the hand plays G shapes,
// whatever sounds. Frets count from the cejilla.
package words

import (
	"strconv"
	"strings"

	"bordon/theory"
)

// Language is the table of one language's messages. In a message, {name}
// stands for what is filled in.
type Language struct {
	Tag string // BCP 47: "en"

	letters     [7]string // A to G
	accidentals [5]string // double flat to double sharp, behind the letter
	modes       [3]string // major, minor, Phrygian; {tonic}
	porArriba   string    // {key}: Phrygian on E
	porMedio    string    // {key}: Phrygian on A
	numbers     [13]string
	point       string  // before the decimals
	yes         string  // what answers a question with yes
	none        string  // what is typed for nothing
	free        counted // a form that is no palo, by its beats

	tonic   string    // the first degree where it is not altered
	degrees [8]string // by number, 1 to 7
	plain   string    // {degree}
	raised  string    // {degree}
	lowered string    // {degree}

	strings [7]string // ordinals, 1 to 6
	frets   [25]string
	open    string // {string}
	fretted string // {fret}, {string}
	mark    string // an open string in a score; {string}

	labels     labels
	reasons    reasons
	summary    summary
	sheet      sheet
	screen     screen
	takes      takes
	report     ReportWords
	export     ExportWords
	walks      walks
	opening    opening
	capturing  capturing
	room       room
	fingerings fingerings
	practice   practice
	overruling overruling
	following  following
	lesson     lesson
	held       held
	classes    classes
	man        ManWords
	cautions   []string

	// more are the messages that English keeps elsewhere: the help and the
	// problems of the command line, by their names. English has none here.
	more map[string]string
}

// Key in words: "B flat major".
func (l *Language) Key(k theory.Key) string {
	mode := l.modes[0]
	if k.Mode >= theory.Major && k.Mode <= theory.Phrygian {
		mode = l.modes[k.Mode]
	}
	name := fill(mode, "tonic", l.Note(k.Tonic))
	switch k.String() {
	case "E-phrygian":
		return fill(l.porArriba, "key", name)
	case "A-phrygian":
		return fill(l.porMedio, "key", name)
	}
	return name
}

// Degree in words, from how theory writes it: "the second degree" for "2",
// "the lowered third degree" for "b3", "the tonic" for "1".
func (l *Language) Degree(d string) string {
	number, err := strconv.Atoi(strings.TrimLeft(d, "#b"))
	if err != nil || number < 1 || number > 7 {
		return d
	}
	message := l.plain
	switch {
	case d[0] == '#':
		message = l.raised
	case d[0] == 'b':
		message = l.lowered
	case number == 1:
		return l.tonic
	}
	return fill(message, "degree", l.degrees[number])
}

// Place in words: "open fifth string", "second fret of the sixth string"; ""
// where the neck has no such place.
func (l *Language) Place(p theory.Place) string {
	if p.String < 1 || p.String > 6 || p.Fret < 0 || p.Fret >= len(l.frets) {
		return ""
	}
	if p.Fret == 0 {
		return fill(l.open, "string", l.strings[p.String])
	}
	return fill(l.fretted, "fret", l.frets[p.Fret], "string", l.strings[p.String])
}

// Mark is a place as guitar scores write it, the string's number in brackets:
// "(5) open", "(6) 2".
func (l *Language) Mark(p theory.Place) string {
	if p.Fret == 0 {
		return fill(l.mark, "string", strconv.Itoa(p.String))
	}
	return "(" + strconv.Itoa(p.String) + ") " + strconv.Itoa(p.Fret)
}

// Cautions are what is shown once, before the first live run, a sentence or
// two each.
func (l *Language) Cautions() []string { return append([]string(nil), l.cautions...) }

// fill puts pairs of a name and its text into a message.
func fill(message string, pairs ...string) string {
	for i := 0; i+1 < len(pairs); i += 2 {
		message = strings.ReplaceAll(message, "{"+pairs[i]+"}", pairs[i+1])
	}
	return message
}
