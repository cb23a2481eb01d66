package keys

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"bordon/theory"
	"bordon/ui/page"
	"bordon/ui/words"
)

// Opening is the first minute in a key: what it asks of a hand that knows
// another one.
type Opening struct {
	Words   *words.Language // nil for English
	Key     theory.Key      // as fingered
	Home    theory.Key      // that the player knows; may be Key itself
	Form    theory.Form
	Cejilla int
	Left    bool // a guitar that is held to the left

	Dominant, Tonic theory.Shape // of Key; no string sounds where none is known
	Best            theory.Walk  // in Key
	HomeBest        theory.Walk  // in Home
	Asked           theory.Line  // what is asked for; nothing where nobody asks
	Gained, Lost    []int        // open strings that are notes of Key and not of Home, and the other way round, 6 to 1
}

// Open opens a key for a player whose home key is another.
func Open(lang *words.Language, key, home theory.Key, form theory.Form, tuning theory.Tuning) (Opening, error) {
	o := Opening{Words: lang, Key: key, Home: home, Form: form}
	for _, want := range []struct {
		key theory.Key
		to  *theory.Walk
	}{{key, &o.Best}, {home, &o.HomeBest}} {
		walks, err := theory.Find(want.key, form, tuning, 1)
		if err != nil {
			return o, fmt.Errorf("opening %v: %w", key, err)
		}
		*want.to = walks[0]
	}
	o.Dominant, o.Tonic = unheld(key.DominantChord(), tuning), unheld(key.TonicChord(), tuning)
	if s, ok := key.DominantShape(tuning); ok {
		o.Dominant = s
	}
	if s, ok := key.TonicShape(tuning); ok {
		o.Tonic = s
	}
	for str := 6; str >= 1; str-- {
		here, there := key.Contains(tuning[str-1]), home.Contains(tuning[str-1])
		switch {
		case here && !there:
			o.Gained = append(o.Gained, str)
		case there && !here:
			o.Lost = append(o.Lost, str)
		}
	}
	return o, nil
}

// unheld is a chord that no shape is known for: no string sounds.
func unheld(c theory.Chord, t theory.Tuning) theory.Shape {
	s := theory.Shape{Chord: c, Tuning: t}
	for i := range s.Frets {
		s.Frets[i] = theory.Muted
	}
	return s
}

// The measures of the screen that opens a key, in character cells.
const (
	shapeColumn = 40
	leastColumn = 9 // of a note: "(5) open" and a space
	leastWidth  = 40
)

// headColumn is that of what stands before the notes.
func headColumn(lang *words.Language) int {
	return max(12, cells("  "+lang.BestWalk())+1, cells("  "+lang.NotesOf())+1)
}

// Draw lays the opening out in lines of at most width cells, 40 or more; 80 by
// 24 hold it. What does not fit beside each other stands beneath.
func (o Opening) Draw(width int) []page.Line {
	width = max(width, leastWidth)
	lang := o.Words
	if lang == nil {
		lang = words.English
	}
	rest := []string{}
	if o.Home != o.Key {
		rest = append(rest, lang.Home(o.Home))
	}
	var lines []page.Line
	title := Title(lang, o.Key, o.Form, o.Cejilla, rest...)
	if cells(title) <= width {
		lines = append(lines, said(page.Heading, title))
	} else {
		for _, text := range page.Wrap(title, width-1) {
			lines = append(lines, said(page.Heading, " "+text))
		}
	}
	var names []string
	for _, n := range o.Key.Scale() {
		names = append(names, lang.Name(n))
	}
	lines = append(lines, scale(lang, names, lang.Signature(o.Key.Signature()), width)...)
	lines = append(lines, o.asked(lang)...)
	lines = append(lines, o.shapes(lang, width)...)
	lines = append(lines, said(page.Plain, ""))
	lines = append(lines, o.walk(lang, width)...)
	sentences := []string{lang.Why(o.Best)}
	if o.Home != o.Key {
		sentences = append(sentences,
			lang.WalksCompared(o.Best, o.HomeBest)+" "+lang.UnderTheHand(o.HomeBest, o.Best),
			lang.NotesChanged(o.Key, o.Home)+" "+strings.Join(lang.StringsChanged(o.strings(lang, o.Gained), o.strings(lang, o.Lost)), " "))
	}
	for _, s := range sentences {
		for _, text := range page.Wrap(s, width-2) {
			lines = append(lines, said(page.Said, "  "+text))
		}
	}
	return lines
}

// scale lists notes, and behind them or beneath them what stands at the clef.
func scale(lang *words.Language, names []string, signature string, width int) (lines []page.Line) {
	head, notes := pad("  "+lang.NotesOf(), headColumn(lang)), strings.Join(names, "  ")
	if text := head + pad(notes, max(30, cells(notes)+2)) + signature; cells(text) <= width {
		return []page.Line{said(page.Quiet, text)}
	}
	rows := []string{notes}
	if cells(head+notes) > width {
		rows = page.Wrap(notes, width-headColumn(lang))
	}
	for _, text := range append(rows, signature) {
		lines = append(lines, said(page.Quiet, head+text))
		head = pad("", headColumn(lang))
	}
	return lines
}

// strings names open strings: "(2) B".
func (o Opening) strings(lang *words.Language, of []int) []string {
	names := make([]string, len(of))
	for i, str := range of {
		midi := o.Best.Tuning[str-1]
		spelled := o.Home
		if o.Key.Contains(midi) {
			spelled = o.Key
		}
		names[i] = "(" + strconv.Itoa(str) + ") " + lang.Name(spelled.Spell(midi).Name)
	}
	return names
}

// asked is the line that is asked for, where it is not the best walk; else an
// empty line.
func (o Opening) asked(lang *words.Language) []page.Line {
	if len(o.Asked.Items) == 0 || o.Asked.String() == o.Best.Line().String() {
		return []page.Line{said(page.Plain, "")}
	}
	return []page.Line{said(page.Ahead, "  "+lang.Asked(strings.Join(strings.Fields(o.Asked.String()), "  "), ""))}
}

// walk draws the best walk: its notes beside each other, or one beneath the
// other where that is too wide.
func (o Opening) walk(lang *words.Language, width int) []page.Line {
	column, head := noteColumn, headColumn(lang)
	if n := len(o.Best.Notes); n > 0 {
		column = min(column, (width-head)/n)
	}
	if column < leastColumn {
		lines := []page.Line{said(page.Heading, "  "+lang.BestWalk())}
		for _, n := range o.Best.Notes {
			lines = append(lines, said(page.Quiet, "  "+pad(n.Position.String(), 8)+pad(lang.Pitched(n.Note), lang.NoteWidth())+pad(n.Degree, 5)+lang.Mark(n.Place)))
		}
		return lines
	}
	var beats, notes, places string
	for _, n := range o.Best.Notes {
		beats += pad(n.Position.String(), column)
		notes += pad(pad(lang.Pitched(n.Note), lang.NoteWidth())+n.Degree, column)
		places += pad(lang.Mark(n.Place), column)
	}
	return []page.Line{
		said(page.Heading, pad("  "+lang.BestWalk(), head)+beats),
		said(page.Quiet, pad("", head)+notes),
		said(page.Remark, pad("", head)+places)}
}

// shapes draws the dominant's and the tonic's shapes side by side, as far as
// that fits.
func (o Opening) shapes(lang *words.Language, width int) []page.Line {
	left, right := drawShape(lang, o.Dominant, o.Left), drawShape(lang, o.Tonic, o.Left)
	wide := func(lines []page.Line) (most int) {
		for _, l := range lines {
			most = max(most, cells(l.String()))
		}
		return most
	}
	column := min(shapeColumn, width-wide(right))
	if column < 2+wide(left)+1 {
		return append(beneath(lang.Chord(o.Dominant.Chord), left), beneath(lang.Chord(o.Tonic.Chord), right)...)
	}
	lines := []page.Line{said(page.Ahead, pad("  "+lang.Chord(o.Dominant.Chord), column)+lang.Chord(o.Tonic.Chord))}
	for i := range left {
		text := pad("  "+left[i].String(), column) + right[i].String()
		lines = append(lines, said(left[i][0].Role, text))
	}
	return lines
}

func beneath(chord string, shape []page.Line) []page.Line {
	lines := []page.Line{said(page.Ahead, "  "+chord)}
	for _, l := range shape {
		lines = append(lines, said(l[0].Role, "  "+l.String()))
	}
	return lines
}

func cells(s string) int { return utf8.RuneCountInString(strings.TrimRight(s, " ")) }
