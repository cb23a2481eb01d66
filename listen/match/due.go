package match

// What a Matcher does, it does at a definite sample of the input: closing a
// window, settling whether a turn was strummed, telling what an onset between
// the answers was, ending a pass. So nothing depends on how the stream is cut
// into chunks.

type action int

const (
	openPass action = iota
	closeWindow
	settlePass
	retireSound
	endPass
)

// step is the next thing to do.
type step struct {
	due    int64
	action action
	pass   *pass
	window int
}

// until does all that is due up to and including sample t, in order of time.
func (m *Matcher) until(t int64) {
	for s := m.nextStep(); s.due <= t; s = m.nextStep() {
		switch s.action {
		case openPass:
			m.openNext()
		case closeWindow:
			m.close(s.pass, s.window, s.due)
		case settlePass:
			m.settle(s.pass, s.due)
		case retireSound:
			m.retire()
		case endPass:
			m.end(s.pass)
		}
	}
}

// nextStep finds what is due first; of equals, the first in the order of the
// actions.
func (m *Matcher) nextStep() step {
	first := step{due: m.openDue(), action: openPass}
	offer := func(s step) {
		if s.due < first.due || s.due == first.due && s.action < first.action {
			first = s
		}
	}
	for _, p := range m.passes {
		for i := range p.windows {
			if !p.windows[i].closed {
				offer(step{m.closeDue(p, i), closeWindow, p, i})
			}
		}
		offer(step{m.settleDue(p), settlePass, p, 0})
		offer(step{m.endDue(p), endPass, p, 0})
	}
	offer(step{m.retireDue(), retireSound, nil, 0})
	return first
}

func (m *Matcher) openDue() int64 {
	if m.cfg.Turns > 0 && m.ready.first > m.cfg.Turns || m.ready.hi > m.total {
		return never
	}
	return m.ready.lo
}

// closeDue is when an open window's verdict is found: when no better note can
// displace the one heard, else when the window has passed and the ear has
// spoken on all that began in it.
func (m *Matcher) closeDue(p *pass, i int) int64 {
	w := &p.windows[i]
	end := w.hi + m.cfg.EarDelay
	best := m.cheapest(p, i)
	if best == nil || !m.answers(w, best) {
		return end
	}
	held := best.at + m.hold
	switch {
	case best.read.word == Right:
		// It is not clear: the note itself may follow. One more than nearMS before
		// its beat waits as if it had come then.
		held = max(best.at, w.centre-m.nearBy) + m.hold + m.nearBy
	case m.early(w, best):
		held = w.centre + m.hold
	}
	return min(max(held, w.changed), end)
}

// answers reports whether s may answer w once no better note can come.
func (m *Matcher) answers(w *window, s *sound) bool {
	return s.read.sworn || s.last && s.read.fair && s.read.share >= m.place(w, s.at).sure.end
}

func (m *Matcher) settleDue(p *pass) int64 {
	if p.settled && !p.doubtful() {
		return never
	}
	return p.hi + m.cfg.EarDelay
}

// retireDue is when the earliest onset's part is known: its window is closed,
// its turn was not strummed, and what sounded just after it has been heard.
func (m *Matcher) retireDue() int64 {
	if len(m.sounds) == 0 {
		return never
	}
	s := &m.sounds[0]
	if !s.pass.settled || s.window >= 0 && !s.pass.windows[s.window].closed {
		return never
	}
	return s.at + m.ornament + m.cfg.EarDelay
}

func (m *Matcher) endDue(p *pass) int64 {
	if !p.settled || p.doubtful() {
		return never
	}
	for i := range m.sounds {
		if m.sounds[i].pass == p {
			return never
		}
	}
	return p.hi + m.ornament + m.cfg.EarDelay
}

func (m *Matcher) openNext() {
	m.passes = append(m.passes, m.ready)
	m.next++
	m.ready = &pass{}
	if n := len(m.spare); n > 0 {
		m.ready, m.spare = m.spare[n-1], m.spare[:n-1]
	}
	m.open(m.ready, m.next)
}

func (m *Matcher) end(p *pass) {
	m.events = append(m.events, Event{Kind: Ended, Turn: p.first, LastTurn: p.last})
	m.beforePass = m.heardIn(p, len(p.windows)-1)
	m.forget(p)
	for i := range m.passes {
		if m.passes[i] == p {
			m.passes = append(m.passes[:i], m.passes[i+1:]...)
			return
		}
	}
}

// forget drops the onsets of a pass and keeps its memory for another.
func (m *Matcher) forget(p *pass) {
	kept := m.sounds[:0]
	for _, s := range m.sounds {
		if s.pass != p {
			kept = append(kept, s)
		}
	}
	m.sounds = kept
	m.spare = append(m.spare, p)
}
