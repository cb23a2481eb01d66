package main

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"bordon/theory"
)

// walkKind is how the line of a take is made up.
type walkKind int

const (
	usualWalk     walkKind = iota // the form's own
	scaleWalk                     // step by step in the key, a third now and then
	leapWalk                      // any notes of the key
	chromaticWalk                 // by semitones
	repeatWalk                    // step by step, some notes twice
	longWalk                      // eight notes by steps
	halfWalk                      // steps with notes between the beats
)

const highestBass = 54 // the fourth fret of the fourth string, as fingered

// walk makes up a line that ends on the tonic, on beat 10 or, now and then, 12.
func walk(r *rand.Rand, kind walkKind, key theory.Key, form theory.Form, tuning theory.Tuning) (theory.Line, error) {
	if kind == usualWalk {
		return theory.DefaultLine(key, form, tuning)
	}
	last := 10
	if r.Float64() < 0.2 {
		last = 12
	}
	n := 4 + r.IntN(4)
	if kind == longWalk {
		n = 8
	}
	var positions []string
	for b := last - n + 1; b <= last; b++ {
		positions = append(positions, fmt.Sprint(b))
		if kind == halfWalk && b < last && r.Float64() < 0.45 {
			positions = append(positions, fmt.Sprintf("%d+1/2", b))
		}
	}
	notes := pitches(r, kind, key, len(positions), tuning)
	items := make([]string, len(notes))
	for i, m := range notes {
		items[i] = positions[i] + ":" + key.Spell(m).String()
	}
	return theory.ParseLine(strings.Join(items, " "), key, form, tuning)
}

// above reports whether a line goes above the fourth fret of the fourth string,
// where the fingers' notes lie too.
func above(line theory.Line) bool {
	for _, item := range line.Items {
		if item.Choices[0].Note.MIDI() > highestBass {
			return true
		}
	}
	return false
}

// pitches are n notes for the thumb, the last one a tonic.
func pitches(r *rand.Rand, kind walkKind, key theory.Key, n int, tuning theory.Tuning) []int {
	low := tuning[5]
	var scale, tonics []int // in range
	for m := low; m <= highestBass; m++ {
		if key.Contains(m) || kind == chromaticWalk {
			scale = append(scale, m)
		}
		if m%12 == key.Tonic.PitchClass() {
			tonics = append(tonics, m)
		}
	}
	out := make([]int, n)
	out[n-1] = tonics[r.IntN(len(tonics))]
	at := 0
	for i, m := range scale {
		if m == out[n-1] {
			at = i
		}
	}
	for i := n - 2; i >= 0; i-- {
		step := 1
		if r.Float64() < 0.2 {
			step = 2
		}
		switch {
		case kind == leapWalk:
			step = 1 + r.IntN(6)
		case kind == chromaticWalk:
			step = 1
		case kind == repeatWalk && r.Float64() < 0.4:
			step = 0
		}
		if r.Float64() < 0.5 {
			step = -step
		}
		if at+step < 0 || at+step >= len(scale) {
			step = -step
		}
		at = min(max(at+step, 0), len(scale)-1)
		out[i] = scale[at]
	}
	return out
}
