package sheet

import (
	"fmt"
	"slices"

	"bordon/theory"
)

// value is a written length: a whole note halved so many times, with or
// without a dot.
type value struct {
	halvings int // 0 is a whole note, 2 a quarter
	dotted   bool
}

// flags are how many a note of the value has.
func (v value) flags() int { return max(v.halvings-2, 0) }

// Lengths are counted in 256th notes, the finest that has a sign here.
const (
	wholeNote  = 256
	eighthNote = wholeNote / 8
)

// event is a note or a rest within a beat.
type event struct {
	item   int     // of the line; rest where there is none
	at     float64 // part of the beat before it, 0 to 1
	values []value // tied to each other, mostly one
}

const rest = -1

// most are how many notes a beat may have that somebody is to read.
const most = 20

// rhythm is how a beat is written. Each note lasts until the next one, or to
// the end of its beat; a beat without any is a rest.
type rhythm struct {
	events []event
	tuplet int // parts of a beat that is not halved; 0 where it is
}

// beatRhythm writes a beat of a length in eighths. items are the line's items
// on it, in order of time; from is the index of the first.
func beatRhythm(eighths int, items []theory.Item, from int) (rhythm, error) {
	parts := 1
	for _, item := range items {
		p := item.Position
		if p.Num > 0 {
			parts = lcm(parts, p.Den/gcd(p.Num, p.Den))
		}
	}
	if len(items) > most || parts > 96 { // 96 is as fine as a line divides a beat
		return rhythm{}, fmt.Errorf("beat %v has more notes than a sheet can show; divide it by fewer", items[0].Position)
	}
	type stretch struct{ item, from, to int }
	var stretches []stretch
	for i, item := range items {
		p, at := item.Position, 0
		if p.Num > 0 {
			at = p.Num * parts / p.Den
		}
		if n := len(stretches); n > 0 {
			stretches[n-1].to = at
		} else if at > 0 {
			stretches = append(stretches, stretch{rest, 0, at})
		}
		stretches = append(stretches, stretch{from + i, at, parts})
	}
	if len(stretches) == 0 {
		stretches = []stretch{{rest, 0, parts}}
	}
	// A part is eighths*eighthNote/parts long, where that comes out even.
	r := rhythm{}
	length := func(s stretch) int { return (s.to - s.from) * eighths * eighthNote / parts }
	if slices.ContainsFunc(stretches, func(s stretch) bool { return (s.to-s.from)*eighths*eighthNote%parts != 0 }) {
		// A part is written as the next longer value, so that they are more
		// than the beat holds: three in the time of two.
		part := 1
		for part*parts < eighths*eighthNote {
			part *= 2
		}
		r.tuplet = parts
		length = func(s stretch) int { return (s.to - s.from) * part }
	}
	for _, s := range stretches {
		r.events = append(r.events, event{s.item, float64(s.from) / float64(parts), values(length(s))})
	}
	return r, nil
}

// values write a length in 256ths, the longest first.
func values(length int) []value {
	var all []value
	for length > 0 {
		v, size := value{}, wholeNote
		for size > length {
			v.halvings, size = v.halvings+1, size/2
		}
		length -= size
		if size > 1 && length >= size/2 {
			v.dotted, length = true, length-size/2
		}
		all = append(all, v)
	}
	return all
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func lcm(a, b int) int { return a / gcd(a, b) * b }

// eighthsOf is the length of a form's beat in eighths. A tempo counts quarters
// where the form does not say what.
func eighthsOf(form theory.Form, beat int) int {
	if form.TempoUnit() == "eighths" {
		return form.Length(beat)
	}
	return 2 * form.Length(beat)
}
