package grid

import (
	"fmt"
	"math"
)

// Uneven is a grid of constant tempo whose beats are of unequal lengths, the
// same in every turn: the five counts of seguiriyas are 2, 2, 3, 3 and 2
// eighths long. Its tempo counts the unit that the lengths are given in. Make
// one with NewUneven.
type Uneven struct {
	units Fixed     // its beats are the units
	until []float64 // units from beat 1 of the turn to each beat, and to the next turn
}

// The limits of an uneven grid.
const (
	MaxLengths = 64 // beats of a turn
	MaxLength  = 24 // units of a beat
)

// NewUneven returns the grid whose turns have beats of these lengths, in units
// of which tempo come in a minute. Beat 1 of the first turn falls firstBeat
// seconds after sample 0. The error names the value that is wrong and says
// what would be right.
func NewUneven(rate int, tempo, firstBeat float64, lengths []int) (Uneven, error) {
	units, err := NewFixed(rate, tempo, firstBeat)
	if err != nil {
		return Uneven{}, err
	}
	if len(lengths) == 0 || len(lengths) > MaxLengths {
		return Uneven{}, fmt.Errorf("a turn of %d beats is not usable; it must have 1 to %d", len(lengths), MaxLengths)
	}
	u := Uneven{units: units, until: make([]float64, len(lengths)+1)}
	for i, n := range lengths {
		if n < 1 || n > MaxLength {
			return Uneven{}, fmt.Errorf("a beat of %d units is not usable; it must have 1 to %d", n, MaxLength)
		}
		u.until[i+1] = u.until[i] + float64(n)
	}
	return u, nil
}

// New returns the grid of a constant tempo: a Fixed one where lengths is empty,
// every beat being a unit of the tempo, else an Uneven one.
func New(rate int, tempo, firstBeat float64, lengths []int) (Grid, error) {
	if len(lengths) == 0 {
		return NewFixed(rate, tempo, firstBeat)
	}
	return NewUneven(rate, tempo, firstBeat, lengths)
}

// Sample implements Grid.
func (u Uneven) Sample(beat float64) int64 {
	n := len(u.until) - 1
	whole := math.Floor(beat)
	turn := math.Floor(whole / float64(n))
	at := min(max(int(whole-turn*float64(n)), 0), n-1)
	length := u.until[at+1] - u.until[at]
	return u.units.Sample(turn*u.until[n] + u.until[at] + (beat-whole)*length)
}

// Beat implements Grid.
func (u Uneven) Beat(sample int64) float64 {
	n := len(u.until) - 1
	units := u.units.Beat(sample)
	turn := math.Floor(units / u.until[n])
	units -= turn * u.until[n]
	at := 0
	for at < n-1 && units >= u.until[at+1] {
		at++
	}
	return turn*float64(n) + float64(at) + (units-u.until[at])/(u.until[at+1]-u.until[at])
}
