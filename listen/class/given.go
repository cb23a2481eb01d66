package class

import (
	"fmt"
	"path"
	"path/filepath"
	"strings"
	"unicode"
)

// Column is one thing that can be said of a recording.
type Column int

// The columns.
const (
	File Column = iota // path in the folder, with slashes
	Student
	Key       // as fingered
	Cejilla   // fret
	Tempo     // units of the form a minute
	FirstBeat // seconds
	Form
	Line
	columns // how many there are
)

// names of the columns, as a manifest's header has them.
var names = [columns]string{"file", "student", "key", "cejilla", "tempo", "first-beat", "form", "line"}

// such is what each may look like.
var such = [columns]string{"lucia.m4a", "Lucia", "G", "3", "104", "1.84", "alegrias", "7:3 8:2 9:7 10:1"}

func (c Column) String() string {
	if c < 0 || c >= columns {
		return fmt.Sprintf("Column(%d)", int(c))
	}
	return names[c]
}

// Such is an example of what the column may hold.
func (c Column) Such() string { return such[c] }

// Given is what is said of one recording before it is heard, as it was written.
type Given struct {
	said [columns]string

	// Doubt is what the name says of a column where that is more than one
	// thing; then none is taken.
	Doubt [columns][]string
	// Unread are the words of the name that say nothing known.
	Unread []string
	// Err is what keeps the recording from being heard at all.
	Err error
}

// Of is what is said in a column, "" for nothing.
func (g *Given) Of(c Column) string { return g.said[c] }

// Set says something.
func (g *Given) Set(c Column, text string) { g.said[c] = text }

// fill takes from the name what nobody has said.
func (g *Given) fill(name Given) {
	for c := range g.said {
		if g.said[c] == "" {
			g.said[c], g.Doubt[c] = name.said[c], name.Doubt[c]
		}
	}
}

// inside says why a path does not lie in the folder; nil where it does.
func inside(file string) error {
	if strings.ContainsRune(file, 0) || path.Clean(file) != file || file == "." || !filepath.IsLocal(filepath.FromSlash(file)) {
		return fmt.Errorf("its path does not lie in the folder; write it from there, such as %s", File.Such())
	}
	return nil
}

// Shown is a name from outside as it may stand among others: in one line,
// without what would control a screen or turn the direction of writing.
func Shown(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case r == unicode.ReplacementChar, unicode.Is(unicode.Bidi_Control, r):
			return -1
		case unicode.IsControl(r), r == '\u2028', r == '\u2029':
			return ' '
		}
		return r
	}, s)
	return strings.Join(strings.Fields(s), " ")
}
