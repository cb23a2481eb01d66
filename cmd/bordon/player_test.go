package main

import (
	"bufio"
	"encoding/binary"
	"io"
	"math"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/theory"
)

// guitarist plays in the room of .ci/sound, and hears what sounds there: the
// claps, too, to which it plays. Everything is placed by samples of the room's
// monitor; a clap and a note that begin at the same one reach the program's
// microphone together.
type guitarist struct {
	t *testing.T

	mu     sync.Mutex
	plays  []phrase // that are still to be played
	sent   int64    // samples that were handed over
	behind int64    // a sample that is sent is the monitor's that many later
	heard  []float32
}

// phrase is sound that begins at a sample of those that are sent.
type phrase struct {
	at    int64
	sound []float32
}

const roomRate = 48000

// enterRoom lets somebody sit down with a guitar.
func enterRoom(t *testing.T) *guitarist {
	t.Helper()
	g := &guitarist{t: t}
	sink := os.Getenv("BORDON_SOUND_SINK")
	raw := []string{"--raw", "--format=float32le", "--rate=48000", "--channels=1"}
	ear := exec.Command("parec", append(raw, "--latency-msec=20", "--device="+sink+".monitor")...)
	out, err := ear.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, ear.Start())
	// The pipe holds a third of a second, which nobody minds who plays to a
	// pulse; a busy machine must not tear the sound.
	hand := exec.Command("pacat", append(raw, "--playback", "--latency-msec=200", "--device="+sink)...)
	in, err := hand.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, hand.Start())
	t.Cleanup(func() {
		in.Close()
		for _, c := range []*exec.Cmd{hand, ear} {
			c.Process.Kill()
			c.Wait()
		}
	})
	go g.listen(out)
	go g.send(in)

	// One loud sample tells how far the monitor is behind.
	g.wait(roomRate / 2)
	from, sent := g.now(), g.soon([]float32{0.5})
	for range 500 {
		time.Sleep(10 * time.Millisecond)
		g.mu.Lock()
		for i, x := range g.heard[from:] {
			if x > 0.2 {
				g.behind = from + int64(i) - sent
				g.mu.Unlock()
				return g
			}
		}
		g.mu.Unlock()
	}
	t.Fatal("what the guitarist plays is not heard in the room")
	return nil
}

func (g *guitarist) listen(r io.Reader) {
	buf := make([]byte, 4*480)
	for r = bufio.NewReader(r); ; {
		if _, err := io.ReadFull(r, buf); err != nil {
			return
		}
		g.mu.Lock()
		for i := 0; i < len(buf); i += 4 {
			g.heard = append(g.heard, math.Float32frombits(binary.LittleEndian.Uint32(buf[i:])))
		}
		g.mu.Unlock()
	}
}

// send hands over 10 ms at a time, as the pipe takes them.
func (g *guitarist) send(w io.Writer) {
	out := make([]float32, 480)
	buf := make([]byte, 4*len(out))
	for {
		clear(out)
		g.mu.Lock()
		left := g.plays[:0]
		for _, p := range g.plays {
			first := p.at - g.sent // where it begins in this piece
			for i := range out {
				if k := int64(i) - first; k >= 0 && k < int64(len(p.sound)) {
					out[i] += p.sound[k]
				}
			}
			if first+int64(len(p.sound)) > int64(len(out)) {
				left = append(left, p)
			}
		}
		g.plays = left
		g.sent += int64(len(out))
		g.mu.Unlock()
		for i, x := range out {
			binary.LittleEndian.PutUint32(buf[4*i:], math.Float32bits(x))
		}
		if _, err := w.Write(buf); err != nil {
			return
		}
	}
}

// now is the monitor's sample that was heard last.
func (g *guitarist) now() int64 {
	g.mu.Lock()
	defer g.mu.Unlock()
	return int64(len(g.heard))
}

// wait waits for the room to go on by that many samples. Only a test that has
// failed waits much longer.
func (g *guitarist) wait(samples int64) {
	g.t.Helper()
	until := g.now() + samples
	for range 100 + samples/100 {
		if g.now() >= until {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	g.t.Fatal("nothing more is heard from the room")
}

// loud is the largest sample that was heard from one of the monitor's on.
func (g *guitarist) loud(from int64) float32 { return g.between(from, math.MaxInt64) }

// between is the largest sample from one of the monitor's to another.
func (g *guitarist) between(from, to int64) (peak float32) {
	g.mu.Lock()
	defer g.mu.Unlock()
	n := int64(len(g.heard))
	for _, x := range g.heard[min(from, n):min(to, n)] {
		peak = max(peak, x, -x)
	}
	return peak
}

// join waits for claps that come after a sample of the monitor, a beat of that
// many samples apart, and returns the samples of the first three.
func (g *guitarist) claps(from int64, beat float64) []int64 {
	g.t.Helper()
	// The claps come from a loudspeaker that is quiet, and begin quiet.
	const least = 1.5e-4
	for range 6000 {
		var claps []int64
		g.mu.Lock()
		silence := 0
		for i := from; i < int64(len(g.heard)) && len(claps) < 3; i++ {
			if x := g.heard[i]; x > least || x < -least {
				if silence > roomRate/12 {
					claps = append(claps, i)
				}
				silence = 0
			} else {
				silence++
			}
		}
		g.mu.Unlock()
		if len(claps) == 3 {
			for i := range 2 {
				require.InDelta(g.t, beat, float64(claps[i+1]-claps[i]), roomRate/200, "samples between claps")
			}
			return claps
		}
		time.Sleep(10 * time.Millisecond)
	}
	g.t.Fatal("no claps are heard")
	return nil
}

// soon plays sound as soon as it can, and returns the sample of those that are
// sent at which it begins.
func (g *guitarist) soon(sound []float32) int64 {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.plays = append(g.plays, phrase{g.sent, sound})
	return g.sent
}

// play plays a take such that its first turn begins at a sample of the monitor.
func (g *guitarist) play(k fixtures.Take, first int64) {
	g.t.Helper()
	x, err := k.Render(roomRate)
	require.NoError(g.t, err)
	g.mu.Lock()
	defer g.mu.Unlock()
	at := first - int64(math.Round(k.FirstBeat*roomRate)) - g.behind
	require.GreaterOrEqual(g.t, at, g.sent, "the guitarist comes in too late")
	g.plays = append(g.plays, phrase{at, x})
}

// do plays events at once.
func (g *guitarist) do(seconds float64, events ...pluck.Event) {
	g.t.Helper()
	x, err := pluck.Render(pluck.Classic(), roomRate, 7, 0, events, seconds)
	require.NoError(g.t, err)
	g.soon(x)
}

// note plays one bass note at once and lets it ring.
func (g *guitarist) note(name string) {
	g.t.Helper()
	n, err := theory.ParseNote(name)
	require.NoError(g.t, err)
	p, ok := theory.Standard.Place(n.MIDI())
	require.True(g.t, ok, name)
	g.do(1.2, pluck.Event{Kind: pluck.Pluck, String: p.String, Fret: p.Fret, Velocity: 0.7}, pluck.Event{At: 1, Kind: pluck.Damp})
}

// golpes taps the top that often, a third of a second apart.
func (g *guitarist) golpes(n int) {
	var events []pluck.Event
	for i := range n {
		events = append(events, pluck.Event{At: 0.33 * float64(i), Kind: pluck.Tap, Velocity: 0.7})
	}
	g.do(0.33*float64(n)+0.3, events...)
}
