package theory

import "strings"

// spanish are the notes by the names that singers use, the longer before those
// that they begin with (common practice, no source).
var spanish = []struct{ name, letter string }{
	{"sol", "G"}, {"do", "C"}, {"re", "D"}, {"mi", "E"}, {"fa", "F"}, {"la", "A"}, {"si", "B"},
}

// fromSpanish writes a key that is named in Spanish, "sib", "si bemol", "la
// menor", "lam", "SolM" (major), "mi frigio", as ParseKey's own words have it; false where it is none.
func fromSpanish(s string) (string, bool) {
	folded := fold(s)
	for _, n := range spanish {
		rest, found := strings.CutPrefix(folded, n.name)
		if !found {
			continue
		}
		sign, mode := "", ""
		rest = strings.TrimLeft(rest, "-")
		for _, a := range [][2]string{{"bemol", "b"}, {"sostenido", "#"}, {"♭", "b"}, {"♯", "#"}, {"b", "b"}, {"#", "#"}} {
			if after, ok := strings.CutPrefix(rest, a[0]); ok {
				sign, rest = a[1], strings.TrimLeft(after, "-")
				break
			}
		}
		switch rest {
		case "", "mayor":
		case "m", "menor":
			mode = "m"
			if rest == "m" && strings.HasSuffix(s, "M") {
				if s == strings.ToUpper(s) { // all are capitals, so M need not mean major
					return "", false
				}
				mode = ""
			}
		case "frigio":
			mode = "-phrygian"
		default:
			return "", false
		}
		return n.letter + sign + mode, true
	}
	return "", false
}
