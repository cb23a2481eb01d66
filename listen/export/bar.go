package export

import (
	"math"
	"slices"

	"bordon/theory"
)

// A bar is one turn. It is laid out in slots, beat by beat: a beat is cut into
// as many as its notes need, and a note lasts to the next one or to the end of
// its beat. That is how a bass line is read, and all that is known of where a
// note ends.

// maxCut is how many slots a unit is cut into at most: 64ths of a beat that is
// a quarter note.
const maxCut = 16

// extraCut is what an extra note is laid to where the line is not finer.
const extraCut = 4

// struck is a note, or the rest that stands for one, in a bar.
type struck struct {
	beat int             // from 1
	at   float64         // units after the beat
	pos  theory.Position // where the line asked; the zero one for an extra

	rest    bool
	doubt   bool // the ear would not swear to it
	midi    int  // sounding
	remarks []string
}

// slots are one beat of a bar, laid out.
type slots struct {
	beat  int
	cut   int // slots of a unit
	units int
	notes []placed // in order of slot, no two in one
}

type placed struct {
	slot int
	struck
}

// layOut lays the notes of a turn into its beats. What finds no slot of its own
// is told under the note before it.
func layOut(form theory.Form, notes []struck, spelled func(midi int) string) []slots {
	bar := make([]slots, form.Beats)
	for i := range bar {
		bar[i] = slots{beat: i + 1, cut: 1, units: form.Length(i + 1)}
	}
	for _, n := range notes { // how fine each beat must be
		if b := &bar[n.beat-1]; n.pos.Num != 0 && b.cut <= maxCut {
			// A part of a long beat may fall on a unit.
			b.cut = lcm(b.cut, n.pos.Den/gcd(n.pos.Num*b.units, n.pos.Den))
		}
	}
	for _, n := range notes {
		b := &bar[n.beat-1]
		if n.pos.Beat == 0 && b.cut <= 2 { // a triplet stays one
			b.cut = extraCut
		}
		b.cut = min(b.cut, maxCut)
	}
	for _, n := range notes {
		bar[n.beat-1].place(n, spelled)
	}
	return bar
}

// place puts a note into the slot nearest to where it was, if that is taken into
// the nearest free one.
func (b *slots) place(n struck, spelled func(midi int) string) {
	all := b.cut * b.units
	want := n.at * float64(b.cut)
	best := -1
	for slot := range all {
		taken := slices.ContainsFunc(b.notes, func(p placed) bool { return p.slot == slot })
		if !taken && (best < 0 || math.Abs(float64(slot)-want) < math.Abs(float64(best)-want)) {
			best = slot
		}
	}
	if best < 0 {
		last := &b.notes[len(b.notes)-1]
		said := slices.Clone(n.remarks)
		if !n.rest {
			said = append(said, spelled(n.midi))
		}
		last.remarks = append(last.remarks, said...)
		return
	}
	b.notes = append(b.notes, placed{best, n})
	slices.SortStableFunc(b.notes, func(a, c placed) int { return a.slot - c.slot })
}

// value is a written note value: a whole note and its parts, with a dot or
// none.
type value struct {
	slots  int
	name   string
	dotted bool
}

var names = []string{"whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th", "512th", "1024th"}

// values are the note values that so many slots are written as, one tied to the
// next, whole being the slots of a whole note. Without room for a dot a value is
// written as two.
func values(n, whole int) []value {
	var out []value
	for n > 0 {
		size, name := whole, 0
		for size > n && size%2 == 0 {
			size, name = size/2, name+1
		}
		dotted := size%2 == 0 && n >= size*3/2 && name > 0
		v := value{size, names[min(name, len(names)-1)], dotted}
		if dotted {
			v.slots = size * 3 / 2
		}
		out = append(out, v)
		n -= v.slots
	}
	return out
}

// tuplet are the slots of a unit that are played in the time of how many, the
// greatest power of two below; the same number twice where it is one.
func tuplet(cut int) (actual, normal int) {
	normal = 1
	for normal*2 <= cut {
		normal *= 2
	}
	return cut, normal
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func lcm(a, b int) int { return a / gcd(a, b) * b }
