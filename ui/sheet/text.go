package sheet

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// widths of the printable ASCII letters in hundredths of the size, as DejaVu
// Serif Bold has them, the widest of the usual book faces: what fits in it
// fits in Georgia and Times.
var widths = [...]uint8{
	35, 44, 53, 84, 70, 95, 91, 31, 48, 48, 53, 84, 35, 42, 35, 37, 70, 70, 70, 70, 70, 70, 70, 70, 70, 70, 37, 37, 84, 84, 84, 59,
	100, 78, 85, 80, 87, 77, 71, 86, 95, 47, 48, 87, 71, 111, 92, 88, 76, 88, 84, 73, 75, 88, 78, 113, 78, 72, 73, 48, 37, 48, 84, 50,
	50, 65, 70, 61, 70, 64, 43, 70, 73, 38, 37, 70, 38, 106, 73, 67, 70, 70, 53, 57, 47, 73, 59, 86, 60, 59, 57, 65, 37, 65, 84,
}

// width is how wide a text is at most, in the unit of its size.
func width(s string, size float64) float64 {
	sum := 0
	for _, r := range s {
		switch {
		case r >= ' ' && int(r-' ') < len(widths):
			sum += int(widths[r-' '])
		case r == '♭' || r == '♯':
			sum += 65
		case r < 0x250 && unicode.IsLower(r):
			sum += 80 // á, ñ, œ
		default:
			sum += 110
		}
	}
	return float64(sum) * size / 100
}

// unusual reports whether a text has letters that width only guesses at.
func unusual(s string) bool {
	return strings.ContainsFunc(s, func(r rune) bool { return r >= 0x250 && !strings.ContainsRune("♭♯–…“”·", r) })
}

// readable leaves out what does not print, or would turn other text around,
// and what XML cannot hold.
func readable(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case r == utf8.RuneError, unicode.Is(unicode.C, r), r > unicode.MaxRune-2, r&0xfffe == 0xfffe:
			return -1
		case unicode.IsSpace(r):
			return ' '
		}
		return r
	}, strings.NewReplacer("\n", " ", "\t", " ", "\r", " ").Replace(s))
	return strings.TrimSpace(s)
}

// fitted is a text that takes no more than room: smaller by a quarter at most,
// then cut.
func fitted(s string, size, room float64) (string, float64) {
	w := width(s, size)
	if w <= room {
		return s, size
	}
	const least = 0.75
	if w*least <= room {
		return s, size * room / w
	}
	size *= least
	letters := []rune(s)
	for len(letters) > 0 && width(string(letters)+"…", size) > room {
		letters = letters[:len(letters)-1]
	}
	if len(letters) == 0 {
		return "", size
	}
	return strings.TrimSpace(string(letters)) + "…", size
}

// accidentals are the signs of a note name or a chord symbol in print.
var accidentals = strings.NewReplacer("b", "♭", "#", "♯")

// printed is a note name or chord symbol with its signs: "B♭2", "F♯m7♭5". No
// other part of a symbol has a small b.
func printed(symbol string) string { return accidentals.Replace(symbol) }

// wrapped breaks a text into lines that fit into room.
func wrapped(s string, size, room float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(readable(s)) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && width(longer, size) > room {
			lines, longer = append(lines, line), word
		}
		line = longer
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
