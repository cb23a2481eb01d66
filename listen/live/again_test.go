package live_test

import (
	"context"
	"math"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"bordon/listen"
	"bordon/listen/live"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// taping hands keep all that they are given.
type taping struct {
	device
	asked atomic.Int64 // samples that the loudspeaker has asked for
	mu    sync.Mutex
	tape  []float32
}

func (*taping) Steady() {}

func (h *taping) Marks(report func(int64, time.Duration)) {
	h.device.Marks(func(n int64, at time.Duration) {
		h.asked.Store(n)
		report(n, at)
	})
}

// Room is what a buffer of a second has beyond what was asked for.
func (h *taping) Room() int {
	h.mu.Lock()
	defer h.mu.Unlock()
	return max(rate-len(h.tape)+int(h.asked.Load()), 0)
}

func (h *taping) Write(x []float32) int {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.tape = append(h.tape, x...)
	return len(x)
}

// enter opens a room without drift, and gives what is played in it.
func enter(t *testing.T, set listen.Settings) (*world, *live.Room, *taping) {
	t.Helper()
	w := &world{}
	out := &taping{device: device{w: w}}
	r, err := live.Enter(context.Background(), live.Config{Settings: set, CountIn: 6,
		Open: func(context.Context) (live.Microphone, live.Loudspeaker, error) {
			return &ears{device: device{w: w}}, out, nil
		}})
	require.NoError(t, err)
	return w, r, out
}

// Another session on the same devices begins at its own sample 0, and the
// pulse is where its grid has the beats.
func TestAgain(t *testing.T) {
	set := settings(t)
	w, r, _ := enter(t, set)
	run(t, w, r, set, 12, func(*listen.Session, listen.Event) {})
	began := w.now
	set.Tempo, set.FirstBeat = 180, 4
	require.NoError(t, r.Again(live.Config{Settings: set, CountIn: 6}))
	s := run(t, w, r, set, 24, func(*listen.Session, listen.Event) {})
	assert.InDelta(t, (w.now-began)*rate, s.Heard(), 0.05*rate, "it counts from its own beginning")
	beat := s.Grid().Beat(s.Heard())
	played, ok := r.Played(beat)
	require.True(t, ok)
	assert.InDelta(t, s.Grid().Sample(beat), played, 0.001*rate)
	assert.True(t, r.Loud())
	require.NoError(t, r.Close())

	set.Tempo = 0
	assert.Error(t, r.Again(live.Config{Settings: set}), "there is no grid without a tempo")
}

// A sound that is to begin at a beat begins there, to the sample; one whose
// beat has passed is refused.
func TestPlayAt(t *testing.T) {
	set := settings(t)
	w, r, out := enter(t, set)
	sound := make([]float32, rate/10)
	for i := range sound {
		sound[i] = 0.5 * float32(math.Sin(float64(i)/9))
	}
	sound[0] = 0.5
	assert.False(t, r.PlayAt(6.5, sound), "no pulse is placed yet")
	s := run(t, w, r, set, 5, func(*listen.Session, listen.Event) {})
	const beat = 6.5 // between claps, when the room has settled
	require.True(t, r.PlayAt(beat, sound))
	assert.False(t, r.PlayAt(-30, sound), "that beat is past")
	begins, ok := r.Played(beat)
	require.True(t, ok)
	for w.now < 9 { // the loudspeaker is fed by the clock of the wall
		_, _, err := r.Read(context.Background(), make([]float32, 480))
		require.NoError(t, err)
		time.Sleep(time.Millisecond)
	}
	require.NoError(t, r.Close())
	at := int(math.Round(begins))
	require.Greater(t, len(out.tape), at+len(sound))
	assert.InDelta(t, s.Grid().Sample(beat), at, 0.001*rate)
	from := -1
	for i := at - rate/50; i < at+rate/50; i++ {
		if math.Abs(float64(out.tape[i])) > 0.1 {
			from = i
			break
		}
	}
	// Both streams run at the same rate: only the clocks' fit rounds.
	assert.InDelta(t, at, from, 2)
	for _, v := range out.tape {
		require.LessOrEqual(t, math.Abs(float64(v)), 1.0)
	}
}

// Without a loudspeaker nothing is played, and that is said.
func TestNobodyPlaysWithoutALoudspeaker(t *testing.T) {
	w, set := &world{}, settings(t)
	r, err := live.Enter(context.Background(), live.Config{Settings: set,
		Open: func(context.Context) (live.Microphone, live.Loudspeaker, error) {
			return &ears{device: device{w: w}}, nil, nil
		}})
	require.NoError(t, err)
	_, ok := r.PlayNow(make([]float32, 10))
	assert.False(t, ok)
	assert.False(t, r.PlayAt(1, nil))
	assert.False(t, r.Loud())
	r.Still(true)
	require.NoError(t, r.Close())
}

// What stops stays silent; sounds of the moment are heard all the same.
func TestStill(t *testing.T) {
	set := settings(t)
	w, r, out := enter(t, set)
	run(t, w, r, set, 8, func(*listen.Session, listen.Event) {})
	r.Still(true)
	hush := func(seconds float64) (peak float32) {
		until := w.now + seconds
		out.mu.Lock()
		from := len(out.tape) + rate/50 // a piece may be on its way
		out.mu.Unlock()
		for w.now < until {
			_, _, err := r.Read(context.Background(), make([]float32, 480))
			require.NoError(t, err)
			time.Sleep(time.Millisecond)
		}
		time.Sleep(100 * time.Millisecond) // the feeder's turn
		out.mu.Lock()
		defer out.mu.Unlock()
		require.Greater(t, len(out.tape), from)
		for _, v := range out.tape[from:] {
			peak = max(peak, v, -v)
		}
		return peak
	}
	assert.Zero(t, hush(3))
	seconds, ok := r.PlayNow([]float32{0.5, 0.5, 0.5})
	require.True(t, ok)
	assert.Greater(t, seconds, 0.0)
	assert.Equal(t, float32(0.5), hush(3))
	require.NoError(t, r.Close())
}
