package main

import (
	"fmt"
	"slices"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/grid"
)

// givenGrid reads a take on its true grid, and keeps what is said inside its
// segments.
func givenGrid(t fixtures.FreeTake, x []float32, e ear) (found, error) {
	var f found
	fail := func(err error) (found, error) { return f, fmt.Errorf("judge take %q on its grid: %w", t.Name, err) }
	if len(t.Segments) == 0 {
		return f, nil
	}
	set, err := settings(t.Take, e)
	if err != nil {
		return fail(err)
	}
	if set.Followed, err = trueGrid(t, set.Form.Beats); err != nil {
		return fail(err)
	}
	s, err := listen.NewSession(set, freeRate)
	if err != nil {
		return fail(err)
	}
	for len(x) > 0 {
		n := min(len(x), 4096)
		s.Write(x[:n])
		x = x[n:]
	}
	s.Close()
	f.said(s.Check(t.Name))
	var in []stretch
	for _, seg := range t.Segments {
		in = append(in, stretch{seg.Beats[0].Time - onsetError, seg.End - onsetError})
		f.segments = append(f.segments, foundSegment{seg.Beats})
	}
	outside := func(at float64) bool { return len(within([]float64{at}, in)) == 0 }
	f.beats = slices.DeleteFunc(f.beats, func(b listen.Beat) bool { return outside(b.Time) })
	f.extras = slices.DeleteFunc(f.extras, func(n listen.Note) bool { return outside(n.Time) })
	f.chords = slices.DeleteFunc(f.chords, func(c foundChord) bool { return outside(c.time) })
	return f, nil
}

// trueGrid goes through all beats of the take, and on evenly from one segment
// to the next.
func trueGrid(t fixtures.FreeTake, perTurn int) (*grid.Followed, error) {
	var knots []grid.Knot
	for i, s := range t.Segments {
		for _, b := range s.Beats {
			knots = append(knots, grid.Knot{Beat: float64((b.Turn-1)*perTurn + b.Beat - 1), Sample: b.Time * freeRate})
		}
		end := grid.Knot{Beat: knots[len(knots)-1].Beat + 1, Sample: s.End * freeRate}
		if i+1 < len(t.Segments) {
			next := t.Segments[i+1].Beats[0]
			if float64((next.Turn-1)*perTurn+next.Beat-1) <= end.Beat || next.Time*freeRate < end.Sample+1 {
				continue
			}
		}
		knots = append(knots, end)
	}
	return grid.NewFollowed(knots, 0)
}
