package page

import (
	"bordon/listen"
	"bordon/listen/grid"
)

// Again goes on with another run on the same page, beneath the turns that were
// played so far: its turn 1 is the next row. The line is the same.
func (w *Writer) Again(set listen.Settings, rate int) {
	w.Close(nil)
	w.base = len(w.page.Rows)
	w.set, w.rate = set, rate
	w.grid = grid.Fixed{Rate: rate, Tempo: set.Tempo, FirstBeat: set.FirstBeat}
	if g, err := set.Grid(rate); err == nil {
		w.grid = g
	}
	w.page.Header.Tempo = set.Tempo
}

// Await tells, where there is no pulse, which item of the line is waited for,
// by its index, in which time through it, from 1.
func (w *Writer) Await(round, item int) {
	if item < 0 || item >= len(w.set.Line.Items) {
		return
	}
	it := w.set.Line.Items[item]
	w.page.Untimed, w.page.Header.Tempo = true, 0
	w.page.CountIn, w.page.Lead, w.page.Beat = 0, false, it.Position.Beat
	w.nothingComes()
	w.next(round, round, it)
}

// nothingComes takes away what is marked as coming.
func (w *Writer) nothingComes() {
	w.page.Next = nil
	for i := range w.page.Rows {
		for j := range w.page.Rows[i].Cells {
			if c := &w.page.Rows[i].Cells[j]; c.State == Coming {
				c.State = Waiting
			}
		}
	}
}
