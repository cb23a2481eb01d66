package class

import (
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"bordon/theory"
)

// The words of a name, each of one kind.
var (
	dateWord    = regexp.MustCompile(`\d{4}-\d{2}-\d{2}`)
	cejillaWord = regexp.MustCompile(`^(?i:cejilla|cej|capo|al)-?(\d{1,2})$`)
	tempoWord   = regexp.MustCompile(`^(\d{2,3}(?:\.\d+)?)(?i:bpm)?$`)
	firstWord   = regexp.MustCompile(`^(?i:first|beat1at)-?(\d{1,4}(?:\.\d+)?)s?$`)
)

// Auto is the key that the sound is to name.
const Auto = "auto"

// The tempos that a number in a name can be, units a minute.
const slowest, fastest = 20, 400

// maxWords is how many words one thing in a name takes: B-flat-minor.
const maxWords = 3

// FromName reads what the name of a file says of a recording:
// lucia-G-cejilla3-104.m4a is the student lucia, in G with the cejilla at the
// third fret, at 104. Words stand between hyphens, underscores or spaces; the
// student comes first, the rest in any order. A key is written as on the
// command line, the cejilla cejilla3, cej3, capo3 or al3, the second of the
// first beat first1.84, a form by its name; a number from 20 to 400 is the
// tempo. What is not said is left open, and so is what is said twice in two
// ways.
func FromName(file string) Given {
	var g Given
	g.said[File] = file
	stem := strings.TrimSuffix(path.Base(file), path.Ext(file))
	stem = dateWord.ReplaceAllString(stem, " ")
	words := strings.FieldsFunc(stem, func(r rune) bool { return r == '-' || r == '_' || r == ' ' })
	var found [columns][]string
	var student []string
	anything := false
	for i := 0; i < len(words); {
		c, text, n := readWords(words[i:])
		switch {
		case n > 0 && c == Key && i == 0 && saysKey(words[n:]):
			// Somebody called as a key is: the other one is the key.
			student = append(student, words[:n]...)
		case n > 0:
			found[c] = append(found[c], text)
			anything = true
		case !anything && !digits(words[i]):
			student = append(student, words[i])
		default:
			g.Unread = append(g.Unread, words[i])
		}
		i += max(n, 1)
	}
	if !anything && len(g.Unread) > 0 {
		// As a telephone numbers its recordings: nobody's name.
		g.Unread, student = append(student, g.Unread...), nil
	}
	g.said[Student] = Shown(strings.Join(student, " "))
	for c := range found {
		slices.Sort(found[c])
		switch things := slices.Compact(found[c]); {
		case len(things) == 1:
			g.said[c] = things[0]
		case len(things) > 1:
			g.Doubt[c] = things
		}
	}
	return g
}

// readWords reads the thing that the first of the words begin, the longest
// there is; n of them, 0 for none.
func readWords(words []string) (c Column, text string, n int) {
	for n := min(maxWords, len(words)); n > 0; n-- {
		joined := strings.Join(words[:n], "-")
		if m := cejillaWord.FindStringSubmatch(joined); m != nil {
			return Cejilla, strings.TrimLeft(m[1][:len(m[1])-1], "0") + m[1][len(m[1])-1:], n
		}
		if m := firstWord.FindStringSubmatch(joined); m != nil {
			return FirstBeat, m[1], n
		}
		if m := tempoWord.FindStringSubmatch(joined); m != nil {
			if bpm, err := strconv.ParseFloat(m[1], 64); err == nil && bpm >= slowest && bpm <= fastest {
				return Tempo, m[1], n
			}
		}
		if strings.EqualFold(joined, Auto) {
			return Key, Auto, n
		}
		if k, err := theory.ParseKey(joined); err == nil {
			return Key, k.String(), n
		}
		if f, err := theory.LookupForm(strings.Join(words[:n], "/")); err == nil {
			return Form, f.Name, n
		}
	}
	return 0, "", 0
}

// saysKey reports whether one of the words is a key.
func saysKey(words []string) bool {
	for i := range words {
		if c, _, n := readWords(words[i:]); n > 0 && c == Key {
			return true
		}
	}
	return false
}

func digits(s string) bool {
	return strings.Trim(s, "0123456789.") == ""
}
