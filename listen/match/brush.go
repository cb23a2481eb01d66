package match

import (
	"slices"

	"bordon/dsp"
	"bordon/theory"
)

// The thumb touches a string on its way to the one it means now and then. What it
// touched comes before the beat, and before the note itself: that may be drowned,
// and is at least heard later.
const (
	// A brushed string sounds that long before its beat at least, and the note
	// itself follows it within that time. From one string to the next a thumb takes
	// 20 to 40 ms, and it comes over two at most (common practice, no source); it
	// keeps the beat within some ms.
	brushLeadMS = 15
	brushedMS   = 80

	// What a wrong note costs more that another follows so: more than being unsure
	// of that other. It must have begun so likely, which is little, for what was
	// brushed drowns it. So much brought the wrong notes that are told as what they
	// were, in takes with a dragged thumb, from 92 % to 95 %.
	costBrushed = 1.5
	beganBeside = 0.15

	// No longer before, what was brushed may have drowned the note itself for good:
	// of some 15 open strings that were told as wrong notes though the right one
	// followed, in 24,000 right notes, none came earlier.
	drownsMS = 50

	// Beside a wrong note, how present the one asked for must be to be taken for
	// the player's, and to raise a doubt; so early, less will do. It is one of two
	// at most that are asked for: its weight tells. A note that is wrong leaves the
	// one asked for silent: of 1216 wrong notes it was present at one so much, an
	// octave, and of 1140 others at two so much as will do early. Beside its
	// octave it says nothing: they share partials.
	brushRight = 0.8
	brushEarly = 0.6
	brushDoubt = 0.5
	askedFor   = 3
)

// brushed reads a wrong note under which the one asked for sounds: what the
// thumb touched may be louder.
func (a *ask) brushed(r *reading, n *dsp.Note) { a.beneath(r, n, brushRight) }

// beneath does the same where the one asked for must be so present.
func (a *ask) beneath(r *reading, n *dsp.Note, enough float64) {
	for i, present := range n.Presence {
		switch {
		case a.favour[i] < askedFor || r.word == Octave:
		case present >= enough && r.began >= beganEnough:
			*r = reading{began: r.began, alone: r.alone, heard: r.heard,
				pitch: i, word: Right, share: 1, open: true, fair: true, sworn: true, brush: true}
			return
		case present >= brushDoubt:
			r.fair, r.sworn = false, false
		}
	}
}

// readEarly reads once more, by its last look, an onset that may have been brushed.
func (m *Matcher) readEarly(w *window, s *sound, n *dsp.Note) {
	if n.Last && m.early(w, s) && s.strum < strumEnough && s.read.word != Octave && !s.read.sworn {
		w.ask.beneath(&s.read, n, brushEarly)
	}
}

// drowns reports whether s, which was not asked for, is an open string so little
// before where the player's notes come that the thumb may have come over it, its
// own note unheard.
func (m *Matcher) drowns(w *window, s *sound) bool {
	usual, known := m.habit.place()
	lead := m.ms(w.centre-s.at) + usual
	return known && s.read.word != Right && w.ask.onTheWay[s.read.pitch] && lead >= brushLeadMS && lead <= drownsMS
}

// openBelow reports whether a fingered note is that of an open string below the
// one on which another lies.
func openBelow(t *theory.Tuning, fingered, other int) bool {
	where, ok := t.Place(other)
	return ok && slices.Contains(t[where.String:], fingered)
}

// early reports whether s sounded so long before the beat of w that it may have
// been brushed.
func (m *Matcher) early(w *window, s *sound) bool {
	return w.centre-s.at >= m.brushLead
}

// passing reports whether s, which answers window i of p otherwise than was
// asked, sounded on the way to another note there.
func (m *Matcher) passing(p *pass, i int, s *sound) bool {
	if s.read.word == Right || !m.early(&p.windows[i], s) {
		return false
	}
	for j := range m.sounds {
		o := &m.sounds[j]
		if o.pass == p && o.window == i && o.at > s.at && o.at-s.at <= m.brushed &&
			o.read.began >= beganBeside && o.read.pitch != s.read.pitch {
			return true
		}
	}
	return false
}
