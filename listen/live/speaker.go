package live

import (
	"fmt"
	"runtime/debug"
	"sync"
	"sync/atomic"
	"time"

	"bordon/listen/audio/clock"
	"bordon/listen/audio/pulse"
	"bordon/listen/grid"
)

// shifted is a grid that lies some samples later.
type shifted struct {
	grid.Grid
	by int64
}

func (s shifted) Sample(beat float64) int64 { return s.Grid.Sample(beat) + s.by }
func (s shifted) Beat(sample int64) float64 { return s.Grid.Beat(sample - s.by) }

// speaker keeps a loudspeaker fed with the pulse.
type speaker struct {
	Loudspeaker
	rate   int
	clock  *clock.Clock
	beats  shifted // where the claps are, in samples of the output
	placed bool
	fresh  bool // what is played next is another pulse

	pulse atomic.Pointer[pulse.Pulse]
	given atomic.Int64 // samples that were handed over

	clipping sync.Mutex
	clips    []clip

	stop  chan struct{}
	ended sync.WaitGroup
	broke atomic.Pointer[PanicError]
}

// PanicError is a panic of what feeds the loudspeaker. It ends the session by
// way of Read, so that the take is kept and the terminal restored.
type PanicError struct {
	Value any
	Stack []byte
}

// Error says what the panic said.
func (p *PanicError) Error() string {
	return fmt.Sprintf("an error of the program itself, in what plays the pulse: %v", p.Value)
}

func newSpeaker(out Loudspeaker, rate int) *speaker {
	s := &speaker{Loudspeaker: out, rate: rate, clock: clock.New(rate), stop: make(chan struct{})}
	out.Steady()
	s.ended.Add(1)
	go s.feed()
	return s
}

const (
	feedEvery   = 100 * time.Millisecond
	mostPieces  = 200  // of 10 ms handed over at once: more than any buffer holds
	feedSeconds = 0.25 // that are handed over before they sound
)

// feed hands over the pulse a little ahead, silence where there is none yet.
func (s *speaker) feed() {
	defer s.ended.Done()
	defer func() {
		if p := recover(); p != nil {
			s.broke.Store(&PanicError{p, debug.Stack()})
		}
	}()
	tick := time.NewTicker(feedEvery)
	defer tick.Stop()
	buf := make([]float32, s.rate/100)
	hold := max(s.Room()-int(feedSeconds*float64(s.rate)), 0)
	for at := int64(0); ; {
		for k := 0; k < mostPieces && s.Room() > hold; k++ {
			if p := s.pulse.Load(); p != nil {
				p.Render(buf, at)
			} else {
				clear(buf)
			}
			s.mix(buf, at)
			n := s.Write(buf)
			if n == 0 {
				break
			}
			at += int64(n)
			s.given.Store(at)
		}
		select {
		case <-tick.C:
		case <-s.stop:
			return
		}
	}
}

func (s *speaker) follow() {
	s.Marks(s.clock.Observe)
	if s.clock.Lost() > 0 { // it stood still for a while: the claps come late now
		s.clock.Skip()
		s.placed = false
	}
}

// play lets the pulse sound by as many samples later than music has it.
func (s *speaker) play(cfg Config, music grid.Grid, by int64) {
	s.beats = shifted{music, by}
	if p := s.pulse.Load(); p != nil && !s.fresh {
		p.Regrid(s.beats)
		s.placed = true
		return
	}
	p, err := pulse.New(pulse.Config{Rate: s.rate, Form: cfg.Settings.Form, Grid: s.beats, CountIn: cfg.CountIn,
		Turns: cfg.Settings.Turns, Style: cfg.Style, Risen: cfg.Risen})
	if err != nil {
		return // Enter's caller has checked what it is made of
	}
	s.pulse.Store(p)
	s.placed, s.fresh = true, false
}

func (s *speaker) close() error {
	close(s.stop)
	s.ended.Wait()
	return s.Loudspeaker.Close()
}
