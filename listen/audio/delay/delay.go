// Package delay finds how long a sound takes from being sent out to being
// heard: clicks are played and looked for in what the microphone hears.
package delay

import (
	"fmt"
	"math"
	"slices"
)

const (
	clicks       = 12
	gapSeconds   = 0.6   // between them, about
	clickSeconds = 0.010 // of each: a sweep of 1 to 6 kHz, which small loudspeakers and microphones all pass
	fromHz       = 1000.0
	toHz         = 6000.0
	loudest      = 0.5 // of full scale; the first are quieter

	lookBack  = 0.020 // seconds before a click's place in which it is looked for
	lookAhead = 0.450 // and after it

	// A click is heard where it stands out of all else in its stretch by this
	// factor: noise alone reaches 4.5 of its own RMS in twenty thousand
	// samples, once in some ten stretches.
	standsOut = 6.0
	least     = 7 // of the clicks that must agree
)

// Result is a delay that was found.
type Result struct {
	MS     float64 // the median, in ms
	Spread float64 // of those that agree, from the first to the last, in ms
	Heard  int     // how many agree
	Of     int     // how many there were
}

// Track returns what is played, at rate samples a second, full scale being 1:
// it begins quiet and rises. starts are the samples at which its clicks begin.
func Track(rate int) (sound []float32, starts []int64) {
	c := click(rate)
	sound = make([]float32, int(gapSeconds*float64(rate)*clicks)+rate)
	for i := range clicks {
		// Not evenly, so that no click is taken for the next.
		at := int64((gapSeconds*float64(i) + 0.02*float64(i*i%5)) * float64(rate))
		starts = append(starts, at)
		amp := float32(loudest * math.Min(1, 0.2+0.2*float64(i)))
		for k, v := range c {
			sound[at+int64(k)] = amp * v
		}
	}
	return sound, starts
}

// click is a sweep with soft ends.
func click(rate int) []float32 {
	n := int(clickSeconds * float64(rate))
	c := make([]float32, n)
	for i := range c {
		t := float64(i) / float64(rate)
		phase := 2 * math.Pi * (fromHz*t + (toHz-fromHz)*t*t/(2*clickSeconds))
		w := math.Sin(math.Pi * (float64(i) + 0.5) / float64(n))
		c[i] = float32(w * w * math.Sin(phase))
	}
	return c
}

// Find looks for the track's clicks in what was heard. places are where each
// of them would begin in heard, in samples, if there were no delay. The error
// says why no delay can be told, and what to do.
func Find(heard []float32, rate int, places []float64) (Result, error) {
	c := click(rate)
	var found []float64
	for _, p := range places {
		from := int(math.Round(p - lookBack*float64(rate)))
		to := int(math.Round(p+lookAhead*float64(rate))) + len(c)
		if from < 0 || to > len(heard) {
			continue
		}
		if at, ok := find(heard[from:to], c); ok {
			found = append(found, 1000*(float64(from+at)-p)/float64(rate))
		}
	}
	return agree(found, len(places), "click")
}

// find is where in x the click stands out most.
func find(x, c []float32) (at int, ok bool) {
	var sum, top float64
	n := len(x) - len(c)
	for i := range n {
		var dot float64
		for k, v := range c {
			dot += float64(x[i+k]) * float64(v)
		}
		sum += dot * dot
		if a := math.Abs(dot); a > top {
			top, at = a, i
		}
	}
	return at, top > 0 && top > standsOut*math.Sqrt(sum/float64(n))
}

// agreeMS is how far from the median a single find may lie. A sound system
// that keeps its delay keeps it to a fraction of a millisecond.
const agreeMS = 2.0

// agree is the median of what was found, in ms, without what lies far from it.
func agree(found []float64, of int, what string) (Result, error) {
	if len(found) < min(least, of) || len(found) == 0 {
		return Result{}, fmt.Errorf("only %d of %d %ss were heard; make it louder, bring the microphone nearer to the loudspeaker, and keep quiet meanwhile", len(found), of, what)
	}
	return middle(found, of, agreeMS, what)
}

func middle(found []float64, of int, within float64, what string) (Result, error) {
	found = slices.Clone(found)
	slices.Sort(found)
	m := median(found)
	kept := slices.DeleteFunc(slices.Clone(found), func(v float64) bool { return math.Abs(v-m) > within })
	if len(kept) < min(least, of) || 2*len(kept) <= of {
		return Result{}, fmt.Errorf("the %ss came back %.0f to %.0f ms after they were sent, so no delay can be told; close what else uses the sound, and try again", what, found[0], found[len(found)-1])
	}
	return Result{MS: median(kept), Spread: kept[len(kept)-1] - kept[0], Heard: len(kept), Of: of}, nil
}

// median of sorted values, one or more.
func median(v []float64) float64 { return (v[(len(v)-1)/2] + v[len(v)/2]) / 2 }

const (
	// People pluck within some 30 ms of a beat they know (from memory).
	togetherMS = 80.0
	nearMS     = 350.0 // of its beat a note belongs to
)

// Together is the delay of player and devices together, from the samples at
// which notes were heard and those at which the beats were sent out.
func Together(notes []int64, beats []float64, rate int) (Result, error) {
	var found []float64
	for _, b := range beats {
		best := math.Inf(1)
		for _, n := range notes {
			if off := 1000 * (float64(n) - b) / float64(rate); math.Abs(off) < math.Abs(best) {
				best = off
			}
		}
		if math.Abs(best) <= nearMS {
			found = append(found, best)
		}
	}
	if 2*len(found) <= len(beats) {
		return Result{}, fmt.Errorf("only %d of %d beats had a note; pluck one string with each clap, firmly", len(found), len(beats))
	}
	slices.Sort(found)
	m := median(found)
	kept := slices.DeleteFunc(slices.Clone(found), func(v float64) bool { return math.Abs(v-m) > togetherMS })
	if 2*len(kept) <= len(beats) {
		return Result{}, fmt.Errorf("the notes came %.0f to %.0f ms after their beats; pluck with the claps, and try again", found[0], found[len(found)-1])
	}
	return Result{MS: median(kept), Spread: kept[len(kept)-1] - kept[0], Heard: len(kept), Of: len(beats)}, nil
}
