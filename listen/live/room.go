// Package live holds a session's microphone and loudspeaker together: the
// pulse is played where the session's grid has its beats, the clocks of both
// are followed, samples that the system lost in silence are found, and a
// device that goes away is opened again when it is back.
package live

import (
	"context"
	"errors"
	"math"
	"time"

	"bordon/listen"
	"bordon/listen/audio"
	"bordon/listen/audio/clock"
	"bordon/listen/audio/pulse"
	"bordon/listen/grid"
)

// Microphone is an open input, such as an audio.Capture.
type Microphone interface {
	listen.Source
	Marks(report func(samples int64, at time.Duration))
	Close() error
}

// Loudspeaker is an open output, such as an audio.Player.
type Loudspeaker interface {
	Steady()
	Marks(report func(frames int64, at time.Duration))
	Write([]float32) int // never waits
	Room() int           // samples that Write would take
	Close() error
}

// Notice is something that happened to the devices.
type Notice int

// The notices.
const (
	Gone   Notice = iota // no more sound comes; the session waits for it
	Back                 // sound comes again
	Silent               // the pulse cannot be heard: the loudspeaker does not ask for sound
)

// Config says what a Room is made of.
type Config struct {
	// Open opens the devices, at the same rate every time. The Loudspeaker is
	// nil where nothing is to be played.
	Open func(context.Context) (Microphone, Loudspeaker, error)
	// Settings are those of the session, its first tempo and grid.
	Settings listen.Settings
	CountIn  float64 // beats
	Style    pulse.Style
	Risen    bool         // the pulse is as loud as it gets from the start: it goes on
	Rise     *pulse.Rise  // nil: the tempo stays
	Tell     func(Notice) // may be nil; called on Read's goroutine
}

// Room is a Source for listen.Run. Its methods are for Run's goroutine.
type Room struct {
	cfg  Config
	rate int
	in   Microphone
	out  *speaker // nil where nothing is played

	ears   *clock.Clock // the input's
	base   int64        // sample of the session that is sample 0 of the input
	passed int64        // samples of the session so far, lost ones included
	lost   int64        // found to be missing, to be told with the next samples
	last   time.Duration
	heard  time.Duration // of the latest report of the input

	beats  grid.Grid // the session's, on the input
	tempos []listen.TempoChange
	tempo  float64 // that the player was asked for last
	score  scored
	still  bool // no pulse is asked for
	away   bool // a device went and is not back
	quiet  bool // that nothing is asked for was told
}

// retry is how long to wait between two tries to open devices that went.
const retry = 500 * time.Millisecond

// Enter opens the devices.
func Enter(ctx context.Context, cfg Config) (*Room, error) {
	if cfg.Tell == nil {
		cfg.Tell = func(Notice) {}
	}
	r := &Room{cfg: cfg, tempo: cfg.Settings.Tempo}
	if err := r.open(ctx); err != nil {
		return nil, err
	}
	r.rate = r.in.Rate()
	var err error
	if r.beats, err = cfg.Settings.Grid(r.rate); err != nil {
		return nil, errors.Join(err, r.Close())
	}
	return r, nil
}

func (r *Room) open(ctx context.Context) error {
	in, out, err := r.cfg.Open(ctx)
	if err != nil {
		return err
	}
	r.in, r.ears = in, clock.New(in.Rate())
	if out != nil {
		r.out = newSpeaker(out, in.Rate())
	}
	return nil
}

// Rate is samples a second of the input and the output.
func (r *Room) Rate() int { return r.rate }

// Close gives the devices back.
func (r *Room) Close() error {
	var errs []error
	if r.out != nil {
		errs = append(errs, r.out.close())
		r.out = nil
	}
	if r.in != nil {
		errs = append(errs, r.in.Close())
		r.in = nil
	}
	return errors.Join(errs...)
}

// Read implements listen.Source. A device that goes away is told of and waited
// for; what was missed meanwhile is lost.
func (r *Room) Read(ctx context.Context, dst []float32) (n int, lost int64, err error) {
	for r.in == nil {
		if err := r.reopen(ctx); err != nil {
			return 0, 0, err
		}
	}
	if r.out != nil {
		if p := r.out.broke.Load(); p != nil {
			return 0, 0, p
		}
	}
	n, lost, err = r.in.Read(ctx, dst)
	if errors.Is(err, audio.ErrStalled) {
		if !r.away {
			r.away = true
			r.cfg.Tell(Gone)
		}
		r.last = r.heard
		if err := r.leave(ctx); err != nil {
			return n, lost, err
		}
		return n, lost, r.reopen(ctx)
	}
	if err != nil {
		return n, lost, err
	}
	r.follow()
	if n > 0 { // what is lost is told with the samples that follow it
		lost += r.lost
		r.lost = 0
	}
	r.passed += int64(n) + lost
	r.place()
	return n, lost, nil
}

// leave closes the devices, and waits for that until ctx ends: a sound system
// that is frozen may never do it.
func (r *Room) leave(ctx context.Context) error {
	gone := &Room{in: r.in, out: r.out}
	r.in, r.out = nil, nil
	closed := make(chan struct{})
	go func() {
		defer close(closed)
		gone.Close() // its error says what is known: they are gone
	}()
	select {
	case <-closed:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// reopen waits until the devices are back. Their first samples come after as
// many lost ones as time has passed.
func (r *Room) reopen(ctx context.Context) error {
	for {
		err := r.open(ctx)
		if err == nil {
			break
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(retry):
		}
	}
	r.base = unplaced // known with the first report
	return nil
}

// follow takes in the reports of both streams.
func (r *Room) follow() {
	r.in.Marks(func(samples int64, at time.Duration) {
		if r.base == unplaced { // the first of a stream that was opened again
			gap := int64(math.Round((at - r.last).Seconds() * float64(r.rate)))
			r.lost += max(gap-samples, 0)
			r.base = r.passed + r.lost
			r.away = false
			r.cfg.Tell(Back)
		}
		r.heard = at
		r.ears.Observe(samples, at)
	})
	if lost := r.ears.Lost(); lost > 0 {
		r.ears.Skip()
		r.lost += lost
		r.base += lost
	}
	if r.out != nil {
		r.out.follow()
	}
}

// place puts the pulse where the grid has its beats, once the clocks are known
// and the count-in comes near; and again where it was opened anew, or the
// output lost some of it.
func (r *Room) place() {
	if r.out == nil || r.out.placed || r.base == unplaced || r.still {
		return
	}
	begin := r.beats.Sample(math.Ceil(-r.cfg.CountIn))
	if r.passed < begin-int64(placeSeconds*float64(r.rate)) {
		return
	}
	if !r.ears.Known() || !r.out.clock.Known() {
		if r.passed > begin && r.passed > r.base+int64(askSeconds*float64(r.rate)) && !r.quiet {
			r.quiet = true
			r.cfg.Tell(Silent)
		}
		return
	}
	// By the next beat that can still be played: the further away, the less
	// is known.
	beat := math.Max(math.Ceil(r.beats.Beat(r.passed+int64(aheadSeconds*float64(r.rate)))), math.Ceil(-r.cfg.CountIn))
	set := r.cfg.Settings
	set.Tempos = r.tempos
	music, err := set.Grid(r.rate)
	if err != nil {
		return // Settings were checked
	}
	at := clock.Across(r.ears, r.out.clock, float64(r.beats.Sample(beat)-r.base))
	r.out.play(r.cfg, music, int64(math.Round(at))-music.Sample(beat))
}

const (
	placeSeconds = 1.0 // before the first clap the pulse is placed
	askSeconds   = 5.0 // in which a loudspeaker must have asked for sound
	aheadSeconds = 0.5 // that lie at least between what is heard and a newly placed clap
)

// Played returns where a beat of the pulse, played by the output's clock, lies
// in samples of the input, as the clocks are known now. It is false where no
// pulse is played.
func (r *Room) Played(beat float64) (sample float64, ok bool) {
	if r.out == nil || !r.out.placed || r.base == unplaced {
		return 0, false
	}
	return clock.Across(r.out.clock, r.ears, float64(r.out.beats.Sample(beat))) + float64(r.base), true
}
