package match

// A turn is strummed where no thumb note answered any beat of the line and
// strums were heard in its stretch elsewhere than at the landing. Until that
// is known its verdicts are held, and shown as provisional.

const (
	// chance is how many beats of a strummed turn may seem to be answered
	// rightly by the lowest string of a strum. More are a line played under
	// chords.
	chance = 1
	// doubtedStrums is how many strums a turn has at least whose wrong note is
	// taken for a strum's too, though it is foreign to the chord.
	doubtedStrums = 2
	// doubtedNote is how likely a note that could not be sworn to, and is foreign
	// to the chord, is at least to be the thumb's beside a right one.
	doubtedNote = 0.2
	// hardlyNote is how likely a right note among several strums is at least to be
	// the thumb's: a finger's shakes the body, which is taken for what was asked
	// for. Of 59 strummed turns it has one more told; no played one was lost.
	hardlyNote = 0.1
	// A right note among strums, of the sounding chord, may be a strum's lowest
	// string by chance, and one that is foreign to it a string that is left open.
	// It is the thumb's if it is this likely in the ear's own eyes. In 94 strummed
	// turns no foreign note was heard so, and a right one in none where a strum had
	// come before it.
	surelyRight, surelyForeign = 0.9, 0.97
)

// weigh releases a pass when s shows that it has a thumb line: a thumb note
// that is right, or foreign to the sounding chord where nothing was strummed
// before, or the second foreign one, or one beyond doubt. A note of the chord
// shows nothing where the player strums: struck strings have a lowest one. If
// that is what was asked for, it takes another such note or one beyond doubt.
// Nor does a right landing after strums, for that may be the lowest string of its
// chord.
func (m *Matcher) weigh(p *pass, s *sound, decided int64) {
	switch {
	case p.settled || !s.read.thumb():
	case s.read.word == Right && s.read.began < rightInStrum:
	case s.read.word == Right && p.strums >= doubtedStrums && p.windows[s.window].ask.landing:
	case s.read.word == Right:
		if p.strums == 0 || !m.byChance(p, s) {
			m.release(p, decided)
		}
		p.lowest = s.heard.MIDI
	case m.strummed(p) && m.ofChord(&p.windows[s.window], s.heard.MIDI):
	case p.strums == 0, s.read.own >= surelyForeign, p.doubted >= 0 && p.doubted != s.window:
		m.release(p, decided)
	default:
		p.doubted = s.window
	}
}

// byChance reports whether a right note may be the lowest string of a strum, as
// far as p has shown.
func (m *Matcher) byChance(p *pass, s *sound) bool {
	another := p.lowest > 0 && p.lowest != s.heard.MIDI
	return !another && s.read.own < surelyRight && m.ofChord(&p.windows[s.window], s.heard.MIDI)
}

// strummed reports whether a strum was heard in the turn before p, or since.
func (m *Matcher) strummed(p *pass) bool {
	return m.strummedAt != never && p.lo-m.strummedAt <= m.turn()
}

// turn is the length of one pass of the line, in samples.
func (m *Matcher) turn() int64 { return m.gridTime(1, 0) - m.gridTime(0, 0) }

// ofChord reports whether a sounding pitch is a tone of the chord that sounds
// in a window.
func (m *Matcher) ofChord(w *window, midi int) bool {
	return w.ask.item.Chord.Contains(midi - m.cfg.Cejilla)
}

// settle ends the waits at the end of the stretch.
func (m *Matcher) settle(p *pass, decided int64) {
	if !p.settled {
		m.settleStrums(p, decided)
	}
	m.giveUp(p, decided)
}

func (m *Matcher) settleStrums(p *pass, decided int64) {
	right, landed, foreign, perhaps := 0, 0, 0, 0
	for i := range p.windows {
		switch w := &p.windows[i]; {
		case w.verdict.Pitch == Unsure && w.verdict.Heard != nil && w.heard.Confidence >= doubtedNote && !m.ofChord(w, w.heard.MIDI):
			perhaps++
		case w.ask.landing && w.heard.Strum, !w.verdict.Pitch.Sworn():
		case w.verdict.Pitch == Right && w.heard.Confidence < hardlyNote && p.strums >= doubtedStrums:
		case w.verdict.Pitch == Right && w.ask.landing && p.strums >= doubtedStrums:
			landed++
		case w.verdict.Pitch == Right:
			right++
		case !m.ofChord(w, w.heard.MIDI):
			foreign++
		}
	}
	if p.strums == 0 || right > chance || right+landed > 0 && perhaps > 0 || foreign > 0 && p.strums < doubtedStrums {
		m.release(p, decided)
		return
	}
	p.settled, p.strummed = true, true
	for i := range p.windows {
		m.judge(p, i, nil, Strummed, decided)
		p.windows[i].held, p.windows[i].doubted = false, false
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
			m.finish(w, decided)
		}
	}
}
