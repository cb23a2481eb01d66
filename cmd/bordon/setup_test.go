package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/dsp/pluck"
	"bordon/listen/audio"
	"bordon/listen/config"
)

func TestSetupLists(t *testing.T) {
	r := bordonWith(t, context.Background(), room(nil), "setup", "--list", "--format", "json")
	require.Equal(t, done, r.status, r.errOut)
	assert.JSONEq(t, `[{"index":0,"name":"line out","system":"ALSA","inputs":0,"outputs":2,"rate_hz":48000,"default_input":false,"default_output":false},
		{"index":1,"name":"microphone","system":"ALSA","inputs":1,"outputs":0,"rate_hz":48000,"default_input":true,"default_output":false}]`, r.out)
	r = bordonWith(t, context.Background(), room(nil), "setup", "--list")
	assert.Contains(t, r.out, "line out")
	assert.Contains(t, r.out, "default")
}

// Level in words: from silence over too quiet and good to clipping.
func TestSetupLevel(t *testing.T) {
	for want, amp := range map[string]float32{"no sound comes in": 0, "too quiet": 0.01, "Level: good": 0.4, "clipping": 3} {
		x := make([]float32, 20*demoRate)
		for i := 3 * demoRate; i < len(x); i++ {
			x[i] = amp * float32((i/50)%2*2-1)
			x[i] = min(max(x[i], -1), 1)
		}
		mic := &fakeMicrophone{player: player{samples: x, rate: demoRate}, device: audio.Device{Name: "mic"}}
		path := filepath.Join(t.TempDir(), "config.toml")
		var out, errOut bytes.Buffer
		a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: room(mic), config: path}
		require.Equal(t, done, a.run(context.Background(), []string{"setup", "--part", "level", "--input", "mic"}), errOut.String())
		assert.Contains(t, out.String(), want)
		c, err := config.Load(path)
		require.NoError(t, err)
		assert.Equal(t, "mic", c.Input)
		require.NotNil(t, c.Noise)
		assert.LessOrEqual(t, *c.Noise, -110.0, "the room was silent")
	}
}

// Where the clicks cannot be played there is no delay, and a reason.
func TestSetupWithoutALoudspeaker(t *testing.T) {
	mic := &fakeMicrophone{player: player{samples: make([]float32, demoRate), rate: demoRate}}
	r := bordonWith(t, context.Background(), room(mic), "setup", "--part", "delay")
	assert.Equal(t, failed, r.status)
	assert.Contains(t, r.errOut, "No delay was measured: there is no loudspeaker (no loudspeaker was found)")
}

func TestTune(t *testing.T) {
	g := pluck.Classic()
	g.Strings[4].Cents = -20
	s, err := pluck.New(g, demoRate, 1, 0)
	require.NoError(t, err)
	require.NoError(t, s.Schedule(pluck.Event{At: 1.5, Kind: pluck.Pluck, String: 5, Velocity: 0.7}))
	x := make([]float32, 4*demoRate)
	s.Read(x)
	mic := &fakeMicrophone{player: player{samples: x, rate: demoRate}}
	r := bordonWith(t, context.Background(), room(mic), "tune", "--seconds", "4")
	require.Equal(t, done, r.status, r.errOut)
	assert.Regexp(t, `fifth string, A2: (19|20|21) cents flat, tighten it`, r.out)
	assert.NotContains(t, r.out, "sixth string, E2: in tune")
	r = bordonWith(t, context.Background(), room(mic), "tune", "--seconds", "0")
	assert.Equal(t, wrong, r.status)
	assert.Contains(t, r.errOut, "0 seconds are not usable")
}

// A stored delay is used, and what kind it is is told.
func TestStoredDelay(t *testing.T) {
	ms := 112.3
	for _, own := range []bool{true, false} {
		path := filepath.Join(t.TempDir(), "config.toml")
		var c config.Config
		d := config.Delay{Pair: config.Pair{Input: "room", Output: "speaker", Rate: demoRate}}
		if own {
			d.Devices = &ms
		} else {
			d.Together = &ms
		}
		c.Set(d)
		require.NoError(t, c.Save(path))
		mic, demo := demoMicrophone(t)
		snd := room(mic)
		snd.playback = func(context.Context, int, string) (loudspeaker, error) { return &fakeLoudspeaker{}, nil }
		var out, errOut bytes.Buffer
		a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: snd, config: path, takes: t.TempDir(), state: t.TempDir()}
		args := append(listenFlagsOf(demo), "--pulse", "claps", "--turns", "1", "--format", "json")
		require.Equal(t, done, a.run(context.Background(), args), errOut.String())
		var start struct {
			Delay *float64 `json:"delay_ms"`
		}
		require.NoError(t, json.Unmarshal(events(t, out.String())["start"][0], &start))
		require.NotNil(t, start.Delay)
		assert.Equal(t, ms, *start.Delay)
		assert.Equal(t, !own, strings.Contains(errOut.String(), "you and your devices together"))
		assert.NotContains(t, errOut.String(), "Early and late are not said")
	}
}

func TestPulseFlags(t *testing.T) {
	for args, want := range map[string]string{
		"-t 30":                        "it must be 40 to 260, or --pulse none",
		"-t 300":                       "it must be 40 to 260",
		"--pulse drums":                "it wants claps or accents or none",
		"--count-from 13":              "a count-in from beat 13 is not usable; alegrías has the beats 1 to 12",
		"--rise -1":                    "a tempo that rises by -1",
		"--rise 4 --rise-after 0":      "after 0 clean turns",
		"-t 100 --rise 4 --rise-to 90": "a tempo of 100 cannot rise to 90",
	} {
		r := bordonWith(t, context.Background(), room(nil), append([]string{"listen"}, strings.Fields(args)...)...)
		assert.Equal(t, wrong, r.status, args)
		assert.Contains(t, r.errOut, want, args)
	}
	f := listenFlags{}
	f.defaults()
	f.key, f.tempo, f.half, f.countFrom = "G", 60, true, 12
	set, err := f.settings()
	require.NoError(t, err)
	assert.Equal(t, 30.0, set.Tempo)
	assert.Equal(t, 1.0, f.beats(set))
	assert.Equal(t, pulseLead+2, set.FirstBeat, "one beat of two seconds after the lead")
}

func TestTapped(t *testing.T) {
	in, keys := io.Pipe()
	var errOut bytes.Buffer
	go func() {
		for range 5 {
			io.WriteString(keys, "\n")
		}
		keys.Close()
	}()
	at := time.Time{}
	clock := func() time.Time { at = at.Add(50 * time.Millisecond); return at }
	_, err := (&app{stdin: in, stderr: &errOut}).tapped(context.Background(), clock)
	assert.ErrorContains(t, err, "beats a minute was tapped", "far too fast for hands")
	assert.Contains(t, errOut.String(), "Tap the enter key")
	_, err = (&app{stdin: strings.NewReader(""), stderr: &errOut}).tapped(context.Background(), clock)
	assert.ErrorContains(t, err, "0 taps do not make a tempo")
}

func TestSetupRefusesABrokenFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "config.toml")
	require.NoError(t, os.WriteFile(path, []byte("version = 9"), 0o644))
	var out, errOut bytes.Buffer
	a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: room(nil), config: path}
	assert.Equal(t, failed, a.run(context.Background(), []string{"setup", "--part", "devices"}))
	assert.Contains(t, errOut.String(), "its version is 9")
}
