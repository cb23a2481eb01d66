package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures"
	"bordon/fixtures/schema"
	"bordon/listen"
	"bordon/listen/audio"
	"bordon/listen/take"
)

// demoMicrophone hears the built-in performance.
func demoMicrophone(t *testing.T) (*fakeMicrophone, fixtures.Take) {
	t.Helper()
	d, err := fixtures.Demo()
	require.NoError(t, err)
	x, err := d.Render(demoRate)
	require.NoError(t, err)
	return &fakeMicrophone{player: player{samples: x, rate: demoRate}, device: audio.Device{Name: "room"}}, d
}

// listenFlagsOf let listen's grid fall on the built-in performance's: half a
// second and six beats to its first turn.
func listenFlagsOf(d fixtures.Take) []string {
	return []string{"listen", "--key", d.Key, "--line", d.Line, "--tempo", ftoa(d.Tempo), "--lead", "0.5", "--pulse", "none"}
}

// events of a JSON stream, by kind.
func events(t *testing.T, out string) map[string][]json.RawMessage {
	t.Helper()
	got := map[string][]json.RawMessage{}
	for line := range strings.Lines(out) {
		require.NoError(t, schema.Validate(schema.Listen, []byte(line)), line)
		var e struct{ Event string }
		require.NoError(t, json.Unmarshal([]byte(line), &e))
		got[e.Event] = append(got[e.Event], json.RawMessage(line))
	}
	return got
}

// withoutEvent is a verdict event as the beat object that check gives.
func withoutEvent(t *testing.T, e json.RawMessage) string {
	t.Helper()
	var fields map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(e, &fields))
	delete(fields, "event")
	b, err := json.Marshal(fields)
	require.NoError(t, err)
	return string(b)
}

// sameBeats holds the verdicts of a live stream against check's on the take.
func sameBeats(t *testing.T, live []json.RawMessage, check string) {
	t.Helper()
	var file struct{ Beats []json.RawMessage }
	require.NoError(t, json.Unmarshal([]byte(check), &file))
	require.Equal(t, len(file.Beats), len(live))
	byPlace := map[string]string{}
	place := func(b []byte) string {
		var p struct {
			Turn int
			Beat string
		}
		require.NoError(t, json.Unmarshal(b, &p))
		return ftoa(float64(p.Turn)) + "/" + p.Beat
	}
	for _, e := range live {
		byPlace[place(e)] = withoutEvent(t, e)
	}
	for _, b := range file.Beats {
		require.Contains(t, byPlace, place(b))
		assert.JSONEq(t, string(b), byPlace[place(b)])
	}
}

func TestListenJSON(t *testing.T) {
	mic, d := demoMicrophone(t)
	takes := filepath.Join(t.TempDir(), "takes")
	var out, errOut bytes.Buffer
	a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: room(mic), takes: takes, state: t.TempDir(), config: t.TempDir() + "/config.toml"}
	require.Equal(t, done, a.run(context.Background(), append(listenFlagsOf(d), "--delay", "0", "--turns", "4", "--format", "json")), errOut.String())
	assert.Equal(t, 1, mic.closed)

	got := events(t, out.String())
	require.Len(t, got["start"], 1)
	require.Len(t, got["end"], 1)
	var start struct {
		Rate    int            `json:"rate_hz"`
		First   float64        `json:"first_beat_s"`
		Delay   *float64       `json:"delay_ms"`
		Devices listen.Devices `json:"devices"`
	}
	require.NoError(t, json.Unmarshal(got["start"][0], &start))
	assert.Equal(t, demoRate, start.Rate)
	assert.InDelta(t, d.FirstBeat, start.First, 1e-9, "the same sum of floating point numbers, perhaps in another order")
	assert.Equal(t, "room", start.Devices.Input)
	require.NotNil(t, start.Delay)
	assert.Len(t, got["verdict"], 16)
	assert.NotEmpty(t, got["score"])

	// The take holds what was heard, and judges as it was judged.
	var end struct{ Dir string }
	require.NoError(t, json.Unmarshal(got["end"][0], &end))
	assert.True(t, strings.HasPrefix(end.Dir, takes), end.Dir)
	described, err := os.ReadFile(filepath.Join(end.Dir, take.JSONName))
	require.NoError(t, err)
	require.NoError(t, schema.Validate(schema.Take, described))
	check := bordon(t, "check", "--key", d.Key, "--line", d.Line, "--tempo", ftoa(d.Tempo), "--first-beat", ftoa(start.First),
		"--format", "json", filepath.Join(end.Dir, take.WAVName))
	require.Equal(t, done, check.status, check.errOut)
	sameBeats(t, got["verdict"], check.out)
}

func TestListenWithoutADelay(t *testing.T) {
	mic, d := demoMicrophone(t)
	r := bordonWith(t, context.Background(), room(mic), append(listenFlagsOf(d), "--format", "json", "--turns", "1")...)
	require.Equal(t, done, r.status, r.errOut)
	assert.Contains(t, r.errOut, "Early and late are not said")
	got := events(t, r.out)
	var start map[string]any
	require.NoError(t, json.Unmarshal(got["start"][0], &start))
	assert.Nil(t, start["delay_ms"])
	require.Len(t, got["verdict"], 4)
	for _, e := range got["verdict"] {
		var b listen.Beat
		require.NoError(t, json.Unmarshal(e, &b))
		assert.Nil(t, b.Timing)
	}
}

// A take that was recorded without a delay is judged the same from its file,
// if check is told that none is known.
func TestATakeWithoutADelayIsJudgedTheSame(t *testing.T) {
	mic, d := demoMicrophone(t)
	takes := filepath.Join(t.TempDir(), "takes")
	var out, errOut bytes.Buffer
	a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: room(mic), takes: takes, state: t.TempDir(), config: t.TempDir() + "/config.toml"}
	require.Equal(t, done, a.run(context.Background(), append(listenFlagsOf(d), "--turns", "4", "--format", "json")), errOut.String())
	got := events(t, out.String())
	var end struct{ Dir string }
	require.NoError(t, json.Unmarshal(got["end"][0], &end))
	check := bordon(t, "check", "--key", d.Key, "--line", d.Line, "--tempo", ftoa(d.Tempo), "--first-beat", ftoa(d.FirstBeat),
		"--delay", "unknown", "--format", "json", filepath.Join(end.Dir, take.WAVName))
	require.Equal(t, done, check.status, check.errOut)
	require.NoError(t, schema.Validate(schema.Check, []byte(check.out)))
	sameBeats(t, got["verdict"], check.out)
}

func TestListenText(t *testing.T) {
	mic, d := demoMicrophone(t)
	mic.lose = 480
	r := bordonWith(t, context.Background(), room(mic), append(listenFlagsOf(d), "--delay", "0")...)
	require.Equal(t, done, r.status, r.errOut)
	for _, s := range []string{"G major   alegrías   104 a minute", "turn 1, beat 7", "turn 4", "notes right", "the take is in", "10 ms of sound lost"} {
		assert.Contains(t, r.out, s)
	}
	for _, s := range []string{"listening to room", "count-in: beat 1 comes in 6 beats", "count-in: beat 1 comes next", "beat 1 of the first turn"} {
		assert.Contains(t, r.errOut, s)
	}
	assert.NotContains(t, r.errOut, "in 7 beats", "the count-in has six")
	assert.Less(t, strings.Index(r.errOut, "listening"), strings.Index(r.errOut, "count-in"))
}

// What the sound system lost by itself is told.
func TestListenTellsOfOverflows(t *testing.T) {
	for n, said := range map[int64]string{0: "", 1: "lost sound once", 3: "lost sound 3 times"} {
		mic, d := demoMicrophone(t)
		mic.samples, mic.stats.Overflows = mic.samples[:demoRate], n
		r := bordonWith(t, context.Background(), room(mic), append(listenFlagsOf(d), "--record=false")...)
		require.Equal(t, done, r.status, r.errOut)
		if said == "" {
			assert.NotContains(t, r.errOut, "lost sound")
		}
		assert.Contains(t, r.errOut, said)
	}
}

func TestListenKeepsNothingIfTold(t *testing.T) {
	mic, d := demoMicrophone(t)
	r := bordonWith(t, context.Background(), room(mic), append(listenFlagsOf(d), "--record=false", "--format", "json")...)
	require.Equal(t, done, r.status, r.errOut)
	assert.Contains(t, r.out, `{"event":"end","dir":null}`)
}

// An unplugged microphone is told, and what was heard until then is kept.
func TestListenToAMicrophoneThatGoes(t *testing.T) {
	mic, d := demoMicrophone(t)
	mic.err = errors.New("the microphone \"room\" is gone")
	r := bordonWith(t, context.Background(), room(mic), append(listenFlagsOf(d), "--format", "json")...)
	assert.Equal(t, failed, r.status)
	assert.Contains(t, r.errOut, "is gone")
	assert.Contains(t, r.out, `{"event":"end","dir":"`)
	assert.Equal(t, 1, mic.closed)
}

// stopper cancels after some samples, as ctrl-c does.
type stopper struct {
	*fakeMicrophone
	after int
	stop  context.CancelFunc
}

func (s *stopper) Read(ctx context.Context, dst []float32) (int, int64, error) {
	if s.at >= s.after {
		s.stop()
		return 0, 0, ctx.Err()
	}
	return s.fakeMicrophone.Read(ctx, dst)
}

func TestCtrlCKeepsTheRecording(t *testing.T) {
	mic, d := demoMicrophone(t)
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	snd := room(mic)
	snd.capture = func(context.Context, audio.Options) (microphone, error) {
		return &stopper{mic, 12 * demoRate, cancel}, nil
	}
	r := bordonWith(t, ctx, snd, append(listenFlagsOf(d), "--format", "json")...)
	assert.Equal(t, done, r.status, r.errOut)
	// Second 12 is in beat 2 of the second turn: nothing was said of that.
	assert.NotContains(t, r.errOut, "cut off")
	got := events(t, r.out)
	require.Len(t, got["end"], 1)
	var end struct{ Dir string }
	require.NoError(t, json.Unmarshal(got["end"][0], &end))
	info, err := os.Stat(filepath.Join(end.Dir, take.WAVName))
	require.NoError(t, err)
	assert.GreaterOrEqual(t, info.Size(), int64(12*demoRate*3), "24-bit samples")
}

// What was said of a turn that the end cuts off does not count, and that is
// told.
func TestATurnThatIsCutOffIsTold(t *testing.T) {
	for _, format := range formats {
		mic, d := demoMicrophone(t)
		// 0.9 s into beat 8 of the second turn, the line's second beat.
		mic.samples = mic.samples[:int((d.FirstBeat+(12+7)*60/d.Tempo+0.9)*demoRate)]
		r := bordonWith(t, context.Background(), room(mic), append(listenFlagsOf(d), "--format", format)...)
		require.Equal(t, done, r.status, r.errOut)
		const said = "Turn 2 was cut off by the end, so it is not judged."
		if format == "text" {
			assert.Contains(t, r.out, "turn 2, beat 7")
			assert.Contains(t, r.out, said)
			continue
		}
		assert.Contains(t, r.errOut, said)
		assert.Greater(t, len(events(t, r.out)["verdict"]), 4)
	}
}

// A reader that goes away ends the session, and the take is kept.
func TestListenToAClosedPipe(t *testing.T) {
	mic, d := demoMicrophone(t)
	takes := filepath.Join(t.TempDir(), "takes")
	var errOut bytes.Buffer
	a := &app{stdin: strings.NewReader(""), stdout: brokenPipe{}, stderr: &errOut, sound: room(mic), takes: takes, state: t.TempDir(), config: t.TempDir() + "/config.toml"}
	for _, format := range formats {
		mic.at = 0
		assert.Equal(t, failed, a.run(context.Background(), append(listenFlagsOf(d), "--format", format)))
		assert.NotContains(t, errOut.String(), "bordon:", "nobody has to be told")
	}
	kept, err := filepath.Glob(filepath.Join(takes, "*", take.JSONName))
	require.NoError(t, err)
	assert.Len(t, kept, 2)
}

type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) {
	return 0, &os.PathError{Op: "write", Path: "|1", Err: syscall.EPIPE}
}

func TestCautionsAreShownOnce(t *testing.T) {
	mic, d := demoMicrophone(t)
	state := t.TempDir()
	say := func() string {
		mic.at = 0
		var out, errOut bytes.Buffer
		a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: room(mic), takes: t.TempDir(), state: state, config: t.TempDir() + "/config.toml"}
		require.Equal(t, done, a.run(context.Background(), append(listenFlagsOf(d), "--turns", "1")))
		return errOut.String()
	}
	for _, c := range language.Cautions() {
		assert.Contains(t, say(), c)
		break
	}
	assert.NotContains(t, say(), language.Cautions()[0])
}

func TestAnswer(t *testing.T) {
	for typed, want := range map[string]bool{"\n": true, "y\n": true, "Yes\n": true, "n\n": false, "no\n": false, "what\n": false, "y": true, "": false} {
		a := &app{stdin: strings.NewReader(typed)}
		yes, err := a.answer(context.Background())
		require.NoError(t, err)
		assert.Equal(t, want, yes, "%q", typed)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	in, keys := io.Pipe()
	defer keys.Close()
	yes, err := (&app{stdin: in}).answer(ctx)
	require.NoError(t, err)
	assert.False(t, yes, "ctrl-c")
}

func TestEndOf(t *testing.T) {
	f := listenFlags{}
	f.defaults()
	f.kind = noPulse
	f.tempo, f.lead, f.countIn = 120, 1, 2 // a beat is 0.5 s, beat 1 comes at 2 s
	for _, tt := range []struct {
		line  string
		turns int
		want  float64 // s
	}{
		{"7:3 10:1", 0, 0},
		{"7:3 10:1", 1, 2 + 6},
		{"7:3 10:1", 3, 2 + 18},
		{"7:3 12:1", 1, 2 + 5.5 + 1}, // the last note rings for a second
		{"7:3 2/12:1", 1, 2 + 6},     // the second turn is not played
		{"7:3 2/12:1", 2, 2 + 6 + 5.5 + 1},
	} {
		f.line, f.turns = tt.line, tt.turns
		set, err := f.settings()
		require.NoError(t, err)
		assert.Equal(t, int64(tt.want*48000), endOf(set, 48000), "%s, %d turns", tt.line, tt.turns)
	}
}
