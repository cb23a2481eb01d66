package theory

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// end checks the line that is being written, now that all of it is known.
func (p *lineFile) end() error {
	if p.now == nil {
		return nil
	}
	begun := placed{token{p.begun.text, 1}, p.begun.column}
	if len(p.items) == 0 {
		return p.fail(begun, "line %s plays nothing; write its notes, such as play 7:3 8:2 9:7 10:1", p.now.Name)
	}
	if text := joined(p.items); len(text) > MaxLine {
		return p.fail(p.items[0], "the line is %d bytes long; write one of at most %d", len(text), MaxLine)
	}
	key, drafts, err := p.drafts()
	if err != nil {
		return err
	}
	if p.chords != nil {
		if err := p.changes(); err != nil {
			return err
		}
	}
	if p.held != nil {
		if err := p.places(key, drafts); err != nil {
			return err
		}
	}
	p.now.Text = joined(p.items)
	p.lines = append(p.lines, *p.now)
	p.now = nil
	return nil
}

// drafts reads the items one by one, so that an error knows its column.
func (p *lineFile) drafts() (Key, []draft, error) {
	key := p.now.Key
	if !key.valid() {
		key = Key{Name{'C', 0}, Major}
	}
	drafts := make([]draft, len(p.items))
	for i, item := range p.items {
		d, err := parseItem(item.text, key, p.form)
		if err == nil {
			err = follows(drafts[:i], d.position)
		}
		if err != nil {
			return key, nil, p.fail(item, "%w", err)
		}
		for _, c := range d.choices {
			if c.Kind == ExactNote && !c.floating && !p.now.Key.valid() {
				return key, nil, p.fail(item, "%v is a note, and line %s has no key that it is of; write one above, such as key G, or write degrees", c.Note, p.now.Name)
			}
		}
		drafts[i] = d
	}
	// The lowest tuning that has a name: a line may go down there.
	if i, err := place(drafts, SixthInD); err != nil {
		return key, nil, p.fail(p.items[i], "%w", err)
	}
	return key, drafts, nil
}

// changes reads the chords as a form has them.
func (p *lineFile) changes() error {
	tokens := make([]token, len(p.chords))
	for i, c := range p.chords {
		tokens[i] = c.token
	}
	f := p.form.copy()
	reader := formParser{number: p.chords[0].number, form: f}
	var err error
	p.now.Changes, err = reader.changes(&f, tokens)
	var wrong *FormError
	if errors.As(err, &wrong) {
		return &LineFileError{wrong.Line, wrong.Column, wrong.Err}
	}
	return err
}

// places reads where notes are held, and checks that they are the line's.
func (p *lineFile) places(key Key, drafts []draft) error {
	if !p.now.Key.valid() {
		return p.fail(p.held[0], "where notes are held depends on the key, and line %s has none; write one above, such as key G", p.now.Name)
	}
	line, err := ParseLine(joined(p.items), key, p.form, Standard)
	if err != nil {
		if line, err = ParseLine(joined(p.items), key, p.form, SixthInD); err != nil {
			return p.fail(p.items[0], "%w", err)
		}
	}
	for _, t := range p.held {
		h, err := parseHeld(t.text, p.form)
		if err != nil {
			return p.fail(t, "%w", err)
		}
		at := -1
		for i, d := range drafts {
			if d.position.Compare(h.Position) == 0 {
				at = i
			}
		}
		if at < 0 {
			return p.fail(t, "line %s plays nothing on beat %v; hold one of its own notes", p.now.Name, h.Position)
		}
		for _, before := range p.now.Held {
			if before.Position.Compare(h.Position) == 0 {
				return p.fail(t, "beat %v is held twice; write it once", h.Position)
			}
		}
		midi := line.Tuning[h.Place.String-1] + h.Place.Fret
		if !line.Accepts(line.Items[at], midi) {
			return p.fail(t, "string %d at fret %d is %v, and beat %v asks for %v", h.Place.String, h.Place.Fret, key.Spell(midi), h.Position, line.Items[at])
		}
		p.now.Held = append(p.now.Held, h)
	}
	return nil
}

// parseHeld reads "8:5/0" or "9:6/2/2": beat, string, fret, finger.
func parseHeld(s string, form Form) (h Held, err error) {
	where, what, ok := strings.Cut(s, ":")
	parts := strings.Split(what, "/")
	if !ok || len(parts) < 2 || len(parts) > 3 {
		return h, fmt.Errorf("%s is no place; write a beat, a string, a fret and perhaps a finger, such as 9:6/2/2", quote(s))
	}
	if h.Position, err = parsePosition(where, form); err != nil {
		return h, err
	}
	for i, to := range []struct {
		into      *int
		what      string
		low, high int
	}{{&h.Place.String, "string", 1, 6}, {&h.Place.Fret, "fret", 0, LastFret}, {&h.Finger, "finger", 1, 4}} {
		if i == len(parts) {
			break
		}
		if *to.into, err = parseNumber(parts[i], to.what); err != nil {
			return h, err
		}
		if *to.into < to.low || *to.into > to.high {
			return h, fmt.Errorf("there is no %s %d; write %d to %d", to.what, *to.into, to.low, to.high)
		}
	}
	return h, nil
}

// FormatLines writes lines as ParseLines reads them: parsed again they are the
// same.
func FormatLines(lines []WrittenLine) string {
	var b strings.Builder
	for i, l := range lines {
		if i > 0 {
			b.WriteByte('\n')
		}
		write := func(word, value string) {
			if value != "" {
				fmt.Fprintf(&b, "%-7s%s\n", word, value)
			}
		}
		write("line", l.Name)
		write("title", l.Title)
		write("form", l.Form)
		if l.Key.valid() {
			write("key", l.Key.String())
		}
		write("play", l.Text)
		write("chords", Form{Changes: l.Changes}.field("chords"))
		if l.Exact {
			b.WriteString("exact\n")
		}
		held := make([]string, len(l.Held))
		for j, h := range l.Held {
			held[j] = fmt.Sprintf("%v:%d/%d", h.Position, h.Place.String, h.Place.Fret)
			if h.Finger > 0 {
				held[j] += "/" + strconv.Itoa(h.Finger)
			}
		}
		write("held", strings.Join(held, " "))
	}
	return b.String()
}

// In is the written line in a key, moved there by degree where it was written
// in another one. Where it names a form, that must be the one.
func (w WrittenLine) In(key Key, form Form, tuning Tuning) (Line, error) {
	if w.Form != "" && w.Form != form.Name {
		return Line{}, fmt.Errorf("line %s is written for %s, not for %s; ask for it in its own form", w.Name, w.Form, form.Name)
	}
	if w.Changes != nil {
		form.Changes, form.Phrygian = w.Changes, nil
	}
	written := w.Key
	if !written.valid() {
		written = key
	}
	l, err := ParseLine(w.Text, written, form, tuning)
	if err != nil {
		return Line{}, fmt.Errorf("line %s: %w", w.Name, err)
	}
	l.Exact = w.Exact
	if written == key {
		l.Held = w.Held
		return l, nil
	}
	return l.In(key)
}
