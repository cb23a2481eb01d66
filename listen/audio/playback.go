//go:build !nomic

package audio

import (
	"context"
	"fmt"
	"math"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gordonklaus/portaudio"
)

// fadeIn is how long playback takes to come to full level: headphones are
// close to the ear, and nobody knows how loud they are set (WHO-ITU H.870 says
// how loud is too loud).
const fadeIn = 2 * time.Second

// playBuffer is how much sound a Player holds beyond what the system does.
const playBuffer = 2 * time.Second

// playFrames is the size of a block in samples. What is played is handed over
// ahead of time, so long blocks delay nothing, and each block wakes the
// program up.
const playFrames = 1024

// Player is an open loudspeaker. Write and Drain are for one goroutine.
type Player struct {
	s    *session
	dev  Device
	rate int

	// The callback's.
	channels int
	fade     int64 // samples over which the level rises
	ring     *ring
	mono     []float32
	played   atomic.Int64
	starved  atomic.Int64
	calls    atomic.Int64
	marks    marks
	frames   int64       // that went out, silence too
	consumed int64       // that came from the ring
	steady   atomic.Bool // the ring's samples have their places
	panicked atomic.Pointer[string]

	written int64         // samples since the load was looked at; Write's
	load    atomic.Uint64 // bits of a float64

	closed   atomic.Bool
	closeOne func() error
}

// OpenPlayback opens an output at rate samples a second, chosen as in Options,
// and starts it: silence until the first Write. ctx is for opening only. An
// error means that there is nothing to hear, no more.
func OpenPlayback(ctx context.Context, rate int, device string) (*Player, error) {
	if rate < 1 {
		return nil, fmt.Errorf("cannot play at %d samples a second", rate)
	}
	s := &session{timeout: defaultTimeout}
	p := newPlayer(rate, 1)
	p.s, p.closeOne = s, sync.OnceValue(s.close)
	if err := p.open(ctx, device); err != nil {
		p.Close()
		return nil, err
	}
	return p, nil
}

func newPlayer(rate, channels int) *Player {
	return &Player{rate: rate, channels: channels, fade: int64(fadeIn.Seconds() * float64(rate)),
		ring: newRing(int(playBuffer.Seconds() * float64(rate))), mono: make([]float32, playFrames)}
}

func (p *Player) open(ctx context.Context, device string) error {
	if err := p.s.open(ctx); err != nil {
		return err
	}
	devs, infos, err := p.s.devices(ctx)
	if err != nil {
		return err
	}
	i, err := choose(devs, device, output)
	if err != nil {
		return err
	}
	p.dev = devs[i]
	p.channels = min(2, p.dev.Outputs)
	return p.s.start(ctx, fmt.Sprintf("the loudspeaker %q", p.dev.Name), portaudio.StreamParameters{
		Output:          portaudio.StreamDeviceParameters{Device: infos[i], Channels: p.channels, Latency: defaultLatency},
		SampleRate:      float64(p.rate),
		FramesPerBuffer: playFrames,
	}, p.callback)
}

// callback runs on PortAudio's thread: it copies, scales and returns.
func (p *Player) callback(out []float32) {
	defer keepPanic(&p.panicked)
	defer func() {
		p.marks.put(p.frames)
		p.calls.Add(1)
	}()
	for len(out) > 0 {
		frames := min(len(out)/p.channels, len(p.mono))
		if frames == 0 {
			return
		}
		p.fill(out[:frames*p.channels], p.mono[:frames])
		out = out[frames*p.channels:]
	}
}

// fill writes the next samples to every channel of out, silence where there
// are none; mono has room for one channel.
func (p *Player) fill(out, mono []float32) {
	if p.steady.Load() {
		p.skip(mono)
	}
	n, _ := p.ring.get(mono)
	p.frames += int64(len(mono))
	p.consumed += int64(n)
	played := p.played.Load()
	if played > 0 {
		p.starved.Add(int64(len(mono) - n))
	}
	for i := range mono {
		v := float32(0)
		if i < n {
			v = limit(mono[i]) * level(played+int64(i), p.fade)
		}
		for c := range p.channels {
			out[i*p.channels+c] = v
		}
	}
	p.played.Store(played + int64(n))
}

// skip drops what came too late for its place; mono is for it to use.
func (p *Player) skip(mono []float32) {
	for late := p.frames - p.consumed; late > 0; late = p.frames - p.consumed {
		n, _ := p.ring.get(mono[:min(late, int64(len(mono)))])
		if n == 0 {
			return
		}
		p.consumed += int64(n)
	}
}

// level is the gain of sample at: from 0 to 1 over fade samples, by a squared
// sine, which has no corners.
func level(at, fade int64) float32 {
	if at >= fade {
		return 1
	}
	s := math.Sin(math.Pi / 2 * float64(at) / float64(fade))
	return float32(s * s)
}

// limit keeps a sample within full scale; what is no number becomes silence.
func limit(v float32) float32 {
	if v != v {
		return 0
	}
	return min(max(v, -1), 1)
}

// Rate returns the samples a second.
func (p *Player) Rate() int { return p.rate }

// Device returns the device that was opened.
func (p *Player) Device() Device { return p.dev }

// Room returns how many samples Write would take now.
func (p *Player) Room() int { return p.ring.free() }

// Played returns how many samples went out so far.
func (p *Player) Played() int64 { return p.played.Load() }

// Starved returns how many samples of silence went out for want of others
// after the first sound: between Writes that came late, and after the last.
func (p *Player) Starved() int64 { return p.starved.Load() }

// Steady gives every sample that is written its place from the start of the
// stream on: the first is frame 0. What comes too late for its place is not
// heard, and what follows is in time. Call it before the first Write.
func (p *Player) Steady() { p.steady.Store(true) }

// Marks calls report, in order, with how many frames had been asked for by
// some moment, as Capture's Marks does. It is for one goroutine.
func (p *Player) Marks(report func(frames int64, at time.Duration)) { p.marks.each(report) }

// Write hands over mono samples, full scale being -1 to 1, beyond which they
// are clamped. It never waits: it takes what there is room for and returns how
// many that were. The first two seconds of sound rise from silence.
func (p *Player) Write(samples []float32) int {
	if p.closed.Load() {
		return 0
	}
	n := p.ring.put(samples)
	if p.written += int64(n); p.written >= int64(p.rate)/watchesASecond && p.s != nil {
		p.written = 0
		p.s.watch(&p.load)
	}
	return n
}

// Load is the most of the time there is that the callback took, as a share;
// above 1 there were holes in what was heard.
func (p *Player) Load() float64 { return math.Float64frombits(p.load.Load()) }

// Drain waits until everything written was handed to the system, or ctx ends.
// If the loudspeaker is gone meanwhile the error is ErrStalled.
func (p *Player) Drain(ctx context.Context) error {
	tick := time.NewTicker(poll)
	defer tick.Stop()
	idle, seen := time.Duration(0), int64(-1)
	for p.ring.filled() > 0 {
		if s := p.panicked.Load(); s != nil {
			return fmt.Errorf("playing through %q failed inside: %s", p.dev.Name, *s)
		}
		if p.closed.Load() {
			return ErrClosed
		}
		if calls := p.calls.Load(); calls != seen {
			seen, idle = calls, 0
		} else if idle += poll; idle > firstStall*defaultStall {
			return fmt.Errorf("the loudspeaker %q is gone: %w", p.dev.Name, ErrStalled)
		}
		select {
		case <-tick.C:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return nil
}

// Close stops at once and gives the loudspeaker back. A second Close returns
// what the first did.
func (p *Player) Close() error {
	p.closed.Store(true)
	return p.closeOne()
}
