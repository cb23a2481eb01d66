package live_test

import (
	"context"
	"errors"
	"math"
	"sync/atomic"
	"testing"
	"time"

	"bordon/listen"
	"bordon/listen/audio"
	"bordon/listen/audio/pulse"
	"bordon/listen/live"
	"bordon/listen/match"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const rate = 48000

// world is what time it is, in seconds.
type world struct{ now float64 }

// device counts samples by a clock of its own.
type device struct {
	w     *world
	ppm   float64
	since float64
	said  int64
	gone  float64 // seconds at which it goes; 0 for never
}

func (d *device) count() int64 { return int64((d.w.now - d.since) * rate * (1 + d.ppm*1e-6)) }

func (d *device) Marks(report func(int64, time.Duration)) {
	if n := d.count(); n > d.said {
		d.said = n
		report(n, time.Duration(d.w.now*1e9))
	}
}

func (d *device) Close() error { return nil }

// ears give silence as time passes.
type ears struct {
	device
	read int64
}

func (e *ears) Rate() int { return rate }

func (e *ears) Read(ctx context.Context, dst []float32) (int, int64, error) {
	if e.gone > 0 && e.w.now >= e.gone {
		return 0, 0, audio.ErrStalled
	}
	for e.count() <= e.read {
		e.w.now += 0.010
	}
	n := int(min(int64(len(dst)), e.count()-e.read))
	e.read += int64(n)
	clear(dst[:n])
	return n, 0, nil
}

// hands take what they are given.
type hands struct {
	device
	written atomic.Int64
}

func (*hands) Steady()     {}
func (h *hands) Room() int { return max(24000-int(h.written.Load()), 0) }
func (h *hands) Write(x []float32) int {
	h.written.Add(int64(len(x)))
	return len(x)
}

func settings(t *testing.T) listen.Settings {
	t.Helper()
	key, err := theory.ParseKey("G")
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	line, err := theory.DefaultLine(key, form, theory.Standard)
	require.NoError(t, err)
	return listen.Settings{Key: key, Form: form, Line: line, Tempo: 240, FirstBeat: 5.5, A4: 440,
		Tolerance: match.Learning, DelayKnown: true}
}

// run plays until a second of the world, and returns the session.
func run(t *testing.T, w *world, r *live.Room, set listen.Settings, until float64, on func(*listen.Session, listen.Event)) *listen.Session {
	t.Helper()
	s, err := listen.NewSession(set, rate)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	require.NoError(t, listen.Run(ctx, ending{r, w, until, cancel}, nil, s, func(e listen.Event) { on(s, e) }))
	return s
}

type ending struct {
	*live.Room
	w      *world
	until  float64
	cancel func()
}

func (e ending) Read(ctx context.Context, dst []float32) (int, int64, error) {
	if e.w.now > e.until {
		e.cancel()
	}
	return e.Room.Read(ctx, dst)
}

// With clocks that run 200 parts in a million apart the grid stays at the
// pulse, and the take is judged the same from what is written of it.
func TestTheGridFollowsThePulse(t *testing.T) {
	for _, ppm := range []float64{0, 200, -200} {
		w, set := &world{}, settings(t)
		r, err := live.Enter(context.Background(), live.Config{Settings: set, CountIn: 6,
			Open: func(context.Context) (live.Microphone, live.Loudspeaker, error) {
				return &ears{device: device{w: w, ppm: ppm / 2}}, &hands{device: device{w: w, ppm: -ppm / 2}}, nil
			}})
		require.NoError(t, err)
		turns, worst := 0, 0.0
		s := run(t, w, r, set, 60, func(s *listen.Session, e listen.Event) {
			if e.Kind != listen.TurnScore {
				return
			}
			r.Turn(s, e)
			if beat := s.Grid().Beat(s.Heard()); beat > 30 && e.Turn > 0 {
				played, ok := r.Played(beat)
				require.True(t, ok)
				worst = max(worst, math.Abs(played-float64(s.Grid().Sample(beat)))/rate)
				turns++
			}
		})
		require.NoError(t, r.Close())
		assert.Greater(t, turns, 12)
		assert.Less(t, worst, 0.001, "seconds")
		t.Logf("%g ppm: the grid is off the pulse by %.3f ms at most, with %d corrections", ppm, 1000*worst, len(s.Settings().Tempos))
		assert.Equal(t, ppm != 0, len(s.Settings().Tempos) > 0)
	}
}

// A device that goes is told of and waited for; what was missed is lost.
func TestADeviceThatGoes(t *testing.T) {
	w, set := &world{}, settings(t)
	var told []live.Notice
	opened := 0
	r, err := live.Enter(context.Background(), live.Config{Settings: set, CountIn: 6,
		Tell: func(n live.Notice) { told = append(told, n) },
		Open: func(context.Context) (live.Microphone, live.Loudspeaker, error) {
			opened++
			in, out := &ears{device: device{w: w, since: w.now}}, &hands{device: device{w: w, since: w.now}}
			switch opened {
			case 1:
				in.gone = 20
			case 2:
				w.now += 3
				return nil, nil, audio.ErrNoMicrophone
			}
			return in, out, nil
		}})
	require.NoError(t, err)
	var gaps []listen.Gap
	s := run(t, w, r, set, 60, func(s *listen.Session, e listen.Event) {
		switch e.Kind {
		case listen.GapFound:
			gaps = append(gaps, e.Gap)
		case listen.TurnScore:
			r.Turn(s, e)
		}
	})
	assert.Equal(t, []live.Notice{live.Gone, live.Back}, told)
	require.Len(t, gaps, 1)
	assert.InDelta(t, 3*rate, gaps[0].Lost, 0.02*rate, "the three seconds, to two reports of the devices")
	assert.InDelta(t, w.now*rate, s.Heard(), 0.05*rate, "time has passed in full")
	beat := s.Grid().Beat(s.Heard())
	played, ok := r.Played(beat)
	require.True(t, ok, "the pulse is back")
	assert.InDelta(t, s.Grid().Sample(beat), played, 0.001*rate, "where the grid has its beats")
	require.NoError(t, r.Close())
}

// A frozen sound system keeps nobody from ending.
func TestAFrozenSystem(t *testing.T) {
	w, set := &world{}, settings(t)
	ctx, cancel := context.WithCancel(context.Background())
	forever := make(chan struct{})
	defer close(forever)
	r, err := live.Enter(ctx, live.Config{Settings: set, Tell: func(live.Notice) { cancel() },
		Open: func(context.Context) (live.Microphone, live.Loudspeaker, error) {
			return &frozen{ears{device: device{w: w, gone: 1}}, forever}, nil, nil
		}})
	require.NoError(t, err)
	s, err := listen.NewSession(set, rate)
	require.NoError(t, err)
	require.NoError(t, listen.Run(ctx, r, nil, s, nil))
	require.NoError(t, r.Close())
}

type frozen struct {
	ears
	forever chan struct{}
}

func (f *frozen) Close() error {
	<-f.forever
	return errors.New("never asked")
}

func TestTheTempoRises(t *testing.T) {
	w, set := &world{}, settings(t)
	set.DelayKnown = false
	r, err := live.Enter(context.Background(), live.Config{Settings: set, CountIn: 6, Rise: &pulse.Rise{Step: 6, Clean: 1, Most: 250},
		Open: func(context.Context) (live.Microphone, live.Loudspeaker, error) {
			return &ears{device: device{w: w}}, &hands{device: device{w: w}}, nil
		}})
	require.NoError(t, err)
	var got []listen.TempoChange
	s := run(t, w, r, set, 25, func(s *listen.Session, e listen.Event) {
		if e.Kind != listen.TurnScore {
			return
		}
		// As if every turn had been played right.
		e.Score = match.Score{Judged: 4 * e.Turn, Right: 4 * e.Turn}
		if c, ok := r.Turn(s, e); ok {
			got = append(got, c)
		}
	})
	assert.Equal(t, []listen.TempoChange{{Turn: 3, Tempo: 246}, {Turn: 4, Tempo: 250}}, got[:2])
	assert.Len(t, got, 2, "no faster than the most")
	assert.Equal(t, got, s.Settings().Tempos)
	beat := s.Grid().Beat(s.Heard())
	played, ok := r.Played(beat)
	require.True(t, ok)
	assert.InDelta(t, s.Grid().Sample(beat), played, 0.001*rate, "pulse and grid rise together")
	require.NoError(t, r.Close())
}

// bomb is a loudspeaker that goes off.
type bomb struct{ hands }

func (b *bomb) Write(x []float32) int {
	if b.written.Load() > rate/10 {
		panic("string 7")
	}
	return b.hands.Write(x)
}

// A panic of what feeds the loudspeaker ends the session as an error of its
// source, so that the take is kept.
func TestAPanicOfThePulse(t *testing.T) {
	w, set := &world{}, settings(t)
	r, err := live.Enter(context.Background(), live.Config{Settings: set, CountIn: 6,
		Open: func(context.Context) (live.Microphone, live.Loudspeaker, error) {
			return &ears{device: device{w: w}}, &bomb{hands{device: device{w: w}}}, nil
		}})
	require.NoError(t, err)
	s, err := listen.NewSession(set, rate)
	require.NoError(t, err)
	err = listen.Run(context.Background(), r, nil, s, nil) // it would not end otherwise
	var p *live.PanicError
	require.ErrorAs(t, err, &p)
	assert.ErrorContains(t, err, "string 7")
	assert.Contains(t, string(p.Stack), "Write")
	require.NoError(t, r.Close(), "and the devices are given back")
}
