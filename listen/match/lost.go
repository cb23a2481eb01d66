package match

// Where samples were lost nobody can tell what was played: a note that is not
// heard there is not missing, what seems to begin there is not a pluck but the
// sound that comes back, and a note whose sound breaks off is not wrong.

// span is a stretch of lost samples, to exclusive.
type span struct{ from, to int64 }

const maxLost = 64 // spans that are remembered; more are taken together

// Lose tells that the samples from from to to - 1 were lost. They are heard
// as silence: tell it before they are advanced over.
func (m *Matcher) Lose(from, to int64) {
	if to <= from {
		return
	}
	since := from
	if len(m.passes) > 0 {
		since = min(since, m.passes[0].lo)
	}
	kept := m.lost[:0]
	for _, s := range m.lost {
		if s.to+m.cfg.EarDelay >= since {
			kept = append(kept, s)
		}
	}
	if m.lost = kept; len(m.lost) == maxLost {
		m.lost[maxLost-1].to = to
		return
	}
	m.lost = append(m.lost, span{from, to})
}

// lostIn reports whether samples from from to to - 1 were lost, some of them.
func (m *Matcher) lostIn(from, to int64) bool {
	for _, s := range m.lost {
		if s.from < to && s.to > from {
			return true
		}
	}
	return false
}

// unheard reports whether the ear may have missed a note in a window.
func (m *Matcher) unheard(w *window) bool { return m.lostIn(w.lo, w.hi+m.cfg.EarDelay) }

// broken reports whether the sound broke off while an onset was listened to.
func (m *Matcher) broken(s *sound) bool { return m.lostIn(s.at, s.at+m.cfg.EarDelay) }

// back reports whether an onset may be the sound that comes back, where what
// rang on through the gap begins anew.
func (m *Matcher) back(onset int64) bool { return m.lostIn(onset-m.nearBy, onset+1) }
