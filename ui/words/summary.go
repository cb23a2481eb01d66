package words

import (
	"math"
	"strconv"
	"strings"

	"bordon/listen/match"
)

// summary are the sentences at the end of a take.
type summary struct {
	nothing, allStrummed string
	right                string // {right}, {of}, {percent}
	onTime               string // {n}; stands behind right
	inScale, outOfScale  counted
	octave, missing      counted
	extra                counted
	unsure, strummed     counted
	and                  string
	ahead, behind        string // {ms}
	cutOff               string // {turn}
	cutOffTurns          string // {first}, {last}
}

// A lead or lag is told where it is larger than the ear's own error and than
// two thirds of the spread: then it is the take's, not single notes'.
const (
	constantMS    = 10.0
	constantSpans = 1.5
	constantNotes = 4
)

// Summary tells a score in a sentence or two. A lead or lag that is constant
// over the take is told here, once.
func (l *Language) Summary(s match.Score) []string {
	m := &l.summary
	judged := s.Judged - s.Unsure
	var lines []string
	switch {
	case s.Judged == 0 && s.Strummed == 0:
		return []string{m.nothing}
	case s.Judged == 0:
		return []string{m.allStrummed}
	case judged > 0:
		percent := strconv.Itoa(int(math.Round(100 * float64(s.Right) / float64(judged))))
		line := fill(m.right, "right", strconv.Itoa(s.Right), "of", strconv.Itoa(judged), "percent", percent)
		if s.AccuracyOnTime != nil && s.Right > 0 {
			line += fill(m.onTime, "n", strconv.Itoa(s.RightOnTime))
		}
		lines = append(lines, line+".")
	}
	if list := l.others(s); list != "" {
		lines = append(lines, list+".")
	}
	if s.Timed >= constantNotes && math.Abs(s.OffsetMean) >= max(constantMS, s.OffsetSD/constantSpans) {
		message := m.behind
		if s.OffsetMean < 0 {
			message = m.ahead
		}
		lines = append(lines, fill(message, "ms", strconv.Itoa(int(math.Round(math.Abs(s.OffsetMean))))))
	}
	return lines
}

// others lists what was not right: "1 not in key, 2 without bass and 1 extra note".
func (l *Language) others(s match.Score) string { return l.among(l.faults(s)) }

// among lists parts: "one, two and three".
func (l *Language) among(parts []string) string {
	if last := len(parts) - 1; last > 0 {
		return strings.Join(parts[:last], ", ") + l.summary.and + parts[last]
	}
	return strings.Join(parts, "")
}

func (l *Language) faults(s match.Score) (parts []string) {
	m := &l.summary
	for _, c := range []struct {
		n       int
		message counted
	}{
		{s.InScale, m.inScale}, {s.OutOfScale, m.outOfScale}, {s.Octave, m.octave}, {s.Missing, m.missing},
		{s.Extra, m.extra}, {s.Unsure, m.unsure}, {s.Strummed, m.strummed},
	} {
		if c.n > 0 {
			parts = append(parts, c.message.of(c.n))
		}
	}
	return parts
}

// CutOff says that the end of the sound cut turns off.
func (l *Language) CutOff(first, last int) string {
	if first == last {
		return fill(l.summary.cutOff, "turn", strconv.Itoa(first))
	}
	return fill(l.summary.cutOffTurns, "first", strconv.Itoa(first), "last", strconv.Itoa(last))
}
