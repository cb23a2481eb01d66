package main

import (
	"errors"
	"fmt"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/grid"
)

// followed reads a take as check does that is told neither the tempo nor the
// first beat.
func followed(t fixtures.FreeTake, x []float32, e ear) (found, error) {
	var f found
	fail := func(err error) (found, error) { return f, fmt.Errorf("follow take %q: %w", t.Name, err) }
	set, err := settings(t.Take, e)
	if err != nil {
		return fail(err)
	}
	set.Tempo, set.FirstBeat = 0, 0
	hears, err := listen.NewFree(set, grid.Options{}, freeRate)
	if err != nil {
		return fail(err)
	}
	for len(x) > 0 {
		n := min(len(x), 4096)
		hears.Write(x[:n])
		x = x[n:]
	}
	s, err := hears.Judge()
	if err != nil {
		f.refused = err.Error()
		var two *listen.Undecided
		f.close = errors.As(err, &two)
		return f, nil
	}
	f.said(s.Check(t.Name))
	for _, seg := range s.Found().Segments {
		var beats []fixtures.FreeBeat
		for _, b := range seg.Beats {
			beats = append(beats, fixtures.FreeBeat{Turn: b.Turn, Beat: b.Beat, Time: b.Time})
		}
		f.segments = append(f.segments, foundSegment{beats})
	}
	return f, nil
}

// said takes over what a session says.
func (f *found) said(c listen.Check) {
	f.beats, f.extras, f.tuning = c.Beats, c.Extra, c.Tuning
	for _, v := range c.Chords {
		f.chords = append(f.chords, foundChord{v.Time, v.Beat, string(v.Verdict), string(v.Change)})
	}
}
