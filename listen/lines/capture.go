package lines

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"bordon/theory"
)

// Played is a bass note that was heard on a beat, as fingered.
type Played struct {
	Position   theory.Position
	MIDI       int
	Confidence float64 // that it is this note, 0 to 1
	Sure       bool    // the ear swears to it
}

// Question is a beat on which two turns disagree: what was heard the first time
// and the second; 0 stands for nothing. Guess is what is written until it is
// answered, 0 where nothing is.
type Question struct {
	Position      theory.Position
	First, Second int // MIDI, as fingered
	Guess         int
}

// Captured is a line that was played twice.
type Captured struct {
	Line      theory.WrittenLine
	Questions []Question // in order of time

	form theory.Form
}

// Capture writes a line from what was heard when it was played twice, in a key
// and a form. Where both turns have the same note on a beat, that is the note;
// where they differ there is a question, and the surer of the two is the guess,
// the first of equals. A beat on which neither has a note asks for none.
func Capture(name string, key theory.Key, form theory.Form, first, second []Played) (Captured, error) {
	c := Captured{Line: theory.WrittenLine{Name: name, Form: form.Name, Key: key}, form: form}
	var items []string
	for i, j := 0, 0; i < len(first) || j < len(second); {
		var a, b Played
		switch {
		case j == len(second) || i < len(first) && first[i].Position.Compare(second[j].Position) < 0:
			a = first[i]
			i++
		case i == len(first) || first[i].Position.Compare(second[j].Position) > 0:
			b = second[j]
			j++
		default:
			a, b = first[i], second[j]
			i, j = i+1, j+1
		}
		q := Question{Position: a.Position, First: a.MIDI, Second: b.MIDI, Guess: a.MIDI}
		if a.MIDI == 0 {
			q.Position = b.Position
		}
		if b.Confidence > a.Confidence {
			q.Guess = b.MIDI
		}
		if a.MIDI != b.MIDI || !a.Sure && !b.Sure {
			c.Questions = append(c.Questions, q)
		}
		items = append(items, q.Position.String()+":"+key.Spell(q.Guess).String())
	}
	if len(items) == 0 {
		return c, errors.New("no bass note was heard on any beat of the two turns; say where beat 1 falls with --first-beat, and play the line alone")
	}
	c.Line.Text = strings.Join(items, " ")
	return c, nil
}

// Answer puts the answer to a question into the line: a note, or 0 for none.
func (c *Captured) Answer(q Question, midi int) error {
	var items []string
	for _, item := range strings.Fields(c.Line.Text) {
		where, _, _ := strings.Cut(item, ":")
		if where == q.Position.String() {
			if midi == 0 {
				continue
			}
			item = where + ":" + c.Line.Key.Spell(midi).String()
		}
		items = append(items, item)
	}
	if len(items) == 0 {
		return errors.New("the line would ask for nothing; keep a note of it")
	}
	c.Line.Text = strings.Join(items, " ")
	return nil
}

// Beats are the line that asks for any note on every beat where the form's
// line runs, so that whatever is played there is heard.
func Beats(form theory.Form) string {
	from, to := form.RunsFrom, form.LandsOn
	if from < 1 || to < from {
		from, to = 1, form.Beats
	}
	var items []string
	for b := from; b < to; b++ {
		items = append(items, strconv.Itoa(b)+":scale")
	}
	// The landing may be the tonic's chord.
	items = append(items, strconv.Itoa(to)+":1")
	return strings.Join(items, " ")
}

// Text is the file of a captured line: what was not answered stands in it as
// comments, and the degrees are named.
func (c Captured) Text(asked []string) (string, error) {
	line, err := theory.ParseLine(c.Line.Text, c.Line.Key, c.form, theory.SixthInD)
	if err != nil {
		return "", fmt.Errorf("the line that was heard cannot be written: %w", err)
	}
	var b strings.Builder
	var degrees []string
	for _, item := range line.Items {
		degrees = append(degrees, line.Key.Degree(item.Choices[0].Note.MIDI()))
	}
	fmt.Fprintf(&b, "# degrees %s\n", strings.Join(degrees, " "))
	for _, a := range asked {
		fmt.Fprintf(&b, "# %s\n", a)
	}
	b.WriteString(theory.FormatLines([]theory.WrittenLine{c.Line}))
	return b.String(), nil
}
