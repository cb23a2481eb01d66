package theory

import (
	"errors"
	"slices"
	"strconv"
	"strings"
)

// formWords are the words of a written form in the order that FormatForm
// writes them in.
var formWords = []string{"beats", "title", "counted", "lengths", "unit", "tempo", "accents", "source", "chords",
	"phrygian-chords", "line", "minor-line", "phrygian-line", "runs", "key"}

const parallelMinor = "parallel-minor"

// set takes a word and its values into the form or section being written.
func (p *formParser) set(word token, values []token) (err error) {
	f := p.target()
	if !slices.Contains(formWords, word.text) {
		return p.fail(word, "%s is no word of a form; the words are form, %s and section", quote(word.text), strings.Join(formWords, ", "))
	}
	switch word.text {
	case "title":
		if len(values) == 0 {
			return p.fail(word, "title takes the form's name as it is shown")
		}
		f.Title, err = p.text(values, maxTitle)
		return err
	case "source":
		f.Source, err = p.text(values, maxSource)
		return err
	case "beats":
		return p.beats(f, word, values)
	case "unit":
		f.Unit, err = p.unit(word, values)
		return err
	case "tempo":
		f.Tempo, err = p.tempo(word, values)
		return err
	case "key":
		return p.key(f, word, values)
	}
	if f.Beats == 0 {
		return p.fail(word, "%s counts on the beats; write how many there are before it, such as beats 4", word.text)
	}
	switch word.text {
	case "counted":
		f.Counted, err = p.counted(f, word, values)
	case "lengths":
		f.Lengths, err = p.lengths(f, word, values)
	case "accents":
		f.Accents, err = p.accents(f, values)
	case "chords":
		f.Changes, err = p.changes(f, values)
	case "phrygian-chords":
		f.Phrygian, err = p.changes(f, values)
	case "line":
		f.Walk, err = p.walk(f, Major, values)
	case "minor-line":
		f.MinorWalk, err = p.walk(f, Minor, values)
	case "phrygian-line":
		f.PhrygianWalk, err = p.walk(f, Phrygian, values)
	case "runs":
		f.RunsFrom, f.LandsOn, err = p.runs(f, word, values)
	}
	return err
}

func (p *formParser) beats(f *Form, word token, values []token) error {
	if len(values) != 1 {
		return p.fail(word, "beats takes one number, such as beats 4")
	}
	n, err := p.whole(values[0], "number of beats", 1, MaxBeats)
	if err != nil {
		return err
	}
	if f.Beats != 0 && f.Beats != n { // a section of other beats
		if len(p.seen) > 1 {
			return p.fail(word, "the section has other beats than the form; write beats first in it")
		}
		*f = f.emptied()
	}
	f.Beats = n
	return nil
}

// emptied is the form without what counts on its beats.
func (f Form) emptied() Form {
	return Form{Name: f.Name, Title: f.Title, Unit: f.Unit, Tempo: f.Tempo, ToMinor: f.ToMinor}
}

func (p *formParser) unit(word token, values []token) (string, error) {
	switch {
	case len(values) == 0:
		return "", nil
	case len(values) > 1 || len(values[0].text) > maxWord:
		return "", p.fail(word, "unit takes one word of up to %d letters, such as unit eighths", maxWord)
	case values[0].text == "beats": // said in one way only
		return "", nil
	}
	return values[0].text, nil
}

func (p *formParser) tempo(word token, values []token) (float64, error) {
	if len(values) == 0 {
		return 0, nil
	}
	v, err := strconv.ParseFloat(values[0].text, 64)
	if err != nil || len(values) > 1 || !(v >= 20 && v <= 400) {
		return 0, p.fail(word, "tempo takes a number of units a minute from 20 to 400, such as tempo 110")
	}
	return v, nil
}

func (p *formParser) key(f *Form, word token, values []token) error {
	if len(values) > 1 || len(values) == 1 && values[0].text != parallelMinor {
		return p.fail(word, "key takes the word %s or nothing", parallelMinor)
	}
	f.ToMinor = len(values) == 1
	return nil
}

func (p *formParser) counted(f *Form, word token, values []token) ([]string, error) {
	if len(values) == 0 {
		return nil, nil
	}
	if len(values) != f.Beats {
		return nil, p.fail(word, "%d words are counted on %d beats; write one for each", len(values), f.Beats)
	}
	var said []string
	for _, v := range values {
		if len(v.text) > maxWord {
			return nil, p.fail(v, "%s is too long to be said on a beat", quote(v.text))
		}
		said = append(said, v.text)
	}
	return said, nil
}

func (p *formParser) lengths(f *Form, word token, values []token) ([]int, error) {
	if len(values) == 0 {
		return nil, nil
	}
	if len(values) != f.Beats {
		return nil, p.fail(word, "%d lengths are given for %d beats; write one for each, such as 2 2 3 3 2 for five", len(values), f.Beats)
	}
	var lengths []int
	for _, v := range values {
		n, err := p.whole(v, "length", 1, maxLength)
		if err != nil {
			return nil, err
		}
		lengths = append(lengths, n)
	}
	return lengths, nil
}

func (p *formParser) accents(f *Form, values []token) ([]int, error) {
	var accents []int
	last := 0
	for _, v := range values {
		n, err := p.whole(v, "beat of "+f.Title, 1, f.Beats)
		if err != nil {
			return nil, err
		}
		if n <= last {
			return nil, p.fail(v, "accent %d comes after %d; write the beats in order, each once", n, last)
		}
		accents, last = append(accents, n), n
	}
	return accents, nil
}

func (p *formParser) changes(f *Form, values []token) ([]Change, error) {
	var plan []Change
	last := 0
	for _, v := range values {
		beat, degree, _ := strings.Cut(v.text, ":")
		degree, seventh := strings.CutSuffix(degree, "+7")
		b, err := strconv.Atoi(beat)
		if err != nil || strconv.Itoa(b) != beat || b < 1 || b > f.Beats {
			return nil, p.fail(v, "%s begins with no beat of %s; write a beat from 1 to %d, a colon and a degree, such as 1:5+7", quote(v.text), f.Title, f.Beats)
		}
		if len(degree) != 1 || degree[0] < '1' || degree[0] > '7' {
			return nil, p.fail(v, "%s names no degree; write 1 to 7 after the colon, with +7 for a seventh, such as %d:5+7", quote(v.text), b)
		}
		if b <= last {
			return nil, p.fail(v, "the chord on beat %d comes after that on %d; write the beats in order, each once", b, last)
		}
		plan, last = append(plan, Change{b, int(degree[0] - '0'), seventh}), b
	}
	return plan, nil
}

// walk checks a line in a key without signs; its octaves may still not fit
// another key.
func (p *formParser) walk(f *Form, mode Mode, values []token) (string, error) {
	if len(values) == 0 {
		return "", nil
	}
	text, err := p.text(values, MaxLine)
	if err != nil {
		return "", err
	}
	plain := [3]Name{Major: {'C', 0}, Minor: {'A', 0}, Phrygian: {'E', 0}}
	if _, err := ParseLine(text, Key{plain[mode], mode}, *f, Standard); err != nil {
		at := values[0]
		for err := err; err != nil; err = errors.Unwrap(err) {
			for i, v := range values { // the item that the error names
				if strings.HasPrefix(err.Error(), "line item "+strconv.Itoa(i+1)+",") {
					at = v
				}
			}
		}
		return "", &FormError{p.number, at.column, err}
	}
	return text, nil
}

func (p *formParser) runs(f *Form, word token, values []token) (from, to int, err error) {
	if len(values) == 0 {
		return 0, 0, nil
	}
	first, last, ok := strings.Cut(values[0].text, "-")
	from, e1 := strconv.Atoi(first)
	to, e2 := strconv.Atoi(last)
	if len(values) > 1 || !ok || e1 != nil || e2 != nil || from < 1 || to > f.Beats || from > to ||
		strconv.Itoa(from)+"-"+strconv.Itoa(to) != values[0].text {
		return 0, 0, p.fail(word, "runs takes two beats of %s from 1 to %d, the first not after the second, such as runs 1-%d", f.Title, f.Beats, f.Beats)
	}
	return from, to, nil
}
