package match

// A turn is strummed where no thumb note answered any beat of the line and
// strums were heard in its stretch elsewhere than at the landing. Until that
// is known its verdicts are held, and shown as provisional.

// settle ends the wait at the end of the stretch.
func (m *Matcher) settle(p *pass, decided int64) {
	if p.strums == 0 {
		m.release(p, decided)
		return
	}
	p.settled, p.strummed = true, true
	for i := range p.windows {
		m.judge(p, i, nil, Strummed, decided)
		p.windows[i].held = false
		m.say(&p.windows[i])
	}
}

// release tells that the turn was not strummed, as soon as a thumb note of it
// was heard: the held verdicts are final. They needed what was heard up to now.
func (m *Matcher) release(p *pass, decided int64) {
	p.settled = true
	for i := range p.windows {
		if w := &p.windows[i]; w.held {
			w.held = false
			w.verdict.Provisional = false
			w.verdict.Decided = max(w.verdict.Decided, decided)
			m.say(w)
		}
	}
}
