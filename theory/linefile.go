package theory

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// What a text of lines may hold at most.
const (
	MaxLineFile = 256 << 10 // bytes
	maxLines    = 256
)

// WrittenLine is a line as a player's file has it.
type WrittenLine struct {
	Name    string
	Title   string // "" where left out
	Form    string // name of its form; "" fits any
	Key     Key    // that it is written in; the zero Key fits any
	Text    string // in the grammar of ParseLine
	Changes []Change
	Exact   bool   // played exactly as written
	Held    []Held // suggested places, in Key
}

// Held is where a note of a line is held: Finger is 1 (index) to 4 (little
// finger), 0 where it is open or not said.
type Held struct {
	Position Position
	Place    Place
	Finger   int
}

// LineFileError says where in a text of lines something is wrong.
type LineFileError struct {
	Line, Column int // from 1; columns count characters
	Err          error
}

// Error is one sentence with the place before it.
func (e *LineFileError) Error() string {
	return fmt.Sprintf("line %d, column %d: %v", e.Line, e.Column, e.Err)
}

// Unwrap gives the sentence without the place.
func (e *LineFileError) Unwrap() error { return e.Err }

// ParseLines reads bass lines as a teacher writes them. Every line of the text
// is a word and its value; # at the beginning of a line, or after a space,
// begins a comment:
//
//	line     first-walk               its name; what follows is of this line
//	title    the walk in the home key
//	form     alegrias                 fits any where left out
//	key      G                        that it is written in; needed for notes
//	play     7:3 8:2 9:7 10:1         the line itself; may go on in another play
//	chords   3:5+7 10:1               from a beat on the chord on a degree
//	exact                             every note counts: no repeats or ornaments
//	held     8:5/0 9:6/2/2            string, fret and, if one likes, finger
//
// forms finds a form by its name; nil stands for LookupForm. An error is a
// *LineFileError: it names line and column and says what would be right.
func ParseLines(text string, forms func(string) (Form, error)) ([]WrittenLine, error) {
	if len(text) > MaxLineFile {
		return nil, &LineFileError{1, 1, fmt.Errorf("the text is %d bytes long; write one of at most %d", len(text), MaxLineFile)}
	}
	if forms == nil {
		forms = LookupForm
	}
	p := lineFile{forms: forms}
	for i, line := range strings.Split(text, "\n") {
		p.number = i + 1
		if err := p.read(strings.TrimSuffix(line, "\r")); err != nil {
			return nil, err
		}
	}
	if err := p.end(); err != nil {
		return nil, err
	}
	if len(p.lines) == 0 {
		return nil, &LineFileError{1, 1, errors.New("there is no line; begin with its name, such as line first-walk")}
	}
	return p.lines, nil
}

// lineFile is a text being read. Items and places wait until all that they
// depend on is known.
type lineFile struct {
	forms  func(string) (Form, error)
	lines  []WrittenLine
	number int
	now    *WrittenLine
	begun  token
	where  map[string]bool
	items  []placed
	held   []placed
	chords []placed
	form   Form
}

// placed is a token and the number of its line.
type placed struct {
	token
	number int
}

func (p *lineFile) fail(t placed, format string, args ...any) error {
	return &LineFileError{t.number, t.column, fmt.Errorf(format, args...)}
}

func (p *lineFile) read(line string) error {
	var tokens []placed
	for _, t := range tokenize(line) {
		one := placed{t, p.number}
		if i := strings.IndexFunc(t.text, func(r rune) bool { return !unicode.IsPrint(r) || r == utf8.RuneError }); i >= 0 {
			return p.fail(one, "%s holds what is no text; write plain UTF-8", quote(t.text))
		}
		tokens = append(tokens, one)
	}
	if len(tokens) == 0 {
		return nil
	}
	word, values := tokens[0], tokens[1:]
	if word.text == "line" {
		return p.begin(word, values)
	}
	if p.now == nil {
		return p.fail(word, "there is no line yet; begin with its name, such as line first-walk")
	}
	if word.text != "play" && p.where[word.text] {
		return p.fail(word, "%s stands twice; write it once", quote(word.text))
	}
	p.where[word.text] = true
	return p.set(word, values)
}

// begin begins a line.
func (p *lineFile) begin(word placed, values []placed) error {
	if err := p.end(); err != nil {
		return err
	}
	if len(values) != 1 {
		return p.fail(word, "a line has a name of one word; write one such as line first-walk")
	}
	name := values[0]
	if !isLineName(name.text) {
		return p.fail(name, "%s is no name; write small letters, digits and hyphens, a letter first, such as first-walk", quote(name.text))
	}
	for _, l := range p.lines {
		if l.Name == name.text {
			return p.fail(name, "there are two lines %s; give one another name", name.text)
		}
	}
	if len(p.lines) == maxLines {
		return p.fail(word, "a file has %d lines at most", maxLines)
	}
	p.now, p.begun = &WrittenLine{Name: name.text}, token{name.text, p.number}
	p.where, p.items, p.held, p.chords = map[string]bool{}, nil, nil, nil
	p.form, _ = LookupForm("alegrias")
	return nil
}

// isLineName reports whether s names a line: small letters, digits and hyphens
// in words, a letter first.
func isLineName(s string) bool {
	if s == "" || len(s) > maxWord || s[0] < 'a' || s[0] > 'z' || strings.HasSuffix(s, "-") || strings.Contains(s, "--") {
		return false
	}
	return strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789-") == ""
}

// set takes a word and its values.
func (p *lineFile) set(word placed, values []placed) error {
	text := joined(values)
	if word.text == "exact" {
		if len(values) > 0 {
			return p.fail(values[0], "exact stands alone; put %s on a line of its own", quote(values[0].text))
		}
		p.now.Exact = true
		return nil
	}
	if !strings.Contains(" title form key play chords held ", " "+word.text+" ") {
		return p.fail(word, "%s is no word of a line; write line, title, form, key, play, chords, exact or held", quote(word.text))
	}
	if len(values) == 0 {
		return p.fail(word, "nothing stands after %s; write its value, or leave the line out", word.text)
	}
	var err error
	switch word.text {
	case "title":
		if p.now.Title = text; utf8.RuneCountInString(text) > maxTitle {
			err = fmt.Errorf("the title is too long; write one of at most %d characters", maxTitle)
		}
	case "form":
		if p.form, err = p.forms(text); err == nil {
			p.now.Form = p.form.Name
		}
	case "key":
		p.now.Key, err = ParseKey(text)
	case "play":
		p.items = append(p.items, values...)
	case "chords":
		p.chords = values
	case "held":
		p.held = values
	}
	if err != nil {
		return p.fail(values[0], "%w", err)
	}
	return nil
}

func joined(values []placed) string {
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = v.text
	}
	return strings.Join(words, " ")
}
