package theory

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// What a written form may hold at most.
const (
	MaxForm     = 64 << 10 // bytes of its text
	maxSections = 32
	maxLength   = 24  // units of a beat
	maxWord     = 24  // characters of a name, a unit or what is said on a beat
	maxTitle    = 80  // characters of a title
	maxSource   = 400 // characters of a source
)

// FormError says where in the text of a form something is wrong.
type FormError struct {
	Line, Column int // from 1; columns count characters
	Err          error
}

// Error is one sentence with the place before it.
func (e *FormError) Error() string {
	return fmt.Sprintf("line %d, column %d: %v", e.Line, e.Column, e.Err)
}

// Unwrap gives the sentence without the place.
func (e *FormError) Unwrap() error { return e.Err }

// ParseForm reads a form of the player's own. Every line is a word and its
// value; # at the beginning of a line, or after a space, begins a comment:
//
//	form     rumba            its name: small letters, digits and hyphens; first
//	title    rumba            as it is shown; the name where left out
//	beats    4                1 to 64; before what counts on it
//	counted  1 2 3 4          what is said on each beat
//	lengths  2 2 3 3 2        of the beats in units of the tempo; one each where left out
//	unit     eighths          what the tempo counts; beats where left out
//	tempo    110              a usual one, in units a minute
//	accents  2 4
//	source   where the accents are from
//	chords   1:5+7 3:1        from a beat on the chord on a degree, +7 with its seventh
//	line     1:3 2:2 3:1      the usual line, by degree
//	runs     1-3              where a line usually begins and lands
//	key      parallel-minor   the section stands in the parallel minor
//	section  name             what follows is a section of the form
//
// phrygian-chords, minor-line and phrygian-line say what differs in such keys.
// A section begins with all that the form has (with none of it but the unit
// and tempo where it has other beats), and a word alone empties what it names.
// An error is a *FormError: it names line and column and says what would be
// right.
func ParseForm(text string) (Form, error) {
	if len(text) > MaxForm {
		return Form{}, &FormError{1, 1, fmt.Errorf("the form is %d bytes long; write one of at most %d", len(text), MaxForm)}
	}
	p := formParser{}
	for i, line := range strings.Split(text, "\n") {
		p.number = i + 1
		if err := p.line(strings.TrimSuffix(line, "\r")); err != nil {
			return Form{}, err
		}
	}
	if err := p.end(); err != nil {
		return Form{}, err
	}
	if p.form.Name == "" {
		return Form{}, &FormError{1, 1, errors.New("there is no form; begin with its name, such as form rumba")}
	}
	return p.form, nil
}

type formParser struct {
	form    Form
	section *Form // being written; nil for the form itself
	number  int   // of the line
	begun   int   // number of the line that began the form or section
	seen    map[string]bool
}

// token is a word of a line with the column that it begins in.
type token struct {
	text   string
	column int
}

func (p *formParser) fail(t token, format string, args ...any) error {
	return &FormError{p.number, t.column, fmt.Errorf(format, args...)}
}

func (p *formParser) line(line string) error {
	tokens := tokenize(line)
	if len(tokens) == 0 {
		return nil
	}
	for _, t := range tokens {
		if i := strings.IndexFunc(t.text, func(r rune) bool { return !unicode.IsPrint(r) || r == utf8.RuneError }); i >= 0 {
			return p.fail(t, "%s holds what is no text; write plain UTF-8", quote(t.text))
		}
	}
	word, values := tokens[0], tokens[1:]
	switch {
	case word.text == "form" && p.form.Name != "":
		return p.fail(word, "a second form begins; write each in a file of its own")
	case word.text != "form" && p.form.Name == "":
		return p.fail(word, "there is no form yet; begin with its name, such as form rumba")
	case word.text == "form":
		name, err := p.name(word, values)
		if err != nil {
			return err
		}
		p.form = Form{Name: name, Title: name}
		p.seen, p.begun = map[string]bool{}, p.number
		return nil
	case word.text == "section":
		return p.begin(word, values)
	case p.seen[word.text]:
		return p.fail(word, "%s stands twice; write it once", quote(word.text))
	}
	p.seen[word.text] = true
	return p.set(word, values)
}

// begin begins a section.
func (p *formParser) begin(word token, values []token) error {
	name, err := p.name(word, values)
	if err != nil {
		return err
	}
	if err := p.end(); err != nil {
		return err
	}
	if len(p.form.Sections) == maxSections {
		return p.fail(word, "a form has %d sections at most", maxSections)
	}
	for _, s := range p.form.Sections {
		if s.Name == p.form.Name+"/"+name {
			return p.fail(values[0], "section %s stands twice; give each a name of its own", name)
		}
	}
	p.form.Sections = append(p.form.Sections, p.form.copy().section(name, name))
	p.section = &p.form.Sections[len(p.form.Sections)-1]
	p.seen, p.begun = map[string]bool{}, p.number
	return nil
}

// end checks what can only be known at the end of the form or a section.
func (p *formParser) end() error {
	f := p.target()
	if f.Name != "" && f.Beats == 0 {
		return &FormError{p.begun, 1, fmt.Errorf("%s has no beats; write how many, such as beats 4", f.Name)}
	}
	return nil
}

func (p *formParser) target() *Form {
	if p.section != nil {
		return p.section
	}
	return &p.form
}

func (p *formParser) name(word token, values []token) (string, error) {
	if len(values) != 1 {
		return "", p.fail(word, "%s takes one name, such as %s rumba", word.text, word.text)
	}
	name := values[0].text
	plain := func(r rune) bool { return r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-' }
	if strings.TrimFunc(name, plain) != "" || name[0] == '-' || len(name) > maxWord {
		return "", p.fail(values[0], "%s is no name; write up to %d small letters, digits and hyphens, such as rumba", quote(name), maxWord)
	}
	return name, nil
}

// text is a value of several words, most characters long at most.
func (p *formParser) text(values []token, most int) (string, error) {
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = v.text
	}
	s := strings.Join(words, " ")
	if utf8.RuneCountInString(s) > most {
		return "", p.fail(values[0], "the text is longer than %d characters; shorten it", most)
	}
	return s, nil
}

// whole is a whole number from low to high.
func (p *formParser) whole(t token, what string, low, high int) (int, error) {
	n, err := strconv.Atoi(t.text)
	if err != nil || strconv.Itoa(n) != t.text || n < low || n > high {
		return 0, p.fail(t, "%s is no %s; write a whole number from %d to %d", quote(t.text), what, low, high)
	}
	return n, nil
}

// tokenize splits a line at its spaces, up to a comment.
func tokenize(line string) []token {
	var tokens []token
	column, begun := 0, -1
	end := func(at int) {
		if begun >= 0 {
			tokens = append(tokens, token{line[begun:at], column - utf8.RuneCountInString(line[begun:at]) + 1})
			begun = -1
		}
	}
	for i, r := range line {
		switch {
		case r == ' ' || r == '\t':
			end(i)
		case begun >= 0:
		case r == '#':
			return tokens
		default:
			begun = i
		}
		column++
	}
	end(len(line))
	return tokens
}
