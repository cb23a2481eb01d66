package page

import (
	"math"

	"bordon/listen"
)

// Follow tells, where no pulse is given, where in the compás the player is; nil
// where that is not known.
func (w *Writer) Follow(at *listen.Place) {
	w.page.CountIn, w.page.Lead, w.page.Beat, w.page.Header.Tempo = 0, false, 0, 0
	w.nothingComes()
	if at == nil {
		return
	}
	w.page.Beat, w.page.Header.Tempo = at.Beat, math.Round(at.Tempo)
	for n := at.Turn; n <= at.Turn+max(w.set.Line.Turns, 1); n++ {
		for _, it := range w.set.Line.Items {
			if w.asks(it, n) && (n > at.Turn || beatOf(it.Position) > float64(at.Beat)) {
				w.next(n, at.Turn, it)
				return
			}
		}
	}
}
