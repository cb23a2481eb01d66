package words

import (
	"strings"

	"golang.org/x/text/language"
)

// OfLocale is the language of a locale as the environment names it: LC_ALL,
// else LC_MESSAGES, else LANG (POSIX, section 8.2). Where nobody speaks it
// here it is English.
func OfLocale(getenv func(string) string) *Language {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if v := getenv(name); v != "" {
			return ofLocale(v)
		}
	}
	return English
}

// ofLocale is the language nearest to one such as es_ES.UTF-8: a Galician or a
// Catalan reads Spanish more easily than English.
func ofLocale(locale string) *Language {
	locale, _, _ = strings.Cut(locale, ".")
	locale, _, _ = strings.Cut(locale, "@")
	if locale == "C" || locale == "POSIX" || strings.HasPrefix(locale, English.Tag) {
		return English
	}
	asked, err := language.Parse(locale)
	if err != nil {
		return English
	}
	tags := Tags()
	known := make([]language.Tag, len(tags))
	for i, t := range tags {
		known[i] = language.Make(t)
	}
	_, i, sure := language.NewMatcher(known).Match(asked)
	if sure == language.No {
		return English
	}
	l, err := In(tags[i])
	if err != nil {
		return English
	}
	return l
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
