package main

import (
	"strings"
	"unicode/utf8"

	"bordon/listen/class"
	"bordon/ui/page"
	"bordon/ui/words"
)

// usualWidth is how wide a table is written where there is no terminal.
const usualWidth = 100

// classText is a class as a table, with what is to be said of a recording
// under its row. width is that of the terminal, 0 where there is none. The
// last columns go under the rows where the terminal is too narrow.
func classText(s class.Sheet, width int) string {
	if width <= 0 {
		width = usualWidth
	}
	heads := language.ClassColumns()
	// Names are cut shorter where more columns fit for it.
	rows, widths := classColumns(s, width, 20, 32)
	if r, w := classColumns(s, width, 14, 20); len(w) > len(widths) {
		rows, widths = r, w
	}
	var b strings.Builder
	for i, cells := range rows {
		var line strings.Builder
		for j, w := range widths {
			line.WriteString(cells[j] + strings.Repeat(" ", w-utf8.RuneCountInString(cells[j])+gap))
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
		if i == 0 {
			continue
		}
		var notes, under []string
		for j := len(widths); j < len(cells); j++ {
			if cells[j] != "" {
				under = append(under, heads[j]+": "+cells[j])
			}
		}
		if len(under) > 0 {
			notes = append(notes, strings.Join(under, "; "))
		}
		notes = append(notes, language.ClassNotes(s.Rows[i-1])...)
		for _, note := range notes {
			for _, said := range page.Wrap(clean(note), max(width-4, 20)) {
				b.WriteString("    " + said + "\n")
			}
		}
	}
	return b.String()
}

// classColumns are the rows of a class, the head first, with names cut to so
// many letters, and the widths of the columns that fit.
func classColumns(s class.Sheet, width, student, file int) (rows [][]string, widths []int) {
	rows = [][]string{language.ClassColumns()[:words.ClassHeads]}
	for _, r := range s.Rows {
		cells := language.ClassCells(r)
		cells[0], cells[1], cells[2] = middle(cells[0], student), middle(printable(class.Shown(cells[1])), file), middle(cells[2], 24)
		rows = append(rows, cells[:])
	}
	widths = widthsOf(rows)
	total := -gap
	for _, w := range widths {
		total += w + gap
	}
	for len(widths) > leastColumns && total > width {
		last := len(widths) - 1
		total -= widths[last] + gap
		widths = widths[:last]
	}
	return rows, widths
}

// gap is how many spaces stand between columns; leastColumns stay columns on
// any terminal: whose, and which file.
const (
	gap          = 2
	leastColumns = 2
)

func widthsOf(rows [][]string) []int {
	widths := make([]int, len(rows[0]))
	for _, cells := range rows {
		for i, c := range cells {
			widths[i] = max(widths[i], utf8.RuneCountInString(c))
		}
	}
	return widths
}

// middle is s in at most so many letters, what is over taken from the middle.
func middle(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most/2]) + "…" + string(r[len(r)-(most-most/2-1):])
}
