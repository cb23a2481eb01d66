package match

import "bordon/dsp"

// hear takes in one look at an onset.
func (m *Matcher) hear(n *dsp.Note) {
	if n.Glance {
		m.glance(n)
		return
	}
	s := m.soundOf(n)
	back := m.back(n.Onset)
	if n.Last && !back && n.Strum >= strumEnough && (s == nil || s.window < 0 || !s.pass.windows[s.window].ask.landing) {
		m.strummedAt = n.Onset
	}
	if s == nil || s.answer || s.last {
		return
	}
	p, a, at := s.pass, &m.between, far
	var w *window
	if s.window >= 0 {
		w = &p.windows[s.window]
		a, at = w.ask, m.place(w, s.at)
	}
	if n.Strum > s.strum {
		s.strum = n.Strum
	}
	s.read = a.read(n, at, s.strum)
	if w != nil {
		m.readEarly(w, s, n)
	}
	if back {
		s.read.sworn, s.read.fair, s.read.strum = false, false, false
	}
	s.last = n.Last
	s.heard = heardNote(n, s)
	if s.last && s.read.strum && !a.landing {
		p.strums++
	}
	if w == nil || w.closed {
		return
	}
	w.changed = max(w.changed, n.Decided)
	if at.near {
		w.sounds = max(w.sounds, a.presence(n))
	}
	if !s.read.isNote() {
		return
	}
	if s.last || s.read.clear() {
		m.weigh(p, s, n.Decided)
	}
	if s.read.clear() {
		m.answer(p, s.window, s, Right, n.Decided)
		return
	}
	m.provisional(p, s.window, n.Decided)
}

// soundOf finds the onset that a look belongs to, or enters it where it lies
// in an open stretch. An onset stays where its first look put it.
func (m *Matcher) soundOf(n *dsp.Note) *sound {
	for i := len(m.sounds) - 1; i >= 0; i-- {
		if m.sounds[i].id == n.ID {
			return &m.sounds[i]
		}
	}
	for _, p := range m.passes {
		if n.Onset < p.lo || n.Onset >= p.hi {
			continue
		}
		i := len(m.sounds)
		m.sounds = append(m.sounds, sound{})
		for ; i > 0 && m.sounds[i-1].at > n.Onset; i-- {
			m.sounds[i] = m.sounds[i-1]
		}
		m.sounds[i] = sound{id: n.ID, at: n.Onset, pass: p, window: p.at(n.Onset)}
		return &m.sounds[i]
	}
	return nil
}

func heardNote(n *dsp.Note, s *sound) Heard {
	i := s.read.pitch
	h := Heard{
		MIDI:       dsp.LowestMIDI + i,
		Cents:      n.Cents[i],
		Onset:      s.at,
		Confidence: n.Likelihood[i] * n.Began,
		Level:      n.Level,
		Strum:      s.read.chord,
	}
	switch {
	case s.read.chord:
		h.Confidence = n.Presence[i]
	case s.read.brush:
		h.Confidence = n.Presence[i] * n.Began
	}
	if !(h.Confidence >= 0) {
		h.Confidence = 0
	}
	h.Confidence = min(h.Confidence, 1)
	return h
}

// place of an onset in a window. While the delay of the room is not known,
// being off the beat says nothing against a note.
func (m *Matcher) place(w *window, onset int64) place {
	if !m.cfg.DelayKnown {
		return untimed
	}
	off := m.ms(onset - w.centre)
	p := placeAt(off)
	p.weight *= m.habit.weight(off)
	return p
}

func (m *Matcher) ms(samples int64) float64 { return 1000 * float64(samples) / float64(m.cfg.Rate) }
