package ui

import (
	"sync"
	"time"

	"bordon/listen"
	"bordon/theory"
	"bordon/ui/page"
)

// Meters is how a session stands, beside what it said.
type Meters struct {
	Heard      int64 // samples of the input stream so far
	Level      page.Level
	Cents      float64 // the guitar's offset from concert pitch
	CentsKnown bool
	Await      *Await        // what is waited for; nil with a pulse
	Following  bool          // no pulse is given
	Place      *listen.Place // that the player has reached; nil where that is not known
}

// Await is what a session without a pulse waits for.
type Await struct{ Round, Item int } // times through the line, from 1; index of the item

// Feed carries what a session says to the screen. The session's side never
// waits: it adds to a queue that the screen empties when it draws, at most fps
// times a second. No verdict is ever dropped. When a screen takes long, what
// a later event replaces is left out, so that the queue never holds more than
// a page does.
type Feed struct {
	mu     sync.Mutex
	events []listen.Event // of the last run
	before []run          // that are over
	live   *Live          // that the last run began with; nil for what Show was given
	standing
	opening func(width int) []page.Line
	kept    *kept // what Keep was told since the last update; nil for nothing
	asked   chan Command
	meters  Meters
	said    string
	ended   bool
	summary []string
	news    chan struct{} // one place: something has changed
}

// NewFeed returns an empty feed.
func NewFeed() *Feed { return &Feed{news: make(chan struct{}, 1), asked: make(chan Command, 16)} }

// compactAt is the length of the queue from which on it is compacted.
const compactAt = 256

// Add queues an event.
func (f *Feed) Add(e listen.Event) {
	f.mu.Lock()
	f.events = append(f.events, e)
	if len(f.events) >= compactAt && len(f.events)&(len(f.events)-1) == 0 {
		f.events = compact(f.events)
	}
	f.mu.Unlock()
	f.wake()
}

// Set replaces the meters.
func (f *Feed) Set(m Meters) {
	f.mu.Lock()
	f.meters = m
	f.mu.Unlock()
	f.wake()
}

// Say lets a sentence stand under the page until another takes its place; ""
// takes it away.
func (f *Feed) Say(sentence string) {
	f.mu.Lock()
	f.said = sentence
	f.mu.Unlock()
	f.wake()
}

// End tells that the session is over, and what there is to say at its end.
func (f *Feed) End(summary []string) {
	f.mu.Lock()
	f.ended, f.summary = true, summary
	f.mu.Unlock()
	f.wake()
}

func (f *Feed) wake() {
	select {
	case f.news <- struct{}{}:
	default:
	}
}

// run is one session of several on the same screen.
type run struct {
	live   *Live
	events []listen.Event
	kept   *kept
}

// standing is a page that has stopped, and what is said there.
type standing struct {
	stands bool
	said   []string
}

// Begin tells that another session begins; its events follow. The page is
// another, or, where live.Continue says so, goes on.
func (f *Feed) Begin(live Live) {
	f.mu.Lock()
	f.before = append(f.before, run{f.live, f.events, f.kept})
	f.live, f.events, f.kept, f.standing = &live, nil, nil, standing{}
	f.meters.Heard, f.meters.Await, f.meters.Place = 0, nil, nil // of the session before
	f.mu.Unlock()
	f.wake()
}

// Stand tells that the page has stopped, and what is to be said there.
func (f *Feed) Stand(said []string) {
	f.mu.Lock()
	f.standing = standing{true, said}
	f.mu.Unlock()
	f.wake()
}

// Open shows what is drawn in place of the page, nil the page again.
func (f *Feed) Open(draw func(width int) []page.Line) {
	f.mu.Lock()
	f.opening = draw
	f.mu.Unlock()
	f.wake()
}

// Commands gives what the player asks for. What comes faster than it is taken
// is dropped.
func (f *Feed) Commands() <-chan Command { return f.asked }

// ask passes a command on; it never waits.
func (f *Feed) ask(c Command) {
	select {
	case f.asked <- c:
	default:
	}
}

// update is all that has come since the last one.
type update struct {
	runs    []run // in order; the last one goes on
	stand   standing
	opening func(width int) []page.Line
	meters  Meters
	said    string
	ended   bool
	summary []string
}

func (f *Feed) take() update {
	f.mu.Lock()
	defer f.mu.Unlock()
	u := update{append(f.before, run{f.live, f.events, f.kept}), f.standing, f.opening, f.meters, f.said, f.ended, f.summary}
	f.before, f.live, f.events, f.kept = nil, nil, nil, nil
	return u
}

// frame is the least time between two drawings.
const frame = time.Second / fps

// wait waits for news and a frame more, and takes what has come by then.
func (f *Feed) wait() update {
	<-f.news
	time.Sleep(frame)
	return f.take()
}

// place of a verdict on the page.
type place struct {
	turn     int
	position theory.Position
}

// compact leaves out provisional verdicts that a later one for the same note
// replaces and scores that a later score replaces, and adds up gaps.
func compact(events []listen.Event) []listen.Event {
	last := map[place]int{}
	lastScore := -1
	for i, e := range events {
		switch e.Kind {
		case listen.Provisional, listen.Final:
			last[place{e.Verdict.Turn, e.Verdict.Item.Position}] = i
		case listen.TurnScore:
			lastScore = i
		}
	}
	var kept []listen.Event
	gap := -1
	for i, e := range events {
		switch e.Kind {
		case listen.Provisional:
			if last[place{e.Verdict.Turn, e.Verdict.Item.Position}] != i {
				continue
			}
		case listen.TurnScore:
			if i != lastScore {
				continue
			}
		case listen.GapFound:
			if gap >= 0 {
				kept[gap].Gap.Lost += e.Gap.Lost
				continue
			}
			gap = len(kept)
		}
		kept = append(kept, e)
	}
	return kept
}
