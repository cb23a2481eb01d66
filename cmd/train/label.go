package main

import (
	"math"
	"slices"

	"bordon/dsp"
	"bordon/dsp/pluck"
)

const (
	hit      = 0.0125 // seconds: a note began here
	near     = 0.025  // too close to call
	together = 0.045  // strings within this are one stroke
)

// struck is one stroke: the strings that were plucked together.
type struck struct {
	from, to float64
	bass     []stringOn
	all      int
	strum    bool
}

type stringOn struct {
	at   float64
	midi int
}

// strokes groups the plucks of a scene. Four strings or more with at least
// two of the bass in one sweep, none of them a note of the thumb's, are a strum;
// others are thumb and fingers.
func strokes(s *scene) []struck {
	var out []struck
	for _, e := range s.events {
		if e.Kind != pluck.Pluck {
			continue
		}
		if n := len(out); n == 0 || e.At-out[n-1].to > together/2 || e.At-out[n-1].from > 0.09 {
			out = append(out, struck{from: e.At})
		}
		st := &out[len(out)-1]
		st.to = e.At
		st.all++
		if e.String >= 4 {
			st.bass = append(st.bass, stringOn{e.At, s.midi(e)})
		}
	}
	for i := range out {
		st := &out[i]
		k, _ := slices.BinarySearch(s.thumbs, st.from-0.001)
		thumb := k < len(s.thumbs) && s.thumbs[k] <= st.to+0.001
		st.strum = st.all >= 4 && len(st.bass) >= 2 && !thumb
	}
	return out
}

// label says what was true at t0. It reports false where nobody could
// tell.
func label(ex *example, t0 float64, sts []struck, s *scene) bool {
	ex.class, ex.strum, ex.late, ex.sounding, ex.known, ex.weight = 0, false, 0, 0, true, 1
	best := math.Inf(1)
	for _, st := range sts {
		if st.strum {
			if t0 > st.from-hit && t0 < st.to+hit {
				ex.strum = true
			}
			continue
		}
		for _, b := range st.bass {
			d := math.Abs(b.at - t0)
			switch {
			case d <= hit && d < best && b.midi >= dsp.LowestMIDI && b.midi <= dsp.HighestMIDI:
				best = d
				ex.class = int8(1 + b.midi - dsp.LowestMIDI)
				ex.late = float32((b.at - t0) / dsp.LateUnit)
			case d > hit && d <= near && best > hit:
				best = near
			}
		}
	}
	if best == near {
		return false
	}
	for _, e := range s.events {
		if e.Kind != pluck.Pluck {
			continue
		}
		d := e.At - t0
		m := s.midi(e) - dsp.LowestMIDI
		if d > -0.02 && d < 0.05 && m >= 0 && m < dsp.Pitches {
			ex.sounding |= 1 << m
		}
		if d > 0.04 && d < 0.08 || d > -0.06 && d < -0.015 {
			// A pluck at the edge of the window is neither here nor there.
			ex.known = false
		}
	}
	return true
}
