package match

// An expected note owns half the gap to its neighbours in the line, at most
// these either side. The line is cyclic: the last note of one pass is the
// neighbour of the first of the next.
const (
	windowBeats = 0.45
	windowMS    = 350
)

// window is one expected note of one pass and what became of it.
type window struct {
	ask    *ask
	turn   int
	time   int64   // sample of the grid at which the note is expected
	centre int64   // the same on the input: time + delay
	lo, hi int64   // on the input, hi exclusive
	onTime float64 // samples: the largest offset that is on time

	sounds  float64 // how present the note asked for was near its beat, at most
	changed int64   // Decided of the last look at an onset in the window
	closed  bool    // its verdict is found; what comes later is not the answer
	held    bool    // the verdict waits: the turn may have been strummed
	doubted bool    // the verdict waits: what was heard may be no guitar
	verdict Verdict
	heard   Heard // of verdict

	shown     bool // a provisional verdict was given
	shownWord Word
	shownMIDI int
}

// pass is one time through the line: its windows, first to last, are the
// stretch in which notes belong to it.
type pass struct {
	first, last int // turns of the take
	windows     []window
	lo, hi      int64 // the stretch on the input

	strums   int  // heard in the stretch, outside the landing
	lowest   int  // MIDI of the last right note that shows a line unless it was a strum's, 0 for none
	doubted  int  // window whose wrong note may be a strum's, -1 for none
	settled  bool // it is known whether the turn was strummed
	strummed bool // it was
}

// gridTime is the sample of the grid at which item i of pass n is expected;
// i may be one before the first or one past the last.
func (m *Matcher) gridTime(n int64, i int) int64 {
	switch items := len(m.asks); {
	case i < 0:
		n, i = n-1, items-1
	case i >= items:
		n, i = n+1, 0
	}
	return m.cfg.Grid.Sample(m.beatOf(n, i))
}

func (m *Matcher) beatOf(n int64, i int) float64 {
	return float64(n)*m.passBeats + m.asks[i].beats
}

// window lays out item i of pass n.
func (m *Matcher) window(n int64, i int) window {
	w := window{ask: &m.asks[i]}
	w.turn = int(n)*m.turns + max(w.ask.item.Position.Turn, 1)
	w.time = m.gridTime(n, i)
	w.centre = w.time + m.cfg.Delay
	at := m.beatOf(n, i)
	beat := float64(m.cfg.Grid.Sample(at+0.5) - m.cfg.Grid.Sample(at-0.5))
	most := int64(min(windowBeats*beat, windowMS*float64(m.cfg.Rate)/1000))
	// The same midpoint from both sides, so that windows never overlap.
	w.lo = max((m.gridTime(n, i-1)+w.time)>>1, w.time-most) + m.cfg.Delay
	w.hi = min((w.time+m.gridTime(n, i+1))>>1, w.time+most) + m.cfg.Delay
	w.onTime = m.cfg.Tolerance.Samples(m.cfg.Rate, beat) + float64(m.cfg.OnsetError)
	return w
}

// open lays out pass n in p, whose memory is reused.
func (m *Matcher) open(p *pass, n int64) {
	*p = pass{windows: p.windows[:0], doubted: -1, settled: m.cfg.Planned}
	for i := range m.asks {
		p.windows = append(p.windows, m.window(n, i))
	}
	p.first = int(n)*m.turns + 1
	p.last = int(n)*m.turns + m.turns
	p.lo = p.windows[0].lo
	p.hi = p.windows[len(p.windows)-1].hi
}

// inTurn reports whether a sample lies between the first and the last note of
// one turn.
func (p *pass) inTurn(sample int64) bool {
	for i := 0; i < len(p.windows); {
		first := &p.windows[i]
		last := first
		for ; i < len(p.windows) && p.windows[i].turn == first.turn; i++ {
			last = &p.windows[i]
		}
		if sample >= first.lo && sample < last.hi {
			return true
		}
	}
	return false
}

// at is the index of the window that a sample lies in, -1 between windows.
func (p *pass) at(sample int64) int {
	for i := range p.windows {
		if w := &p.windows[i]; sample >= w.lo && sample < w.hi {
			return i
		}
	}
	return -1
}
