package match

// A turn is strummed where no thumb note answered any beat of the line and
// strums were heard in its stretch elsewhere than at the landing. Until that
// is known its verdicts are held, and shown as provisional.

const (
	// chance is how many beats of a strummed turn may seem to be answered by
	// the lowest string of a strum, rightly or wrongly. More are a line played
	// under chords.
	chance = 1
	// doubtedStrums is how many strums a turn has at least whose one wrong
	// note is taken for a strum's too.
	doubtedStrums = 2
)

// weigh releases a pass when s shows that it has a thumb line: a thumb note
// that is right, or wrong where nothing was strummed before, or the second
// wrong one.
func (m *Matcher) weigh(p *pass, s *sound, decided int64) {
	if p.settled || !s.read.thumb() {
		return
	}
	if s.read.word == Right || p.strums == 0 || p.doubted >= 0 && p.doubted != s.window {
		m.release(p, decided)
		return
	}
	p.doubted = s.window
}

// settle ends the wait at the end of the stretch.
func (m *Matcher) settle(p *pass, decided int64) {
	right, wrong := 0, 0
	for i := range p.windows {
		switch w := &p.windows[i]; {
		case w.ask.landing && w.heard.Strum, !w.verdict.Pitch.Sworn():
		case w.verdict.Pitch == Right:
			right++
		default:
			wrong++
		}
	}
	if p.strums == 0 || right > chance || wrong > 0 && p.strums < doubtedStrums {
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
