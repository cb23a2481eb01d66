package grid

import (
	"math"
	"sort"
)

// Changing is a grid whose tempo changes at some beats: from each of them on
// the beats of another grid, however unequal, come faster or slower by a
// factor. It is a value that never changes; With gives another one.
type Changing struct {
	base  Grid
	steps []step // in order of beat
}

// step is where a factor begins.
type step struct {
	beat   float64
	from   float64 // the base's sample of that beat
	at     float64 // where the beat falls here, not rounded
	factor float64 // how much longer a beat is here than in the base
}

// NewChanging returns the grid base, which nothing has changed yet.
func NewChanging(base Grid) Changing { return Changing{base: base} }

// With returns the grid with beats factor times as long as the base's from a
// beat on, and whatever was changed at that beat or after it taken back. A
// factor that is not positive changes nothing.
func (c Changing) With(beat, factor float64) Changing {
	if !(factor > 0) {
		return c
	}
	n := sort.Search(len(c.steps), func(i int) bool { return c.steps[i].beat >= beat })
	kept := append([]step(nil), c.steps[:n]...)
	from := float64(c.base.Sample(beat))
	next := step{beat: beat, from: from, at: from, factor: factor}
	if n > 0 {
		last := kept[n-1]
		next.at = last.at + (from-last.from)*last.factor
	}
	return Changing{c.base, append(kept, next)}
}

// Factor is how much longer than the base's a beat is at a beat of the grid.
func (c Changing) Factor(beat float64) float64 {
	if s := c.at(beat); s != nil {
		return s.factor
	}
	return 1
}

// at is the step that holds at a beat, nil where none does.
func (c Changing) at(beat float64) *step {
	for i := len(c.steps) - 1; i >= 0; i-- {
		if c.steps[i].beat <= beat {
			return &c.steps[i]
		}
	}
	return nil
}

// Sample implements Grid.
func (c Changing) Sample(beat float64) int64 {
	s := c.at(beat)
	if s == nil {
		return c.base.Sample(beat)
	}
	return nearest(s.at + (float64(c.base.Sample(beat))-s.from)*s.factor)
}

// Beat implements Grid.
func (c Changing) Beat(sample int64) float64 {
	for i := len(c.steps) - 1; i >= 0; i-- {
		if s := &c.steps[i]; nearest(s.at) <= sample {
			return c.base.Beat(nearest(s.from + (float64(sample)-s.at)/s.factor))
		}
	}
	return c.base.Beat(sample)
}

func nearest(sample float64) int64 { return int64(math.Round(sample)) }
