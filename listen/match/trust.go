package match

import (
	"math"
	"slices"
)

// A voice has pitches too, and the ear names them; but it hardly ever sings
// what the line asks for just when that is asked for, and in tune, nor several
// other notes beat for beat that agree in both. So what is heard is taken for a
// guitar where either was. Before that, and once two turns have passed without,
// what would be sworn to is shown as provisional: it is final with the next such
// note, and unsure at the end of the stretch if none comes.
//
// Of 43 beats of voices alone that had been sworn to, none was called right.

const (
	// convincing is how likely a note must be to have begun, whatever was asked
	// for, and inTune how many cents a right one may lie from its pitch. It must
	// be near its beat as well. In both it may also agree with the right note
	// before: the guitar's tuning may not be known yet, and the player lag behind.
	convincing = 0.4
	inTune     = 30
	// So many notes on beats that follow each other, of so many pitches, tell of
	// a guitar whatever was asked for, if they agree within that many cents:
	// whoever plays another line, or in another key, is to be told.
	agreeing, agreeingPitches = 4, 3
	agreeWithin               = 15
	trustTurns                = 2 // that it lasts
)

// sure is how a note was heard that leaves no doubt that it began: its offset in
// samples, and in cents.
type sure struct {
	heard bool
	off   int64
	cents float64
}

// agrees reports whether two notes lie equally far from beat and pitch.
func (a sure) agrees(b sure, off int64, cents float64) (place, tuned bool) {
	if !a.heard || !b.heard {
		return false, false
	}
	return max(a.off-b.off, b.off-a.off) <= off, math.Abs(a.cents-b.cents) <= cents
}

// witness takes in the answer of a window as evidence that a guitar is played.
// Chords are none: claps in a room are struck together too.
func (m *Matcher) witness(w *window, s *sound, word Word, decided int64) {
	if s != nil && s.read.chord {
		return
	}
	if s == nil || !word.Sworn() || s.read.own < convincing {
		m.run = m.run[:0]
		return
	}
	note := sure{true, s.at - w.centre, s.heard.Cents}
	place, tuned := note.agrees(m.lastSure, m.nearBy, agreeWithin)
	if !place || !tuned {
		m.run = m.run[:0]
	}
	m.lastSure = note
	if len(m.run) == agreeing {
		m.run = append(m.run[:0], m.run[1:]...)
	}
	m.run = append(m.run, s.heard.MIDI)
	if len(m.run) == agreeing && different(m.run) >= agreeingPitches {
		m.trust(s.at, decided)
	}
	if word != Right {
		return
	}
	place, tuned = note.agrees(m.lastRight, m.nearBy, inTune)
	m.lastRight = note
	if place = place || !m.cfg.DelayKnown || max(note.off, -note.off) <= m.nearBy; place {
		m.habit.add(s.read.heard, m.ms(note.off))
	}
	if place && (tuned || math.Abs(note.cents) <= inTune) {
		m.trust(s.at, decided)
	}
}

// different counts the values of a few.
func different(few []int) int {
	n := 0
	for i, v := range few {
		if !slices.Contains(few[:i], v) {
			n++
		}
	}
	return n
}

// trusts reports whether a guitar was heard in the turns before p, or since.
func (m *Matcher) trusts(p *pass) bool {
	return m.trustedAt != never && p.lo-m.trustedAt <= trustTurns*m.turn()
}

// trust tells that a guitar is played: what waited for that is final, unless it
// waits for something else.
func (m *Matcher) trust(onset, decided int64) {
	m.trustedAt = onset
	for _, p := range m.passes {
		for i := range p.windows {
			if w := &p.windows[i]; w.doubted {
				w.doubted = false
				m.finish(w, decided)
			}
		}
	}
}

// giveUp ends the wait for a guitar: nothing is sworn to.
func (m *Matcher) giveUp(p *pass, decided int64) {
	for i := range p.windows {
		w := &p.windows[i]
		if !w.doubted {
			continue
		}
		w.doubted = false
		v := &w.verdict
		v.Pitch, v.Timing, v.Offset, v.Cause = Unsure, "", 0, NoCause
		m.finish(w, decided)
	}
}

// waits reports whether the verdict that was found may still change.
func (w *window) waits() bool { return w.held || w.doubted }

// doubtful reports whether a verdict waits for a guitar to be heard.
func (p *pass) doubtful() bool {
	for i := range p.windows {
		if p.windows[i].doubted {
			return true
		}
	}
	return false
}

// finish makes a verdict final that needed what was heard up to now, unless it
// waits for something else.
func (m *Matcher) finish(w *window, decided int64) {
	if w.waits() {
		return
	}
	w.verdict.Provisional = false
	w.verdict.Decided = max(w.verdict.Decided, decided)
	m.say(w)
}
