package words

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// number writes v as strconv does, with this language's decimal point.
func (l *Language) number(v float64, format byte, digits int) string {
	return strings.Replace(strconv.FormatFloat(v, format, digits, 64), ".", l.point, 1)
}

// Sprintf is fmt's, with this language's decimal point in every number.
func (l *Language) Sprintf(format string, args ...any) string {
	said := make([]any, len(args))
	for i, a := range args {
		said[i] = a
		if v, ok := a.(float64); ok {
			said[i] = pointed{v, l.point}
		}
	}
	return fmt.Sprintf(format, said...)
}

// pointed is a number that is written with a decimal point of its own.
type pointed struct {
	v     float64
	point string
}

func (p pointed) Format(s fmt.State, verb rune) {
	text := fmt.Sprintf(fmt.FormatString(s, verb), p.v)
	fmt.Fprint(s, strings.Replace(text, ".", p.point, 1))
}

// Aloud is a number as it is counted aloud, in a word where it has one.
func (l *Language) Aloud(counted string) string {
	if n, err := strconv.Atoi(counted); err == nil && n > 0 && n < len(l.numbers) {
		return l.numbers[n]
	}
	return counted
}

// Yes reports whether an answer is a yes; None is what is typed for nothing.
func (l *Language) Yes(answer string) bool {
	return slices.Contains(strings.Fields(l.yes), strings.ToLower(strings.TrimSpace(answer)))
}
func (l *Language) None() string { return l.none }
