package grid

import (
	"errors"
	"sort"
)

// Followed is a grid through beats that were found in a sound, each with its
// own sample. Between two of them it goes evenly, outside them on with the
// length of the beats there. Make one with NewFollowed.
type Followed struct {
	knots         []Knot
	before, after float64 // samples a beat outside the knots
}

// Knot is a beat with the input sample at which it falls.
type Knot struct {
	Beat   float64 // as Grid counts them
	Sample float64
}

// MaxBeat is the largest number of a beat, either way, that a Followed takes.
// It keeps every sample index inside an int64.
const MaxBeat = 1 << 24

// maxPace is the most samples that a beat is taken to last beyond the knots.
const maxPace = 1 << 28

// NewFollowed returns the grid through knots, two at least, whose beats and
// samples both increase strictly, by one sample a beat or more. pace is how
// many samples a beat takes before the first and after the last of them; where
// it is not positive, it is what the outermost knots have.
func NewFollowed(knots []Knot, pace float64) (*Followed, error) {
	if len(knots) < 2 {
		return nil, errors.New("a followed grid needs two beats at least")
	}
	for i := 1; i < len(knots); i++ {
		beats, samples := knots[i].Beat-knots[i-1].Beat, knots[i].Sample-knots[i-1].Sample
		if !(beats > 0 && samples >= beats) {
			return nil, errors.New("the beats of a followed grid must come one after the other")
		}
	}
	first, last := knots[0], knots[len(knots)-1]
	if !(first.Beat >= -MaxBeat && last.Beat <= MaxBeat && first.Sample >= -MaxFirstBeat*MaxRate && last.Sample <= MaxFirstBeat*MaxRate) {
		return nil, errors.New("the beats of a followed grid lie too far out")
	}
	f := &Followed{knots: append([]Knot(nil), knots...), before: pace, after: pace}
	if !(pace >= 1 && pace <= maxPace) {
		f.before, f.after = min(slope(knots[0], knots[1]), maxPace), min(slope(knots[len(knots)-2], last), maxPace)
	}
	return f, nil
}

// slope is in samples a beat.
func slope(a, b Knot) float64 { return (b.Sample - a.Sample) / (b.Beat - a.Beat) }

// Sample implements Grid.
func (f *Followed) Sample(beat float64) int64 {
	first, last := f.knots[0], f.knots[len(f.knots)-1]
	switch {
	case beat <= first.Beat:
		return nearest(first.Sample + (beat-first.Beat)*f.before)
	case beat >= last.Beat:
		return nearest(last.Sample + (beat-last.Beat)*f.after)
	}
	i := sort.Search(len(f.knots), func(i int) bool { return f.knots[i].Beat > beat })
	a, b := f.knots[i-1], f.knots[i]
	return nearest(a.Sample + (beat-a.Beat)*slope(a, b))
}

// Beat implements Grid.
func (f *Followed) Beat(sample int64) float64 {
	at, first, last := float64(sample), f.knots[0], f.knots[len(f.knots)-1]
	switch {
	case at <= first.Sample:
		return first.Beat + (at-first.Sample)/f.before
	case at >= last.Sample:
		return last.Beat + (at-last.Sample)/f.after
	}
	i := sort.Search(len(f.knots), func(i int) bool { return f.knots[i].Sample > at })
	a, b := f.knots[i-1], f.knots[i]
	return a.Beat + (at-a.Sample)/slope(a, b)
}

// Knots are the beats that the grid was made through.
func (f *Followed) Knots() []Knot { return append([]Knot(nil), f.knots...) }
