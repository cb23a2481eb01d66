package main

import (
	"math/rand/v2"

	"bordon/fixtures"
	"bordon/theory"
)

// slips are the mistakes that are planted, each as often as its share says.
var slips = []struct {
	what  fixtures.Mistake
	share float64
}{
	{fixtures.InScale, 0.20}, {fixtures.OutOfScale, 0.20}, {fixtures.Octave, 0.10}, {fixtures.Missing, 0.22},
	{fixtures.Early, 0.08}, {fixtures.Late, 0.08}, {fixtures.Extra, 0.05}, {fixtures.Brushed, 0.04}, {fixtures.Doubled, 0.03},
}

func slip(r *rand.Rand) fixtures.Mistake {
	x := r.Float64()
	for _, s := range slips {
		if x -= s.share; x < 0 {
			return s.what
		}
	}
	return fixtures.Missing
}

// plant plans mistakes of every kind for a share of the notes of so many
// turns. One that a place has no room for is left out.
func plant(r *rand.Rand, line theory.Line, tempo float64, turns int, share float64) []fixtures.Planted {
	var out []fixtures.Planted
	for turn := 1; turn <= turns; turn++ {
		for i, item := range line.Items {
			if r.Float64() >= share {
				continue
			}
			p := fixtures.Planted{Turn: turn, Beat: item.Position.String(), What: slip(r)}
			if fits(r, &p, line, i, tempo) {
				out = append(out, p)
			}
		}
	}
	return out
}

// fits completes a mistake for item i and reports whether it can be made there.
func fits(r *rand.Rand, p *fixtures.Planted, line theory.Line, i int, tempo float64) bool {
	want := line.Items[i].Choices[0].Note.MIDI()
	inRange := func(m int) bool { return m >= line.Tuning[5] && m <= highestBass }
	before, after := gaps(line, i)
	beat := 60 / tempo
	switch p.What {
	case fixtures.InScale, fixtures.OutOfScale:
		// Half of the foreign notes are one fret off.
		if p.What == fixtures.OutOfScale && r.Float64() < 0.5 {
			off := want + 1 - 2*r.IntN(2)
			if inRange(off) && !line.Key.Contains(off) {
				p.Note = line.Key.Spell(off).String()
			}
		}
	case fixtures.Octave:
		if !inRange(want-12) && !inRange(want+12) {
			return false
		}
	case fixtures.Early, fixtures.Late:
		gap := before
		if p.What == fixtures.Late {
			gap = after
		}
		lo, hi := toleranceOf(tempo)+0.030, min(0.45*beat, gap*beat/2)-0.015
		if hi < lo {
			return false
		}
		p.Offset = lo + min(hi-lo, 0.08)*r.Float64()
	case fixtures.Extra:
		return after >= 1 && i+1 < len(line.Items)
	case fixtures.Doubled:
		return after >= 1
	}
	return true
}

// gaps are the beats from item i back to the one before it and on to the next;
// far where there is none.
func gaps(line theory.Line, i int) (before, after float64) {
	const far = 9
	before, after = far, far
	at := func(i int) float64 { return line.Items[i].Position.Offset(line.Form.Beats) }
	if i > 0 {
		before = at(i) - at(i-1)
	}
	if i+1 < len(line.Items) {
		after = at(i+1) - at(i)
	}
	return before, after
}
