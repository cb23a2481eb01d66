package words

import (
	"strings"
	"unicode/utf8"

	"bordon/theory"
)

// signs are the accidentals where there is no room for words, double flat to
// double sharp.
var signs = [5]string{"bb", "b", "", "#", "##"}

// letter is a note's name without its accidental; false where it is none.
func (l *Language) letter(n theory.Name) (string, bool) {
	i := int(n.Letter) - 'A'
	if i < 0 || i >= len(l.letters) || n.Alter < -2 || n.Alter > 2 {
		return "", false
	}
	return l.letters[i], true
}

// Note is a spelled name in words, without its octave: "B flat".
func (l *Language) Note(n theory.Name) string {
	if s, ok := l.letter(n); ok {
		return s + l.accidentals[n.Alter+2]
	}
	return n.String()
}

// Name is a spelled name in as few characters as it takes: "Bb", "Sib".
func (l *Language) Name(n theory.Name) string {
	if s, ok := l.letter(n); ok {
		return s + signs[n.Alter+2]
	}
	return n.String()
}

// Pitched is a note with its octave in as few characters as it takes: "Bb2",
// "Sib2".
func (l *Language) Pitched(n theory.Note) string {
	return strings.Replace(n.String(), n.Name.String(), l.Name(n.Name), 1)
}

// NoteWidth is how many characters hold a note with its octave, an accidental
// and a space.
func (l *Language) NoteWidth() int {
	most := 0
	for _, s := range l.letters {
		most = max(most, utf8.RuneCountInString(s))
	}
	return most + len("b2") + len("  ")
}

// Chord is a chord's name, "D7", "Re7".
func (l *Language) Chord(c theory.Chord) string {
	if len(c.Tones) == 0 {
		return c.String()
	}
	quality, _ := strings.CutPrefix(c.String(), c.Tones[0].String())
	if !strings.HasPrefix(quality, "-") {
		return l.Name(c.Tones[0]) + quality
	}
	names := make([]string, len(c.Tones)) // a chord that has no symbol
	for i, t := range c.Tones {
		names[i] = l.Name(t)
	}
	return strings.Join(names, "-")
}

// Read is a note or a name as a file has it, "Bb2", in this language; what is
// none stays as it is.
func (l *Language) Read(note string) string {
	if n, err := theory.ParseNote(note); err == nil {
		return l.Pitched(n)
	}
	return note
}
