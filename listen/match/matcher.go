package match

import (
	"math"

	"bordon/dsp"
)

const (
	// holdMS is how long after its onset a note that is not right may be
	// displaced by a better one in the same window, such as the right note
	// after a brushed string. It is final within 160 ms of the onset, which is
	// heard up to 5 ms late; one that may have been brushed, within that of its beat.
	holdMS = 155
	never  = math.MaxInt64
)

// sound is an onset inside a stretch, as far as it has been heard.
type sound struct {
	id     int64
	at     int64 // onset, from its first look
	pass   *pass
	window int // index in pass, -1 between windows
	read   reading
	strum  float64 // the most of its looks
	heard  Heard
	last   bool // no further look follows
	answer bool // its window's answer
}

// Matcher makes verdicts of notes. Feed it every look of the ear in order with
// Note, tell it with Advance how far the stream has been heard, and end it with
// End. What it says does not depend on when or how often Advance is called.
//
// The events that a call returns, and the Heard that their verdicts point to,
// are the Matcher's own and valid until the next call.
type Matcher struct {
	cfg       Config
	asks      []ask
	between   ask // no beat
	turns     int // of the form in one pass of the line
	passBeats float64

	hold, nearBy, ornament int64 // samples of holdMS, nearMS, ornamentMS
	brushLead, brushed     int64 // of brushLeadMS, brushedMS

	next   int64   // number of the pass to open next, from 0
	ready  *pass   // that pass, laid out
	passes []*pass // open, in order
	spare  []*pass
	sounds []sound // in the open stretches, in order of onset
	lost   []span  // in order
	total  int64   // length of the stream, never until End

	beforePass int   // fingered pitch heard on the last beat of the pass before, 0 for none
	sounding   int   // MIDI of the last bass note retired, 0 for none
	soundedAt  int64 // its onset
	strummedAt int64 // onset of the last strum that was not a landing
	trustedAt  int64 // onset of the last right note that leaves no doubt that a guitar is played

	habit     habit
	lastRight sure
	lastSure  sure
	run       []int // MIDI of the last sure notes on beats that follow each other and that agree

	events []Event
	heards []Heard // that events point to
}

// New returns a Matcher; the error names what is wrong with the configuration.
func New(cfg Config) (*Matcher, error) {
	if err := cfg.validate(); err != nil {
		return nil, err
	}
	m := &Matcher{
		cfg:       cfg,
		turns:     max(cfg.Line.Turns, 1),
		hold:      int64(holdMS * cfg.Rate / 1000),
		nearBy:    int64(nearMS * cfg.Rate / 1000),
		ornament:  int64(ornamentMS * cfg.Rate / 1000),
		brushLead: int64(brushLeadMS * cfg.Rate / 1000),
		brushed:   int64(brushedMS * cfg.Rate / 1000),
		total:     never,

		strummedAt: never,
		trustedAt:  never,
		run:        make([]int, 0, agreeing),
		events:     make([]Event, 0, 64),
		heards:     make([]Heard, 0, 64),
		sounds:     make([]sound, 0, 64),
		lost:       make([]span, 0, maxLost),
	}
	m.passBeats = float64(m.turns * cfg.Line.Form.Beats)
	m.between = newAsk(&cfg, nil)
	for i := range cfg.Line.Items {
		m.asks = append(m.asks, newAsk(&cfg, &cfg.Line.Items[i]))
	}
	m.passes = make([]*pass, 0, 8)
	m.ready = &pass{}
	m.spare = append(make([]*pass, 0, 8), &pass{windows: make([]window, 0, len(m.asks))})
	m.skipTo(0)
	return m, nil
}

// skipTo lays out the first pass whose stretch begins at or after sample.
func (m *Matcher) skipTo(sample int64) {
	beat := m.cfg.Grid.Beat(sample - m.cfg.Delay)
	m.next = max(0, int64(math.Floor(beat/m.passBeats))-1)
	for m.open(m.ready, m.next); m.ready.lo < sample; m.open(m.ready, m.next) {
		m.next++
	}
}

// Note hears one look at an onset. Looks come in order of Decided.
func (m *Matcher) Note(n *dsp.Note) []Event {
	m.begin()
	m.until(n.Decided - 1)
	m.hear(n)
	return m.events
}

// Advance says that all samples before now have been heard, and that every
// look whose Decided is at or before now has been given to Note.
func (m *Matcher) Advance(now int64) []Event {
	m.begin()
	m.until(now)
	return m.events
}

// End says that the stream is total samples long and that the ear has nothing
// more to say. Turns whose stretch does not lie wholly in the stream are cut.
func (m *Matcher) End(total int64) []Event {
	m.begin()
	m.until(total)
	m.total = total
	kept := m.passes[:0]
	for _, p := range m.passes {
		if p.hi <= total {
			kept = append(kept, p)
			continue
		}
		m.forget(p)
		m.events = append(m.events, Event{Kind: Cut, Turn: p.first, LastTurn: p.last})
	}
	m.passes = kept
	m.until(never - 1)
	return m.events
}

// LaidOut is the last turn whose windows are laid out: up to its end the grid
// must not change any more.
func (m *Matcher) LaidOut() int { return m.ready.last }

func (m *Matcher) begin() {
	m.events = m.events[:0]
	m.heards = m.heards[:0]
}
