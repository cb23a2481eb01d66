package grid

import (
	"fmt"
	"math"
)

// The limits of a fixed grid.
const (
	MinTempo = 20.0  // beats a minute
	MaxTempo = 400.0 // beats a minute
	MinRate  = 8000  // samples a second
	MaxRate  = 192000

	// MaxFirstBeat is how far from the first sample beat 1 may lie, in
	// seconds: a day. It keeps every sample index far inside an int64.
	MaxFirstBeat = 24 * 60 * 60.0
)

// Fixed is a grid of constant tempo. Make one with NewFixed, which checks it.
type Fixed struct {
	Rate      int     // samples a second, MinRate to MaxRate
	Tempo     float64 // beats a minute, MinTempo to MaxTempo
	FirstBeat float64 // seconds from sample 0 to beat 1 of the first turn; may be negative
}

// NewFixed returns the grid of a constant tempo in beats a minute whose first
// beat falls firstBeat seconds after sample 0, before it where negative. The
// error names the value that is wrong and says what would be right.
func NewFixed(rate int, tempo, firstBeat float64) (Fixed, error) {
	f := Fixed{rate, tempo, firstBeat}
	return f, f.Validate()
}

// Validate says what is wrong with the grid, in one sentence.
func (f Fixed) Validate() error {
	if f.Rate < MinRate || f.Rate > MaxRate {
		return fmt.Errorf("a rate of %d samples a second is not usable; it must be %d to %d", f.Rate, MinRate, MaxRate)
	}
	if !(f.Tempo >= MinTempo && f.Tempo <= MaxTempo) { // so that NaN fails too
		return fmt.Errorf("a tempo of %v beats a minute is not usable; it must be %v to %v", f.Tempo, MinTempo, MaxTempo)
	}
	if !(math.Abs(f.FirstBeat) <= MaxFirstBeat) {
		return fmt.Errorf("a first beat at %v seconds is not usable; it must be within %v seconds of the start", f.FirstBeat, MaxFirstBeat)
	}
	return nil
}

// Sample implements Grid.
func (f Fixed) Sample(beat float64) int64 {
	return int64(math.Round((f.FirstBeat + beat*60/f.Tempo) * float64(f.Rate)))
}

// Beat implements Grid.
func (f Fixed) Beat(sample int64) float64 {
	return (float64(sample)/float64(f.Rate) - f.FirstBeat) * f.Tempo / 60
}
