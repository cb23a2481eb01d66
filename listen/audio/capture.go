//go:build !nomic

package audio

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gordonklaus/portaudio"
)

// Defaults of Options.
const (
	defaultFrames  = 512
	defaultLatency = 100 * time.Millisecond
	defaultBuffer  = 8 * time.Second
	defaultStall   = 300 * time.Millisecond
	firstStall     = 10 // times Stall, before the first samples
)

// preferredRates are tried in this order where no rate is asked for.
var preferredRates = []int{48000, 44100, 96000}

// poll is how often Read looks for samples: the callback, which must not wait
// for anyone, cannot wake it. It is far below the time that the ear takes to
// decide, and waking up is much of what a live session costs.
const poll = 20 * time.Millisecond

// watchesASecond is how often the load of a stream is looked at, which PortAudio
// smooths over some twenty blocks.
const watchesASecond = 10

// Capture is an open microphone. It serves listen.Run as its Source. Read and
// Close may be called from different goroutines, Read from one only.
type Capture struct {
	s        *session
	dev      Device
	rate     int
	channels int // 1 or 2
	stall    time.Duration

	// The callback's.
	ring      *ring // frames of all channels, interleaved
	calls     atomic.Int64
	overflows atomic.Int64
	load      atomic.Uint64 // bits of a float64; not the callback's
	marks     marks
	frameN    int64 // frames that came, lost ones too
	panicked  atomic.Pointer[string]

	// Read's.
	frames []float32 // for averaging
	timer  *time.Timer
	seen   int64         // calls, at the last look
	idle   time.Duration // without a call since
	watch  int64         // frames since the load was looked at
	looked time.Time
	err    error

	closed   atomic.Bool
	closeOne func() error
}

// OpenCapture opens a microphone and starts it. ctx is for opening only.
func OpenCapture(ctx context.Context, o Options) (*Capture, error) {
	if o.Channels < 0 || o.Channels > 2 {
		return nil, fmt.Errorf("cannot open %d channels of a microphone; 1 or 2 can be", o.Channels)
	}
	s := &session{timeout: or(o.Timeout, defaultTimeout)}
	c := &Capture{s: s, stall: or(o.Stall, defaultStall), timer: time.NewTimer(time.Hour), closeOne: sync.OnceValue(s.close)}
	if err := c.open(ctx, o); err != nil {
		c.Close()
		return nil, err
	}
	return c, nil
}

func (c *Capture) open(ctx context.Context, o Options) error {
	if err := c.s.open(ctx); err != nil {
		return err
	}
	devs, infos, err := c.s.devices(ctx)
	if err != nil {
		return err
	}
	i, err := choose(devs, o.Device, input)
	if err != nil {
		return err
	}
	c.dev = devs[i]
	p := portaudio.StreamParameters{FramesPerBuffer: or(o.FramesPerBuffer, defaultFrames)}
	p.Input = portaudio.StreamDeviceParameters{Device: infos[i], Latency: or(o.Latency, defaultLatency)}
	rates, channels := []int{o.Rate}, []int{o.Channels}
	if o.Rate == 0 {
		rates = append(slices.Clone(preferredRates), c.dev.Rate)
	}
	if o.Channels == 0 {
		channels = []int{1, 2}
	}
	if c.rate, c.channels, err = c.agree(ctx, p, rates, channels); err != nil {
		return err
	}
	p.SampleRate, p.Input.Channels = float64(c.rate), c.channels
	c.ring = newRing(int(or(o.Buffer, defaultBuffer).Seconds() * float64(c.rate*c.channels)))
	c.frames = make([]float32, 4096*c.channels)
	// Blocks longer than the watchdog's patience come late by nature.
	c.stall = max(c.stall, time.Duration(4*p.FramesPerBuffer)*time.Second/time.Duration(c.rate))
	return c.s.start(ctx, fmt.Sprintf("the microphone %q", c.dev.Name), p, c.callback)
}

// agree returns the first rate and number of channels that the device takes.
func (c *Capture) agree(ctx context.Context, p portaudio.StreamParameters, rates, channels []int) (rate, ch int, err error) {
	var refusal error
	for _, rate = range rates {
		for _, ch = range channels {
			if ch > c.dev.Inputs {
				continue
			}
			p.SampleRate, p.Input.Channels = float64(rate), ch
			err := c.s.do(ctx, fmt.Sprintf("ask the microphone %q for its formats", c.dev.Name), func() error {
				refusal = portaudio.IsFormatSupported(p, c.callback)
				return nil
			})
			if err != nil {
				return 0, 0, err
			}
			if refusal == nil {
				return rate, ch, nil
			}
		}
	}
	if refusal == nil {
		return 0, 0, fmt.Errorf("the microphone %q has %d channel; ask for no more", c.dev.Name, c.dev.Inputs)
	}
	return 0, 0, fmt.Errorf("the microphone %q does not give %s samples a second (%w); its own rate is %d", c.dev.Name, list(rates), refusal, c.dev.Rate)
}

// callback runs on PortAudio's thread: it copies and returns.
func (c *Capture) callback(in []float32, _ portaudio.StreamCallbackTimeInfo, flags portaudio.StreamCallbackFlags) {
	defer keepPanic(&c.panicked)
	if flags&portaudio.InputOverflow != 0 {
		c.overflows.Add(1)
	}
	c.ring.putOrLose(in)
	c.frameN += int64(len(in) / c.channels)
	c.marks.put(c.frameN)
	c.calls.Add(1)
}

// keepPanic keeps a panic of a callback from ending the program.
func keepPanic(where *atomic.Pointer[string]) {
	if p := recover(); p != nil {
		text := fmt.Sprint(p)
		where.Store(&text)
	}
}

// Rate returns the samples a second.
func (c *Capture) Rate() int { return c.rate }

// Channels returns how many channels are open, 1 or 2; Read gives mono.
func (c *Capture) Channels() int { return c.channels }

// Device returns the device that was opened.
func (c *Capture) Device() Device { return c.dev }

// Stats returns the counts so far.
func (c *Capture) Stats() Stats {
	ch := uint64(c.channels)
	return Stats{Samples: int64(c.ring.head.Load() / ch), Lost: c.ring.lost.Load() / int64(ch), Overflows: c.overflows.Load(),
		Load: math.Float64frombits(c.load.Load())}
}

// Marks calls report, in order, with how many samples had come by some moment,
// those included that Read tells of as lost, for each moment that the system
// gave some since the last call. at counts from the same moment for every
// Capture and Player of the program. It is for Read's goroutine.
func (c *Capture) Marks(report func(samples int64, at time.Duration)) { c.marks.each(report) }

// Read waits for samples and fills dst with up to len(dst) of them, full scale
// being -1 to 1. lost counts the samples before the first of them that found
// no room because Read came too late. It ends with ctx's error, with ErrClosed
// once all is read after Close, and with ErrStalled when the device stays
// silent: then close, and open again.
func (c *Capture) Read(ctx context.Context, dst []float32) (n int, lost int64, err error) {
	if len(dst) == 0 {
		return 0, 0, c.err
	}
	c.looked = time.Now()
	for c.err == nil {
		if err := ctx.Err(); err != nil {
			return 0, 0, err
		}
		closed := c.closed.Load() // before looking, so that nothing is left behind
		if n, lost := c.take(dst); n > 0 {
			if c.watch += int64(n); c.watch >= int64(c.rate)/watchesASecond {
				c.watch = 0
				c.s.watch(&c.load)
			}
			return n, lost, nil
		}
		if c.err = c.ended(closed); c.err != nil {
			break
		}
		c.timer.Reset(poll)
		select {
		case <-c.timer.C:
		case <-ctx.Done():
		}
	}
	return 0, 0, c.err
}

// take moves what there is from the ring to dst, as mono.
func (c *Capture) take(dst []float32) (n int, lost int64) {
	if c.channels == 1 {
		return c.ring.get(dst)
	}
	n, lost = c.ring.get(c.frames[:min(len(c.frames), 2*len(dst))])
	average(dst, c.frames[:n])
	return n / 2, lost / 2
}

// average writes the mean of each pair of frames to dst.
func average(dst, frames []float32) {
	for i := 0; i+1 < len(frames); i += 2 {
		dst[i/2] = (frames[i] + frames[i+1]) / 2
	}
}

// ended returns why no more samples will come, nil if they may.
func (c *Capture) ended(closed bool) error {
	if p := c.panicked.Load(); p != nil {
		return fmt.Errorf("recording from %q failed inside: %s", c.dev.Name, *p)
	}
	if closed {
		return ErrClosed
	}
	now := time.Now()
	// A step that took long was a pause of this program, not of the device.
	c.idle += min(now.Sub(c.looked), 10*poll)
	c.looked = now
	limit := c.stall
	if calls := c.calls.Load(); calls != c.seen {
		c.seen, c.idle = calls, 0
	} else if calls == 0 {
		limit *= firstStall
	}
	if c.idle > limit {
		return fmt.Errorf("the microphone %q is gone: %w", c.dev.Name, ErrStalled)
	}
	return nil
}

// Close stops the microphone and gives it back. What is in the ring can still
// be read. A second Close returns what the first did.
func (c *Capture) Close() error {
	c.closed.Store(true)
	return c.closeOne()
}

// or returns v, or def where v is not positive.
func or[T int | time.Duration](v, def T) T {
	if v > 0 {
		return v
	}
	return def
}

// list writes numbers for a message: "48000, 44100".
func list(n []int) string {
	s := fmt.Sprint(n[0])
	for _, v := range n[1:] {
		s += ", " + fmt.Sprint(v)
	}
	return s
}
