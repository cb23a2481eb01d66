package match

import "math"

// Score of a take, as the contract counts it.
type Score struct {
	// Judged counts every verdict but the strummed ones.
	Judged, Right, RightOnTime, Octave, InScale, OutOfScale, Missing, Unsure, Strummed, Extra int

	// Accuracy is Right / (Judged - Unsure), AccuracyOnTime the same of
	// RightOnTime. Both are nil where nothing is left to judge,
	// AccuracyOnTime also where notes were heard and none was timed because
	// the delay of the room is not known.
	Accuracy, AccuracyOnTime *float64

	Timed                int     // sounded notes with a timing
	OffsetMean, OffsetSD float64 // ms, over the Timed notes (SD with divisor Timed); 0 where there are none
}

// Count makes the score of final verdicts and extras; rate is in samples a
// second.
func Count(verdicts []Verdict, extras []Extra, rate int) Score {
	s := Score{Extra: len(extras)}
	var sum, squares float64
	for i := range verdicts {
		v := &verdicts[i]
		s.count(v)
		if v.Timing != "" {
			ms := 1000 * float64(v.Offset) / float64(rate)
			s.Timed++
			sum += ms
			squares += ms * ms
		}
	}
	if s.Timed > 0 {
		n := float64(s.Timed)
		s.OffsetMean = sum / n
		s.OffsetSD = math.Sqrt(max(0, squares/n-s.OffsetMean*s.OffsetMean))
	}
	if n := s.Judged - s.Unsure; n > 0 {
		s.Accuracy = ratio(s.Right, n)
		if heard := n - s.Missing; heard == 0 || s.Timed > 0 {
			s.AccuracyOnTime = ratio(s.RightOnTime, n)
		}
	}
	return s
}

func (s *Score) count(v *Verdict) {
	if v.Pitch == Strummed {
		s.Strummed++
		return
	}
	s.Judged++
	switch v.Pitch {
	case Right:
		s.Right++
		if v.Timing == OnTime {
			s.RightOnTime++
		}
	case Octave:
		s.Octave++
	case InScale:
		s.InScale++
	case OutOfScale:
		s.OutOfScale++
	case Missing:
		s.Missing++
	case Unsure:
		s.Unsure++
	}
}

func ratio(a, b int) *float64 {
	r := float64(a) / float64(b)
	return &r
}
