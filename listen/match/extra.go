package match

import "math"

// An ornament lies at most ornamentMS and ornamentStep semitones from the note
// that it belongs to: a slide, a ligado, a mordent (common practice, no
// source).
const (
	ornamentMS   = 160
	ornamentStep = 2
)

// retire takes the earliest onset out and tells whether it was an extra.
func (m *Matcher) retire() {
	s := &m.sounds[0]
	if s.answer || s.read.isNote() && s.read.sworn {
		if m.isExtra(s) {
			m.events = append(m.events, Event{Kind: Added, Extra: Extra{Turn: m.turnOf(s), Heard: s.heard}})
		}
		m.sounding, m.soundedAt = s.heard.MIDI, s.at
	}
	m.sounds = append(m.sounds[:0], m.sounds[1:]...)
}

// isExtra reports whether a bass note was asked for by no beat. Notes above the
// thumb's range are the fingers', tones of the chord at the landing are its
// own. Repeats of the sounding note and ornaments pass, unless the line is
// played exactly.
func (m *Matcher) isExtra(s *sound) bool {
	if s.answer || s.pass.strummed || !m.trusts(s.pass) || s.read.began < beganExtra || m.between.reach[s.read.pitch] < 1 {
		return false
	}
	if m.cfg.Planned && !s.pass.inTurn(s.at) {
		return false
	}
	if s.window >= 0 {
		if a := s.pass.windows[s.window].ask; a.landing && a.harmless[s.read.pitch] {
			return false
		}
	}
	if m.cfg.Exact {
		return true
	}
	if s.heard.MIDI == m.sounding {
		return false
	}
	if m.sounding > 0 && m.ornaments(s, m.sounding, m.soundedAt) {
		return false
	}
	for i := 1; i < len(m.sounds); i++ {
		after := &m.sounds[i]
		if after.answer || after.read.isNote() && after.read.sworn {
			return !m.ornaments(s, after.heard.MIDI, after.at)
		}
	}
	return true
}

func (m *Matcher) ornaments(s *sound, midi int, at int64) bool {
	step, apart := s.heard.MIDI-midi, s.at-at
	return max(step, -step) <= ornamentStep && max(apart, -apart) <= m.ornament
}

// turnOf is the turn of the take that an onset falls in.
func (m *Matcher) turnOf(s *sound) int {
	beat := m.cfg.Grid.Beat(s.at - m.cfg.Delay)
	turn := int(math.Floor(beat/float64(m.cfg.Line.Form.Beats))) + 1
	return min(max(turn, s.pass.first), s.pass.last)
}
