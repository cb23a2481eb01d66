package sheet

import (
	"fmt"
	"math"

	"bordon/theory"
)

// beat is a column: one beat of a turn, with what the line asks for on it.
type beat struct {
	turn, number int // from 1; the turn is that of the row's beat 1
	rhythm       rhythm
}

// row is a stretch of the compás that stands beside each other.
type row struct {
	turn  int
	beats []beat
	at    []float64 // where each beat begins on the page
	per   []float64 // how far a beat reaches until the next
	right float64   // where the staff ends
	ends  bool      // the turn is over
}

// Widths that columns need.
const (
	leastColumn = 12.4 // of a beat: "cuatro" is counted on it
	mostStretch = 2.2  // of a beat beyond what it needs
	half        = 6.6  // from a beat to the edge beside it
)

// rowsOf lays the turns that ask for something in rows between left and the
// edge of the page. The first column is the beat that is counted from; where
// that is not 1, the beats from there on come before beat 1 of the next turn,
// as one counts 12, 1, 2.
func rowsOf(line theory.Line, where [][]theory.Place, left float64, from int) ([]row, error) {
	form, items := line.Form, line.Items
	if form.Beats < 1 || form.Beats > theory.MaxBeats {
		return nil, fmt.Errorf("a form of %d beats cannot be written; it may have 1 to %d", form.Beats, theory.MaxBeats)
	}
	shortest := math.MaxInt
	for b := 1; b <= form.Beats; b++ {
		shortest = min(shortest, max(form.Length(b), 1))
	}
	room := pageWidth - left - 2*half
	var rows []row
	for next := 0; next < len(items); {
		turn := items[next].Position.Turn
		if from > 1 && items[next].Position.Beat >= from {
			turn++
		}
		var beats []beat
		var needs []float64
		for i := range form.Beats {
			b, of := from+i, turn-1
			if b > form.Beats {
				b -= form.Beats
			}
			if b < from || from == 1 {
				of = turn
			}
			first := next
			for next < len(items) && items[next].Position.Turn == of && items[next].Position.Beat == b {
				next++
			}
			r, err := beatRhythm(eighthsOf(form, b), items[first:next], first)
			if err != nil {
				return nil, err
			}
			beats = append(beats, beat{turn, b, r})
			need := leastColumn * float64(max(form.Length(b), 1)) / float64(shortest)
			needs = append(needs, min(max(need, r.width(where)), room))
		}
		if next < len(items) && (items[next].Position.Beat < 1 || items[next].Position.Beat > form.Beats) {
			return nil, fmt.Errorf("there is no beat %v in %s", items[next].Position, form.Title)
		}
		for len(beats) > 0 {
			n := share(beats, needs, room)
			rows = append(rows, newRow(beats[:n], needs[:n], left, n == len(beats)))
			beats, needs = beats[n:], needs[n:]
		}
	}
	return rows, nil
}

// width is how long a beat must be for its strings and frets to stand beside
// each other, and beside those of the next beat.
func (r rhythm) width(where [][]theory.Place) float64 {
	widest := func(e event) float64 {
		most := placeWidth(theory.Place{String: 1})
		if e.item != rest {
			for _, p := range where[e.item] {
				most = max(most, placeWidth(p))
			}
		}
		return most
	}
	long := 0.0
	for i, e := range r.events {
		if len(r.events) == 1 {
			break // leastColumn is enough
		}
		until, next := 1.0, placeWidth(theory.Place{String: 1})
		if i+1 < len(r.events) {
			until, next = r.events[i+1].at, widest(r.events[i+1])
		}
		long = max(long, ((widest(e)+next)/2+0.8)/(until-e.at))
	}
	return long
}

// share is how many of the beats go into the next row: all, or as many as fill
// the rows that are needed evenly.
func share(beats []beat, needs []float64, room float64) int {
	rows, from := 1, 0
	for i := range beats {
		if i > from && extent(beats[from:i+1], needs[from:i+1]) > room {
			rows, from = rows+1, i
		}
	}
	if rows == 1 {
		return len(beats)
	}
	goal, taken, n := extent(beats, needs)/float64(rows), 0.0, 0
	for n < len(beats) && (n == 0 || taken+needs[n]/2 < goal && extent(beats[:n+1], needs[:n+1]) <= room) {
		taken += needs[n]
		n++
	}
	return n
}

// extent is how far it is from the first beat of a row to its last note; behind
// that the last beat needs no room.
func extent(beats []beat, needs []float64) float64 {
	last := len(beats) - 1
	events := beats[last].rhythm.events
	sum := needs[last] * events[len(events)-1].at
	for _, need := range needs[:last] {
		sum += need
	}
	return sum
}

// newRow spreads the beats of a row over the page.
func newRow(beats []beat, needs []float64, left float64, ends bool) row {
	r := row{turn: beats[0].turn, beats: beats, ends: ends}
	stretch := mostStretch
	if sum := extent(beats, needs); sum > 0 {
		stretch = min(stretch, (pageWidth-left-2*half)/sum)
	}
	x := left + half
	for _, need := range needs {
		r.at, r.per = append(r.at, x), append(r.per, need*stretch)
		x += need * stretch
	}
	r.right = left + 2*half + extent(beats, needs)*stretch
	return r
}

// x is where an event of a beat stands.
func (r row) x(beat int, e event) float64 { return r.at[beat] + r.per[beat]*e.at }
