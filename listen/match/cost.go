package match

// The assignment of heard to expected notes is the one that costs least over
// the turn. Every window is the property of one expected note and windows do
// not overlap, so the cost of a turn is the sum over its windows of the cost
// of the onset chosen there, and the cheapest choice in each window is the
// cheapest assignment: found as the notes come, and unable to shift a
// neighbour when a note is missing or one too many.
//
// The cost of an onset is that of its word, plus up to 1 for its distance from
// the beat, plus up to 1 for the doubt that anything began there. So a right
// note that began for certain always wins over another word; a wrong note on
// the beat wins over something doubtful far off; and a doubtful one on the beat
// wins over a wrong one far off, for it may have been the right one.
const (
	costRight  = 0.0
	costOctave = 1.0
	costWrong  = 2.0
	costUnsure = 2.5
)

// cost of answering w with s; s must be a note.
func (w *window) cost(s *sound) float64 {
	c := costUnsure
	if s.read.sworn {
		switch s.read.word {
		case Right:
			c = costRight
		case Octave:
			c = costOctave
		default:
			c = costWrong
		}
	}
	reach, off := w.hi-w.centre, s.at-w.centre
	if off < 0 {
		reach, off = w.centre-w.lo, -off
	}
	if !s.read.chord {
		c += 1 - s.read.alone
	}
	return c + float64(off)/float64(max(reach, 1))
}

// cheapest is the onset that answers window i of p at the least cost, the
// earlier of equals; nil where nothing was heard there.
func (m *Matcher) cheapest(p *pass, i int) *sound {
	var best *sound
	var least float64
	for j := range m.sounds {
		s := &m.sounds[j]
		if s.pass != p || s.window != i || !s.read.isNote() {
			continue
		}
		c := p.windows[i].cost(s)
		if m.passing(p, i, s) {
			c += costBrushed
		}
		if best == nil || c < least {
			best, least = s, c
		}
	}
	return best
}
