package words

import "strings"

// OfLocale is the language of a locale as the environment names it: LC_ALL,
// else LC_MESSAGES, else LANG (POSIX.1-2017, 8.2). Where nobody speaks it
// here it is English.
func OfLocale(getenv func(string) string) *Language {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if v := getenv(name); v != "" {
			return ofLocale(v)
		}
	}
	return English
}

// ofLocale is the language of one such as es_ES.UTF-8.
func ofLocale(locale string) *Language {
	tag := locale
	if i := strings.IndexAny(tag, "_-.@"); i >= 0 {
		tag = tag[:i]
	}
	if l, err := In(strings.ToLower(tag)); err == nil {
		return l
	}
	return English
}

// NoteNames are the ways to name notes.
var NoteNames = []string{"letters", "solfeo"}

var (
	asLetters = [7]string{"A", "B", "C", "D", "E", "F", "G"}
	asSolfeo  = [7]string{"La", "Si", "Do", "Re", "Mi", "Fa", "Sol"}
)

// WithNotes is the language with notes named in one of the NoteNames; in
// another way, "", as the language does.
func (l *Language) WithNotes(names string) *Language {
	other := *l
	switch names {
	case NoteNames[0]:
		other.letters = asLetters
	case NoteNames[1]:
		other.letters = asSolfeo
	}
	return &other
}
