package listen

import (
	"math"
	"slices"

	"bordon/listen/grid"
	"bordon/theory"
)

// track is the place in the compás while it is known: beats numbered through
// all that was heard, 0 being the first beat of turn 1.
type track struct {
	form  theory.Form
	rate  int
	first float64        // number of the first beat
	knots []grid.Knot    // that are certain, the last ones; they change no more
	tail  []grid.Knot    // that follow on them and may still move
	ahead *grid.Followed // through both, and on
	tempo float64        // of the last beats, units a minute
	seen  int64          // samples heard when the beats were last found where they were
}

// Beats are the same when they lie this close, in beats, and two readings
// agree when of the beats that both have, four at least, all but one in four are.
const (
	sameBeat   = 0.2
	leastSame  = 4
	mostOther  = 0.25
	paceBeats  = 12 // that the tempo is taken of
	keptPasses = 3  // of certain beats
)

// agree reports whether two readings put the same beats of a pass in the same
// places where both have some.
func agree(a, b []grid.Knot, pass int) bool {
	both, same := 0, 0
	for _, k := range a {
		i, off, ok := nearest(b, k.Sample)
		if !ok {
			continue
		}
		both++
		if math.Abs(off) <= sameBeat && math.Mod(math.Abs(k.Beat-b[i].Beat), float64(pass)) == 0 {
			same++
		}
	}
	return both >= leastSame && float64(both-same) <= mostOther*float64(both)
}

// nearest is the beat next to a sample and how far that is from it, in beats;
// not ok where the sample lies outside of the beats.
func nearest(b []grid.Knot, sample float64) (i int, off float64, ok bool) {
	n := len(b)
	if n < 2 {
		return 0, 0, false
	}
	i, _ = slices.BinarySearchFunc(b, sample, func(k grid.Knot, at float64) int {
		switch {
		case k.Sample < at:
			return -1
		case k.Sample > at:
			return 1
		}
		return 0
	})
	if i > 0 && (i == n || sample-b[i-1].Sample < b[i].Sample-sample) {
		i--
	}
	lo := min(max(i-1, 0), n-2)
	if sample >= b[i].Sample {
		lo = min(i, n-2)
	}
	off = (sample - b[i].Sample) / (b[lo+1].Sample - b[lo].Sample)
	return i, off, math.Abs(off) <= 0.5
}

// begin takes the first beats; those but the last are certain.
func (t *track) begin(beats []grid.Knot) {
	n := len(beats) - lagBeats
	t.first = beats[0].Beat
	t.knots = append(t.knots, beats[:n]...)
	t.tail = append(t.tail[:0], beats[n:]...)
	t.look()
}

func (t *track) last() grid.Knot { return t.knots[len(t.knots)-1] }

// extend takes the beats of another look that agrees with this track.
func (t *track) extend(beats []grid.Knot, pass int) {
	last := t.last()
	i, _, ok := nearest(beats, last.Sample)
	if !ok || math.Mod(math.Abs(last.Beat-beats[i].Beat), float64(pass)) != 0 {
		return
	}
	lead := last.Beat - beats[i].Beat
	t.tail = t.tail[:0]
	for j := i + 1; j < len(beats); j++ {
		k := grid.Knot{Beat: beats[j].Beat + lead, Sample: beats[j].Sample}
		before := t.last()
		if n := len(t.tail); n > 0 {
			before = t.tail[n-1]
		}
		if k.Sample < before.Sample+(k.Beat-before.Beat) {
			break // it has moved before one that is certain
		}
		if j < len(beats)-lagBeats {
			t.knots = append(t.knots, k)
		} else {
			t.tail = append(t.tail, k)
		}
	}
	if most := keptPasses * pass; len(t.knots) > most {
		t.knots = append(t.knots[:0], t.knots[len(t.knots)-most:]...)
	}
	t.look()
}

// look foretells a turn and a half from the last beats.
func (t *track) look() {
	all := append(append([]grid.Knot(nil), t.knots...), t.tail...)
	turn := t.form.Beats
	length := func(beat float64) float64 {
		return float64(t.form.Length(int(math.Mod(beat, float64(turn))) + 1))
	}
	var paces []float64
	for i := max(len(all)-paceBeats, 1); i < len(all); i++ {
		paces = append(paces, (all[i].Sample-all[i-1].Sample)/length(all[i-1].Beat))
	}
	slices.Sort(paces)
	unit := paces[len(paces)/2]
	t.tempo = 60 * float64(t.rate) / unit
	for range turn + turn/2 + 1 {
		last := all[len(all)-1]
		all = append(all, grid.Knot{Beat: last.Beat + 1, Sample: last.Sample + max(unit*length(last.Beat), 1)})
	}
	if g, err := grid.NewFollowed(all, 0); err == nil {
		t.ahead = g
	}
}

// from are the beats from one on, numbered from there, with what is foretold.
func (t *track) from(base float64) []grid.Knot {
	var knots []grid.Knot
	for _, k := range t.ahead.Knots() {
		if k.Beat >= base {
			knots = append(knots, grid.Knot{Beat: k.Beat - base, Sample: k.Sample})
		}
	}
	return knots
}
