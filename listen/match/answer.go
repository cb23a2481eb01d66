package match

import "bordon/dsp"

// close finds the verdict of a window when nothing more can change it.
func (m *Matcher) close(p *pass, i int, decided int64) {
	w, best := &p.windows[i], m.cheapest(p, i)
	switch {
	case best == nil && (m.unheard(w) || w.sounds >= soundsAnyway):
		m.answer(p, i, nil, Unsure, decided)
	case best == nil:
		m.answer(p, i, nil, Missing, decided)
	case best.read.word != Right && (m.broken(best) || m.passing(p, i, best) || m.drowns(w, best)):
		m.answer(p, i, best, Unsure, decided)
	case m.answers(w, best):
		best.read.sworn = true
		m.weigh(p, best, decided)
		m.answer(p, i, best, best.read.word, decided)
	default:
		m.answer(p, i, best, Unsure, decided)
	}
}

// answer closes window i of p with a word on s. While the turn may still turn
// out to be strummed, or what is heard to be no guitar, it is provisional.
func (m *Matcher) answer(p *pass, i int, s *sound, word Word, decided int64) {
	w := &p.windows[i]
	if s != nil {
		s.answer = word != Unsure
	}
	m.witness(w, s, word, decided)
	m.judge(p, i, s, word, decided)
	w.closed = true
	w.held = !p.settled
	w.doubted = word.Sworn() && !m.trusts(p)
	w.verdict.Provisional = w.waits()
	m.say(w)
}

// provisional shows what stands in an open window, where that is new.
func (m *Matcher) provisional(p *pass, i int, decided int64) {
	best := m.cheapest(p, i)
	if best == nil {
		return
	}
	word := Unsure
	if best.read.sworn {
		word = best.read.word
	}
	m.show(p, i, best, word, decided)
}

// show says a word on s that isn't final, where it is new.
func (m *Matcher) show(p *pass, i int, s *sound, word Word, decided int64) {
	w := &p.windows[i]
	if w.shown && w.shownWord == word && w.shownMIDI == s.heard.MIDI {
		return
	}
	w.shown, w.shownWord, w.shownMIDI = true, word, s.heard.MIDI
	m.judge(p, i, s, word, decided)
	w.verdict.Provisional = true
	m.say(w)
}

// judge writes the verdict of window i of p.
func (m *Matcher) judge(p *pass, i int, s *sound, word Word, decided int64) {
	w := &p.windows[i]
	against := w.ask.silent
	w.verdict = Verdict{
		Turn:    w.turn,
		Item:    w.ask.item,
		Time:    w.time,
		Pitch:   word,
		Decided: decided,
		Lost:    word == Unsure && m.unheard(w),
	}
	v := &w.verdict
	if s != nil {
		w.heard = s.heard
		v.Heard = &w.heard
		against = w.ask.answer[w.heard.MIDI-dsp.LowestMIDI]
		if word.Sworn() && m.cfg.DelayKnown {
			v.Offset = s.at - w.centre
			v.Timing = timingOf(v.Offset, w.onTime)
		}
	}
	v.Expected = w.ask.item.Choices[against.choice]
	v.ExpectedMIDI = against.midi
	if word == InScale || word == OutOfScale {
		v.Cause = causeOf(&m.cfg.Line, i, w.heard.MIDI-m.cfg.Cejilla, v.ExpectedMIDI-m.cfg.Cejilla, m.heardBefore(p, i))
	}
}

// say appends the window's verdict to the events.
func (m *Matcher) say(w *window) {
	v := w.verdict
	v.Decided = min(v.Decided, m.total)
	if v.Heard != nil {
		m.heards = append(m.heards, w.heard)
		v.Heard = &m.heards[len(m.heards)-1]
	}
	m.events = append(m.events, Event{Kind: Judged, Verdict: v})
}

// heardBefore is the fingered pitch heard on the beat of the line before, 0
// where there was none.
func (m *Matcher) heardBefore(p *pass, i int) int {
	if i > 0 {
		return m.heardIn(p, i-1)
	}
	for j := 1; j < len(m.passes); j++ {
		if m.passes[j] == p {
			before := m.passes[j-1]
			return m.heardIn(before, len(before.windows)-1)
		}
	}
	return m.beforePass
}

func (m *Matcher) heardIn(p *pass, i int) int {
	if w := &p.windows[i]; w.closed && w.verdict.Pitch.Sworn() {
		return w.heard.MIDI - m.cfg.Cejilla
	}
	return 0
}
