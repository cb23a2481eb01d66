package words

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Fold brings a text to a width in columns. A paragraph that has no line too
// long stays as it is written. Of others prose is filled anew, and what stands
// in columns keeps them: what goes on does so below where the last column began.
// A word that is longer than the width is not cut.
func Fold(text string, width int) string {
	var out []string
	for _, p := range Paragraphs(text) {
		switch {
		case p.Prose:
			if longest(p.Lines) > width {
				p.Lines = wrap(strings.Join(p.Lines, " "), 0, width)
			}
		default:
			p.Lines = foldColumns(p.Lines, width)
		}
		out = append(out, strings.Join(p.Lines, "\n"))
	}
	return strings.Join(out, "\n\n")
}

// Paragraph is lines between empty ones: prose, or what has to stay in its
// columns.
type Paragraph struct {
	Lines []string
	Prose bool
}

// Paragraphs are those of a text. Prose begins at the left edge and has no two
// spaces.
func Paragraphs(text string) (all []Paragraph) {
	fresh := true
	for _, line := range strings.Split(strings.Trim(text, "\n"), "\n") {
		line = strings.TrimRightFunc(line, unicode.IsSpace)
		if line == "" {
			fresh = true
			continue
		}
		if fresh {
			all = append(all, Paragraph{Prose: true})
			fresh = false
		}
		p := &all[len(all)-1]
		p.Lines = append(p.Lines, line)
		if strings.Trim(line[:1], " \t") == "" || strings.Contains(line, "  ") {
			p.Prose = false
		}
	}
	return all
}

func longest(lines []string) (n int) {
	for _, l := range lines {
		n = max(n, utf8.RuneCountInString(l))
	}
	return n
}

// foldColumns brings lines that are in columns to a width.
func foldColumns(lines []string, width int) (out []string) {
	for i := 0; i < len(lines); {
		column := lastColumn(lines[i])
		whole := []string{lines[i]}
		for i++; i < len(lines) && column > 0 && indent(lines[i]) == column && lastColumn(lines[i]) == column; i++ {
			whole = append(whole, lines[i])
		}
		if longest(whole) <= width {
			out = append(out, whole...)
			continue
		}
		text := []rune(whole[0])
		for _, more := range whole[1:] {
			text = append(text, []rune(" "+strings.TrimSpace(more))...)
		}
		wrapped := wrap(string(text[column:]), column, width)
		wrapped[0] = string(text[:column]) + strings.TrimLeft(wrapped[0], " ")
		out = append(out, wrapped...)
	}
	return out
}

// indent is the number of spaces that a line begins with.
func indent(line string) int { return len(line) - len(strings.TrimLeft(line, " ")) }

// lastColumn is where the last column of a line begins; where there is one
// alone, where that begins.
func lastColumn(line string) int {
	from := indent(line)
	gap := strings.LastIndex(line[from:], "  ")
	if gap < 0 {
		return from
	}
	at := from + gap + 2
	return utf8.RuneCountInString(line[:at])
}

// wrap fills lines of a width with the words of a text, indented.
func wrap(text string, indent, width int) (lines []string) {
	edge := strings.Repeat(" ", indent)
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = edge + word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width:
			lines = append(lines, line)
			line = edge + word
		default:
			line += " " + word
		}
	}
	return append(lines, line)
}
