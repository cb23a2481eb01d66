// Package cue makes the sounds that tell a player something for the ear: how a
// stretch went, how a line goes, what was asked. Full scale is 1; they are
// quiet, and rise and end without a click.
package cue

import (
	"fmt"
	"math"

	"bordon/dsp/pluck"
	"bordon/listen/practice"
	"bordon/theory"
)

// A told outcome is one, two or three pips, each outcome at a height of its
// own: told apart by their number, or by how high they are.
var pips = map[practice.Outcome]struct {
	count int
	hz    float64
}{
	practice.Clean: {1, 1760}, // A6
	practice.Late:  {2, 880},  // A5
	practice.Wrong: {3, 330},  // E4
}

const (
	pipSeconds = 0.09
	gapSeconds = 0.07
	pipPeak    = 0.12
)

// Told is the sound that tells an outcome; nil where nothing was judged.
func Told(o practice.Outcome, rate int) []float32 {
	p, ok := pips[o]
	if !ok {
		return nil
	}
	every := int((pipSeconds + gapSeconds) * float64(rate))
	length := int(pipSeconds * float64(rate))
	sound := make([]float32, (p.count-1)*every+length)
	for k := range p.count {
		for i := range length {
			at := float64(i) / float64(length)
			shape := math.Sin(math.Pi * at) // no corner at either end
			s := math.Sin(2 * math.Pi * p.hz * float64(i) / float64(rate))
			// A second partial carries the low pips through small loudspeakers.
			s += 0.4 * math.Sin(4*math.Pi*p.hz*float64(i)/float64(rate))
			sound[k*every+i] = float32(pipPeak * shape * s / 1.4)
		}
	}
	return sound
}

// linePeak is how loud a line is played.
const linePeak = 0.3

// Line is a pass of the line, or what of it lies in one turn of it, 1 or more
// (0 for all), played on a guitar with a cejilla and tuned to a4 Hz. at tells
// when a position sounds, in seconds from the first sample. A beat that leaves
// the note free is not played.
func Line(line theory.Line, turn, cejilla int, a4 float64, rate int, at func(theory.Position) float64) ([]float32, error) {
	var events []pluck.Event
	end := 0.0
	for _, it := range line.Items {
		if turn > 0 && max(it.Position.Turn, 1) != turn {
			continue
		}
		for _, c := range it.Choices {
			if c.Kind != theory.ExactNote {
				continue
			}
			place, ok := line.Tuning.Place(c.Note.MIDI())
			if !ok {
				break
			}
			when := at(it.Position)
			events = append(events, pluck.Event{At: when, Kind: pluck.Pluck, String: place.String, Fret: min(place.Fret+cejilla, pluck.MaxFret), Velocity: 0.7})
			end = math.Max(end, when)
			break
		}
	}
	if len(events) == 0 {
		return nil, nil
	}
	const ring = 1.0 // seconds that the last note rings
	events = append(events, pluck.Event{At: end + ring, Kind: pluck.Damp})
	guitar := pluck.Classic()
	for s := range guitar.Strings {
		guitar.Strings[s].Open = float64(line.Tuning[s])
	}
	sound, err := pluck.Render(guitar, rate, 1, 1200*math.Log2(a4/440), events, end+ring+0.1)
	if err != nil {
		return nil, fmt.Errorf("synthesise the line: %w", err)
	}
	Level(sound, linePeak)
	return sound, nil
}

// Level makes a sound as loud as its peak is asked to be, and has it rise and
// end within 5 ms. A sound below -70 dB of full scale is left as it is.
func Level(sound []float32, peak float32) {
	top := float32(0)
	for _, v := range sound {
		top = max(top, v, -v)
	}
	if top < 3e-4 {
		return
	}
	const edge = 240 // samples: 5 ms at 48,000 a second
	for i := range sound {
		g := peak / top
		if n := min(i, len(sound)-1-i); n < edge {
			g *= float32(n) / edge
		}
		sound[i] *= g
	}
}
