package practice

import "math"

// Taps hears golpes, taps on the guitar's top, where nothing else is played:
// sounds that come at once and are gone at once, while a plucked string rings.
// It is for one goroutine and allocates nothing.
type Taps struct {
	frame, n int     // samples of a frame, and how many of it there were
	sum      float64 // of squares
	floor    float64 // energy of the room, slowly followed
	peak     float64 // of the sound that is being weighed
	age      int     // frames since its peak; -1 where there is none
	count    int
	quiet    int // frames since the last tap
}

// The measures of a tap, in frames of frameMS and ratios of energy.
const (
	frameMS  = 10
	riseDB   = 20.0 // above the room at least
	fallDB   = 12.0 // that a tap has fallen after fallMS
	fallMS   = 90
	leastDB  = -55.0 // full scale; what is softer is not meant
	groupMS  = 700   // taps that follow each other within this belong together
	restMS   = 60    // between two taps at least
	followMS = 1500  // in which the room's energy is followed as it rises
	settleMS = 100   // and as it falls: a string that rang is damped before one taps
)

// NewTaps returns a Taps for samples at rate.
func NewTaps(rate int) *Taps {
	return &Taps{frame: max(rate*frameMS/1000, 1), age: -1, floor: math.Pow(10, (leastDB-riseDB)/10)}
}

// Write hears samples and returns how many taps followed each other, once it is
// known that no more belong to them; 0 while there is nothing to tell.
func (t *Taps) Write(samples []float32) (taps int) {
	for _, x := range samples {
		t.sum += float64(x) * float64(x)
		if t.n++; t.n == t.frame {
			if n := t.step(t.sum / float64(t.n)); n > 0 {
				taps = n
			}
			t.sum, t.n = 0, 0
		}
	}
	return taps
}

func (t *Taps) step(energy float64) (taps int) {
	t.quiet++
	least := math.Max(t.floor*math.Pow(10, riseDB/10), math.Pow(10, leastDB/10))
	switch {
	case t.age < 0 && energy > least && t.quiet > restMS/frameMS:
		t.peak, t.age = energy, 0
	case t.age >= 0 && energy > t.peak:
		t.peak, t.age = energy, 0
	case t.age >= 0:
		if t.age++; t.age >= fallMS/frameMS {
			t.age = -1
			if energy < t.peak*math.Pow(10, -fallDB/10) {
				t.count++
			} else { // a string, or a voice
				t.count = 0
			}
			t.quiet = 0
		}
	}
	if t.age < 0 {
		within := float64(followMS)
		if energy < t.floor {
			within = settleMS
		}
		t.floor += (energy - t.floor) * frameMS / within
	}
	if t.age < 0 && t.count > 0 && t.quiet > groupMS/frameMS {
		taps, t.count = t.count, 0
	}
	return taps
}
