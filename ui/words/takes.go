package words

import "strconv"

// takes are the words on takes that are looked back at.
type takes struct {
	repaired string // {take}, {seconds}
}

// Repaired tells of a take whose recording was cut short: its name, and how
// many seconds of sound there are.
func (l *Language) Repaired(take string, seconds float64) string {
	return fill(l.takes.repaired, "take", take, "seconds", strconv.FormatFloat(seconds, 'f', 1, 64))
}
