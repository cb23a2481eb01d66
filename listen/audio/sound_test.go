//go:build unix && !nomic

package audio

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// These tests need the room that .ci/sound makes: what is played there is
// heard by the default microphone.

// room skips the test outside of it, and bounds it inside.
func room(t *testing.T) context.Context {
	t.Helper()
	if os.Getenv("BORDON_SOUND") != "1" {
		t.Skip("there is no sound server for tests; run them under .ci/sound")
	}
	// Only a test that hangs comes near it.
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	t.Cleanup(cancel)
	return ctx
}

func pactl(t *testing.T, args ...string) string {
	t.Helper()
	out, err := exec.Command("pactl", args...).CombinedOutput()
	require.NoError(t, err, "pactl %v: %s", args, out)
	return strings.TrimSpace(string(out))
}

func open(t *testing.T, ctx context.Context, o Options) *Capture {
	t.Helper()
	c, err := OpenCapture(ctx, o)
	require.NoError(t, err)
	t.Cleanup(func() { c.Close() })
	return c
}

// hear reads n samples. None may be lost on the way.
func hear(t *testing.T, ctx context.Context, c *Capture, n int) []float32 {
	t.Helper()
	all, buf := make([]float32, 0, n), make([]float32, 441)
	for len(all) < n {
		k, lost, err := c.Read(ctx, buf[:min(len(buf), n-len(all))])
		require.NoError(t, err)
		require.Zero(t, lost, "after %d samples", len(all))
		all = append(all, buf[:k]...)
	}
	return all
}

// sine returns seconds of a sine of the given frequency.
func sine(hz, amplitude, seconds float64, rate int) []float32 {
	s := make([]float32, int(seconds*float64(rate)))
	for i := range s {
		s[i] = float32(amplitude * math.Sin(2*math.Pi*hz*float64(i)/float64(rate)))
	}
	return s
}

// loud returns where the sound in s begins and ends, at a tenth of its peak.
func loud(s []float32) (from, to int) {
	peak := float32(0)
	for _, v := range s {
		peak = max(peak, v, -v)
	}
	from = -1
	for i, v := range s {
		if max(v, -v) > peak/10 {
			if from < 0 {
				from = i
			}
			to = i + 1
		}
	}
	return from, to
}

// frequency counts the rising zero crossings of s, in Hz.
func frequency(s []float32, rate int) float64 {
	var first, last, count float64
	for i := 1; i < len(s); i++ {
		if s[i-1] < 0 && s[i] >= 0 {
			at := float64(i) - float64(s[i])/float64(s[i]-s[i-1])
			if count == 0 {
				first = at
			}
			last = at
			count++
		}
	}
	return (count - 1) * float64(rate) / (last - first)
}

// b2 is the frequency of B2, MIDI 47, by the formula of equal temperament at
// A4 = 440 Hz (ISO 16).
var b2 = 440 * math.Pow(2, (47-69)/12.0)

// A tone that paplay plays comes through the microphone: at its pitch, and
// without a sample missing or doubled.
func TestSoundTone(t *testing.T) {
	for _, o := range []Options{{}, {Rate: 44100}, {Rate: 96000}, {Channels: 2}, {Rate: 44100, Channels: 2, FramesPerBuffer: 512}} {
		rate := or(o.Rate, 48000)
		t.Run(strconv.Itoa(rate)+"-"+strconv.Itoa(o.Channels), func(t *testing.T) {
			ctx := room(t)
			var b bytes.Buffer
			require.NoError(t, binary.Write(&b, binary.LittleEndian, sine(b2, 0.5, 1, 48000)))
			tone := filepath.Join(t.TempDir(), "b2")
			require.NoError(t, os.WriteFile(tone, b.Bytes(), 0o644))

			c := open(t, ctx, o)
			assert.Equal(t, rate, c.Rate())
			assert.Equal(t, or(o.Channels, 1), c.Channels())
			hear(t, ctx, c, 480) // it runs
			play := exec.CommandContext(ctx, "paplay", "--raw", "--rate=48000", "--channels=1", "--format=float32le", tone)
			require.NoError(t, play.Start())
			defer play.Wait()
			var got []float32
			from, to := 0, 0
			// Until the tone is over: as much again of silence behind it.
			for from < 0 || to-from < rate*9/10 || len(got)-to < rate/10 {
				got = append(got, hear(t, ctx, c, rate/10)...)
				from, to = loud(got)
			}
			require.NoError(t, c.Close())
			assert.InDelta(t, rate, to-from, float64(rate)/b2, "one second, to a period")
			s := got[from+rate/20 : to-rate/20]
			// A tenth of a cent: 0.9 s hold 111 periods, each crossing is
			// found to a fraction of a sample.
			assert.InDelta(t, 0, 1200*math.Log2(frequency(s, rate)/b2), 0.1, "cents")
			// Each sample of a sine follows from the two before, but for four
			// half steps of the sink's 16 bits, and what resampling to another
			// rate bends. A sample lost or doubled is 0.004 and more, by the
			// slope of the sine at its steepest (0.5 w, at 96 kHz).
			bent := 2. / (1 << 15)
			if rate != 48000 {
				bent = 0.001
			}
			w := 2 * math.Cos(2*math.Pi*b2/float64(rate))
			for i := 2; i < len(s); i++ {
				e := float64(s[i]) - w*float64(s[i-1]) + float64(s[i-2])
				require.InDelta(t, 0, e, bent, "a break at sample %d", i)
			}
			assert.Zero(t, c.Stats().Lost)
			assert.Zero(t, c.Stats().Overflows)
		})
	}
}

// What a Player is given the microphone hears, rising from silence.
func TestSoundPlayback(t *testing.T) {
	ctx := room(t)
	c := open(t, ctx, Options{})
	hear(t, ctx, c, 480)
	p, err := OpenPlayback(ctx, 48000, "")
	require.NoError(t, err)
	defer p.Close()
	tone := sine(b2, 0.5, 3, 48000)
	var got []float32
	for len(tone) > 0 {
		tone = tone[p.Write(tone):]
		got = append(got, hear(t, ctx, c, 4800)...)
	}
	require.NoError(t, p.Drain(ctx))
	assert.Equal(t, int64(3*48000), p.Played())
	// How busy the machine is nobody knows; that it was looked at.
	for _, load := range []float64{c.Stats().Load, p.Load()} {
		assert.Positive(t, load)
		t.Logf("the load was %.4f at most", load)
	}
	for n, to := 0, 0; n < 48000 || len(got)-to < 4800; n += 4800 {
		got = append(got, hear(t, ctx, c, 4800)...)
		_, to = loud(got)
	}
	peak := func(s []float32) (m float32) {
		for _, v := range s {
			m = max(m, v)
		}
		return m
	}
	from, to := loud(got)
	quarter := (to - from) / 4
	last := float32(0)
	for i := range 3 {
		now := peak(got[from+i*quarter : from+(i+1)*quarter])
		assert.Greater(t, now, last, "it rises")
		last = now
	}
	assert.InDelta(t, 0.5, peak(got), 1e-3, "and comes to full level")
	assert.InDelta(t, 0, 1200*math.Log2(frequency(got[to-48000:to], 48000)/b2), 1)
	require.NoError(t, p.Close())
	require.NoError(t, p.Close())
}

// A reader that comes too late is told how much it missed.
func TestSoundLate(t *testing.T) {
	ctx := room(t)
	c := open(t, ctx, Options{Buffer: 50 * time.Millisecond})
	for c.Stats().Lost == 0 {
		require.NoError(t, ctx.Err())
		time.Sleep(poll)
	}
	var read, lost int64
	buf := make([]float32, 1<<14)
	for lost == 0 {
		n, l, err := c.Read(ctx, buf)
		require.NoError(t, err)
		read, lost = read+int64(n), lost+l
	}
	assert.LessOrEqual(t, lost, c.Stats().Lost)
	assert.Positive(t, read)
	assert.Zero(t, lost%256, "whole blocks")
}

// stalled reads until the Capture gives up, and says with what.
func stalled(t *testing.T, ctx context.Context, c *Capture) {
	t.Helper()
	buf := make([]float32, 4096)
	var err error
	for err == nil {
		_, _, err = c.Read(ctx, buf)
	}
	assert.ErrorIs(t, err, ErrStalled)
	assert.ErrorContains(t, err, "is gone: no more sound comes from it")
	require.NoError(t, c.Close())
}

// An input that falls silent, and one that is taken away: both are gone, and
// opening again works.
func TestSoundStall(t *testing.T) {
	ctx := room(t)
	t.Run("suspended", func(t *testing.T) {
		sink := os.Getenv("BORDON_SOUND_SINK") // its monitor sleeps with it
		c := open(t, ctx, Options{})
		hear(t, ctx, c, 4800)
		pactl(t, "suspend-sink", sink, "1")
		defer pactl(t, "suspend-sink", sink, "0")
		stalled(t, ctx, c)
	})
	t.Run("unplugged", func(t *testing.T) {
		sink := os.Getenv("BORDON_SOUND_SINK")
		c := open(t, ctx, Options{})
		hear(t, ctx, c, 4800)
		// The only source there is: from one of two, streams would move over.
		pactl(t, "unload-module", "module-null-sink")
		defer func() {
			pactl(t, "load-module", "module-null-sink", "sink_name="+sink, "rate=48000", "channels=2", "norewinds=1")
			pactl(t, "set-default-sink", sink)
			pactl(t, "set-default-source", sink+".monitor")
		}()
		stalled(t, ctx, c)
	})
	hear(t, ctx, open(t, ctx, Options{}), 4800)
}

// A sound server that answers nobody costs the timeout, not for ever, and
// leaves standard error as it was.
func TestSoundFrozen(t *testing.T) {
	ctx := room(t)
	daemon, err := strconv.Atoi(os.Getenv("BORDON_SOUND_PID"))
	require.NoError(t, err)
	before, err := os.Readlink("/proc/self/fd/2")
	if err != nil {
		t.Skip("this system has no /proc")
	}
	require.NoError(t, unix.Kill(daemon, unix.SIGSTOP))
	defer unix.Kill(daemon, unix.SIGCONT)
	_, err = OpenCapture(ctx, Options{Timeout: 500 * time.Millisecond})
	var late *TimeoutError
	assert.ErrorAs(t, err, &late)
	after, err := os.Readlink("/proc/self/fd/2")
	require.NoError(t, err)
	assert.Equal(t, before, after)

	require.NoError(t, unix.Kill(daemon, unix.SIGCONT))
	// The call that hung ends by itself, then the next one may begin.
	hear(t, ctx, open(t, ctx, Options{Timeout: time.Minute}), 4800)
}

func TestSoundDevices(t *testing.T) {
	ctx := room(t)
	devs, err := Devices(ctx)
	require.NoError(t, err)
	i, err := choose(devs, "", input)
	require.NoError(t, err)
	assert.True(t, devs[i].DefaultInput)
	assert.Equal(t, "ALSA", devs[i].HostAPI)
	c := open(t, ctx, Options{Device: devs[i].Name})
	assert.Equal(t, devs[i], c.Device())
	hear(t, ctx, c, 4800)
	_, err = OpenCapture(ctx, Options{Device: "no such thing"})
	assert.ErrorContains(t, err, `no microphone is called "no such thing"`)
	_, err = OpenCapture(ctx, Options{Rate: 1})
	assert.ErrorContains(t, err, "does not give 1 samples a second")
	_, err = OpenPlayback(ctx, 48000, "no such thing")
	assert.ErrorContains(t, err, "no loudspeaker is called")
	hear(t, ctx, c, 4800)
}

// A machine without any sound device, as PortAudio sees it.
func TestSoundNone(t *testing.T) {
	ctx := room(t)
	// A card that is not there; with nothing at all PortAudio would abort.
	conf := filepath.Join(t.TempDir(), "alsa.conf")
	require.NoError(t, os.WriteFile(conf, []byte("pcm.!default { type hw card 31 }\n"), 0o644))
	t.Setenv("ALSA_CONFIG_PATH", conf)
	_, err := OpenCapture(ctx, Options{})
	assert.True(t, errors.Is(err, ErrNoMicrophone), "%v", err)
	_, err = OpenPlayback(ctx, 48000, "")
	assert.ErrorContains(t, err, "no loudspeaker was found")
}
