package keys

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"bordon/theory"
	"bordon/ui/page"
	"bordon/ui/words"
)

// The measures of a list of walks, in character cells.
const (
	indent     = 7 // before the notes
	noteColumn = 14
)

// Title stands over a key: "F major   cejilla 3, sounds B flat   alegrías".
func Title(lang *words.Language, key theory.Key, form theory.Form, cejilla int, rest ...string) string {
	parts := []string{" " + lang.Key(key)}
	if cejilla > 0 {
		parts = append(parts, lang.Cejilla(cejilla, lang.Key(key.Transpose(cejilla))))
	}
	return strings.Join(append(append(parts, lang.Form(form)), rest...), "   ")
}

// Walks lists walks, each with its notes and degrees, where they lie, and why;
// lines are at most width cells wide.
func Walks(lang *words.Language, walks []theory.Walk, width int) []page.Line {
	if len(walks) == 0 {
		return nil
	}
	var beats, chords string
	for _, n := range walks[0].Notes {
		beats += pad(n.Position.String(), noteColumn)
		chords += pad(lang.Chord(n.Chord), noteColumn)
	}
	lines := []page.Line{
		said(page.Heading, pad("", indent)+beats),
		said(page.Remark, pad("", indent)+chords),
	}
	for i, w := range walks {
		rank := ""
		if len(walks) > 1 {
			rank = strconv.Itoa(i + 1)
		}
		lines = append(lines, Walk(lang, w, rank, width)...)
	}
	return lines
}

// Walk draws one walk with a mark before it.
func Walk(lang *words.Language, w theory.Walk, mark string, width int) []page.Line {
	var notes, places string
	for _, n := range w.Notes {
		notes += pad(pad(lang.Pitched(n.Note), lang.NoteWidth())+n.Degree, noteColumn)
		places += pad(lang.Mark(n.Place), noteColumn)
	}
	lines := []page.Line{
		said(page.Quiet, pad("  "+mark, indent)+notes),
		said(page.Remark, pad("", indent)+places),
	}
	for _, s := range page.Wrap(lang.Why(w), width-indent) {
		lines = append(lines, said(page.Said, pad("", indent)+s))
	}
	return lines
}

// Text is lines as plain text.
func Text(lines []page.Line) string {
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(l.String())
		b.WriteByte('\n')
	}
	return b.String()
}

func said(role page.Role, text string) page.Line { return page.Line{{Text: text, Role: role}} }

// pad fills s with spaces to width cells; all is Latin script, a cell each.
func pad(s string, width int) string {
	return s + strings.Repeat(" ", max(width-utf8.RuneCountInString(s), 0))
}
