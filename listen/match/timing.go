package match

// Timing is the verdict on when a note was played; empty where none is given.
type Timing string

// The timing words of a verdict.
const (
	Early  Timing = "early"
	OnTime Timing = "on-time"
	Late   Timing = "late"
)

// Tolerance is how strictly timing is judged.
type Tolerance string

// The tolerances.
const (
	Learning   Tolerance = "learning"   // the smaller of 60 ms and 15 % of a beat
	Performing Tolerance = "performing" // the smaller of 30 ms and 8 %
)

// Samples is the largest offset that is on time, in samples at rate, where a
// beat is beat samples long. It is 0 for a Tolerance that is neither.
func (t Tolerance) Samples(rate int, beat float64) float64 {
	switch t {
	case Learning:
		return min(0.060*float64(rate), 0.15*beat)
	case Performing:
		return min(0.030*float64(rate), 0.08*beat)
	}
	return 0
}

// timingOf judges an offset in whole samples against a tolerance in samples,
// which is not rounded: an offset of exactly the tolerance is on time.
func timingOf(offset int64, tolerance float64) Timing {
	switch {
	case float64(offset) < -tolerance:
		return Early
	case float64(offset) > tolerance:
		return Late
	}
	return OnTime
}
