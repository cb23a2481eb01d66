package words

import (
	"strconv"

	"bordon/listen/chords"
	"bordon/theory"
)

// held are the sentences on chords.
type held struct {
	wrong, early, late string // {asked}, {heard}
	key                string // {file}, {key}
	cejilla            string // {key}, {fret}, {flag}
}

// HeldChord is one sentence on a chord that was not the one asked for, or did not
// come on its beat; "" where there is nothing to say.
func (l *Language) HeldChord(v chords.Verdict) string {
	message := ""
	switch {
	case v.Word == chords.Wrong:
		message = l.held.wrong
	case v.When == chords.Early:
		message = l.held.early
	case v.When == chords.Late:
		message = l.held.late
	default:
		return ""
	}
	return l.Sentence(v.Turn, strconv.Itoa(v.Beat), fill(message, "asked", l.Chord(v.Asked), "heard", l.Chord(v.Heard)))
}

// KeyHeard says which key a recording sounds in.
func (l *Language) KeyHeard(file string, k theory.Key) string {
	return fill(l.held.key, "file", file, "key", l.Key(k))
}

// AskCejilla asks for the cejilla that another way to finger the same key has.
func (l *Language) AskCejilla(f theory.Fingering) string {
	return fill(l.held.cejilla, "key", l.Key(f.Key), "fret", strconv.Itoa(f.Cejilla), "flag", f.Key.String())
}
