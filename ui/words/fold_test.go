package words

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

func TestFold(t *testing.T) {
	for _, tt := range []struct{ text, want string }{
		{"", ""},
		{"one line", "one line"},
		{"lines as\nthey stand", "lines as\nthey stand"},
		{"a line too long by\nfar, and one", "a line too long\nby far, and one"},
		{"one\n\n\ntwo", "one\n\ntwo"},
		{"one\n \t\ntwo", "one\n\ntwo"},
		{"compás y más compás", "compás y más\ncompás"},
		{"  7:B2   a note of it", "  7:B2   a note\n         of it"},
		{"  7:B2   a note of\n         the line", "  7:B2   a note\n         of the\n         line"},
		{"  a  b  c and more", "  a  b  c and\n        more"},
		{"unbreakablyverylong", "unbreakablyverylong"},
	} {
		assert.Equal(t, tt.want, Fold(tt.text, 16))
	}
}

// However it is folded, no word is lost, and what is wide is one word.
func FuzzFold(f *testing.F) {
	f.Add("a line too long by\nfar\n\n  7:B2   a note", 16)
	f.Add("\t\xff  é  x", 1)
	f.Add("  \t\t", 1)
	f.Fuzz(func(t *testing.T, text string, width int) {
		text = strings.ToValidUTF8(text, "?")
		width = max(1, min(width, 200))
		folded := Fold(text, width)
		assert.Equal(t, strings.Fields(text), strings.Fields(folded))
		for _, line := range strings.Split(folded, "\n") {
			if utf8.RuneCountInString(line) > width && lastColumn(line) == indent(line) {
				assert.Len(t, strings.Fields(line), 1, "%q", line)
			}
		}
	})
}
