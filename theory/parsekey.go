package theory

import (
	"errors"
	"fmt"
	"strings"
)

// flamencoKeys are the players' names for Phrygian keys, as fold writes them
// (common practice, no source).
var flamencoKeys = map[string]Name{
	"arriba":   {'E', 0},
	"medio":    {'A', 0},
	"taranta":  {'F', 1},
	"granaina": {'B', 0},
	"minera":   {'G', 1},
	"rondena":  {'C', 1},
}

// ParseKey reads a key: "Bb" (major), "F#m" (minor), "E-phrygian", or a
// player's name for a Phrygian key: por-arriba (E), por-medio (A), taranta
// (F#), granaina (B), minera (G#), rondena (C#), accents and a leading "por"
// as one likes. The words may be written out ("B flat major", "F# minor", in
// Spanish "si bemol", "la menor", "mi frigio") and
// the signs ♭ and ♯ stand for b and #. A key of more than seven sharps or flats
// is refused with the name of the one that sounds the same.
func ParseKey(s string) (Key, error) {
	k, err := parseKey(strings.TrimSpace(s))
	if err != nil {
		return Key{}, fmt.Errorf("key %s: %w", quote(s), err)
	}
	return k, nil
}

func parseKey(s string) (Key, error) {
	const howTo = "write a key such as Bb, F#m, E-phrygian or por-medio"
	if s == "" {
		return Key{}, errors.New(howTo)
	}
	folded := fold(s)
	if tonic, ok := flamencoKeys[strings.TrimPrefix(folded, "por-")]; ok {
		return Key{tonic, Phrygian}, nil
	}
	if named, ok := fromSpanish(s); ok {
		s = named
	}
	tonic, rest, err := cutName(s)
	if err != nil {
		if s[0] >= 'a' && s[0] <= 'g' {
			// Many read a small letter as minor, so it is not guessed.
			if k, err := parseKey(string(s[0]-'a'+'A') + s[1:]); err == nil && k.Mode == Major {
				return Key{}, fmt.Errorf("a tonic is a capital letter; write %v for the major key, %vm for the minor", k, k)
			} else if err == nil {
				return Key{}, fmt.Errorf("a tonic is a capital letter; write %v", k)
			}
		}
		return Key{}, fmt.Errorf("%w; %s", err, howTo)
	}
	mode, alter, ok := parseMode(rest)
	if !ok || alter != 0 && tonic.Alter != 0 {
		return Key{}, fmt.Errorf("%s after %v is no mode; write %v for the major key, %vm for the minor or %v-phrygian",
			quote(strings.Trim(rest, " -")), tonic, tonic, tonic, tonic)
	}
	tonic.Alter += alter
	k := Key{tonic, mode}
	if !k.valid() {
		right := simplest(tonic.PitchClass(), mode, false)
		count, sign := k.Signature(), "sharps"
		if count < 0 {
			count, sign = -count, "flats"
		}
		return Key{}, fmt.Errorf("%v %v would take %d %s, and a signature holds %d; write %v", tonic, mode, count, sign, maxSignature, right)
	}
	return k, nil
}

// parseMode reads what may follow a tonic: the word for its accidental, and
// its mode.
func parseMode(s string) (mode Mode, alter int, ok bool) {
	if s == "m" { // before folding: "DM" is not D minor
		return Minor, 0, true
	}
	if strings.HasSuffix(s, "M") {
		return Major, 0, false
	}
	s = strings.Trim(fold(s), "-")
	if after, found := strings.CutPrefix(s, "flat"); found {
		s, alter = after, -1
	} else if after, found := strings.CutPrefix(s, "sharp"); found {
		s, alter = after, 1
	}
	switch strings.Trim(s, "-") {
	case "", "major", "maj":
		return Major, alter, true
	case "m", "minor", "min":
		return Minor, alter, true
	case "phrygian":
		return Phrygian, alter, true
	}
	return Major, 0, false
}

// folding takes what a Spanish word may be written with to what names are
// compared by; the second half are the accents as characters of their own.
var folding = strings.NewReplacer(
	"á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ü", "u", "ñ", "n",
	"\u0301", "", "\u0303", "", "\u0308", "",
	" ", "-", "_", "-",
)

// fold makes a name comparable: lower case, without accents, words joined by
// hyphens.
func fold(s string) string { return folding.Replace(strings.ToLower(s)) }
