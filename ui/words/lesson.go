package words

import "strconv"

// lesson are the words on a sheet of paper for a lesson.
type lesson struct {
	title   string  // {form}
	line    string  // {line}
	best    counted // keys
	tuned   string  // {notes}
	any     string
	ofKey   string
	ofChord string
	page    string // {page}, {of}
	how     string
}

// SheetTitle names a sheet by the form that it is on.
func (l *Language) SheetTitle(form string) string { return fill(l.lesson.title, "form", form) }

// LineNamed says which line a sheet has, BestLine that it is the best of its
// key, or of each of several.
func (l *Language) LineNamed(line string) string { return fill(l.lesson.line, "line", line) }
func (l *Language) BestLine(keys int) string     { return l.lesson.best.of(keys) }

// TunedTo tells the open strings, from the sixth to the first, where they are
// not as usual.
func (l *Language) TunedTo(notes string) string { return fill(l.lesson.tuned, "notes", notes) }

// AnyNote stands in the place of a note that is free; OfTheKey and OfTheChord,
// beneath it, say within what.
func (l *Language) AnyNote() string    { return l.lesson.any }
func (l *Language) OfTheKey() string   { return l.lesson.ofKey }
func (l *Language) OfTheChord() string { return l.lesson.ofChord }

// PageOf counts the pages of a sheet.
func (l *Language) PageOf(page, of int) string {
	return fill(l.lesson.page, "page", strconv.Itoa(page), "of", strconv.Itoa(of))
}

// HowToRead explains the signs of a sheet.
func (l *Language) HowToRead() string { return l.lesson.how }
