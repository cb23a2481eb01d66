package page

import (
	"strings"
	"unicode/utf8"
)

// Wrap breaks s at its spaces into lines of at most width characters; a word
// that is longer is broken where the line ends.
func Wrap(s string, width int) []string {
	width = max(width, 1)
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		for {
			switch {
			case line == "" && runes(word) > width:
				lines = append(lines, cut(word, width))
				word = string([]rune(word)[width:])
				continue
			case line == "":
				line = word
			case runes(line)+1+runes(word) <= width:
				line += " " + word
			default:
				lines = append(lines, line)
				line = ""
				continue
			}
			break
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// pad fills s with spaces to width characters and cuts what is over.
func pad(s string, width int) string {
	s = cut(s, width)
	return s + strings.Repeat(" ", max(width-runes(s), 0))
}

func cut(s string, width int) string {
	if runes(s) <= width {
		return s
	}
	return string([]rune(s)[:max(width, 0)])
}

// runes counts characters. All that stands on a page is Latin script, a cell
// each.
func runes(s string) int { return utf8.RuneCountInString(s) }

// Cut is the line at most width characters wide.
func (l Line) Cut(width int) Line {
	var kept Line
	for _, s := range l {
		s.Text = cut(s.Text, width)
		width -= runes(s.Text)
		kept = append(kept, s)
	}
	return kept
}
