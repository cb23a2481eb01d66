package match

import "bordon/dsp"

// Enough of a glance to be shown. What it shows stands for a twentieth of a
// second, so it may be wrong a little more often than a verdict, and it counts
// for nothing: no verdict is found with it.
const (
	glanceBegan = 0.6 // posterior that a bass note began
	glanceShare = 0.8 // of the notes' weight that the note holds
)

// glance shows what a note seems to be, in a window where nothing stands yet.
func (m *Matcher) glance(n *dsp.Note) {
	for _, p := range m.passes {
		if n.Onset < p.lo || n.Onset >= p.hi {
			continue
		}
		i := p.at(n.Onset)
		if i < 0 {
			return
		}
		w := &p.windows[i]
		if w.closed || w.shown || m.cheapest(p, i) != nil {
			return
		}
		s := sound{at: n.Onset, pass: p, window: i, strum: n.Strum}
		s.read = w.ask.read(n, m.place(w, n.Onset), n.Strum)
		if !s.read.thumb() || s.read.began < glanceBegan || s.read.share < glanceShare {
			return
		}
		s.heard = heardNote(n, &s)
		m.show(p, i, &s, s.read.word, n.Decided)
		return
	}
}
