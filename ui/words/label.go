package words

import (
	"math"
	"strconv"

	"bordon/listen/match"
)

// labels stand on the page beside a note.
type labels struct {
	octaveUp, octaveDown, inScale, outOfScale, missing, unsure, strummed string
	early, late, onTime                                                  string // {ms}
	earlyLarge, lateLarge                                                string // {ms}: in letters for the wall
}

// Label is what the page says of a verdict's pitch; "" for a right note.
func (l *Language) Label(v match.Verdict) string {
	switch v.Pitch {
	case match.Octave:
		if v.Heard != nil && v.Heard.MIDI < v.ExpectedMIDI {
			return l.labels.octaveDown
		}
		return l.labels.octaveUp
	case match.InScale:
		return l.labels.inScale
	case match.OutOfScale:
		return l.labels.outOfScale
	case match.Missing:
		return l.labels.missing
	case match.Unsure:
		return l.labels.unsure
	case match.Strummed:
		return l.labels.strummed
	}
	return ""
}

// TimingLarge is Timing in as few letters as it takes, for those that are large.
func (l *Language) TimingLarge(v match.Verdict, rate int) string {
	large := *l
	large.labels.early, large.labels.late = l.labels.earlyLarge, l.labels.lateLarge
	return large.Timing(v, rate)
}

// Timing says when a note came, "74 ms late"; "" where that was not judged.
// rate is in samples a second.
func (l *Language) Timing(v match.Verdict, rate int) string {
	ms := strconv.Itoa(int(math.Round(math.Abs(1000 * float64(v.Offset) / float64(rate)))))
	switch v.Timing {
	case match.Early:
		return fill(l.labels.early, "ms", ms)
	case match.Late:
		return fill(l.labels.late, "ms", ms)
	case match.OnTime:
		return l.labels.onTime
	}
	return ""
}
