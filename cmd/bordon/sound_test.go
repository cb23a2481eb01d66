package main

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"
	"bordon/listen/take"
)

// built is the program, built once for a test.
func built(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "bordon")
	out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput()
	require.NoError(t, err, "%s", out)
	return path
}

// own is an environment in which the program keeps its files in dir.
func own(dir string) []string {
	return append(os.Environ(), "XDG_DATA_HOME="+dir, "XDG_STATE_HOME="+dir, "XDG_CONFIG_HOME="+dir)
}

// inRoom skips the test outside the private sound server of .ci/sound.
func inRoom(t *testing.T) {
	t.Helper()
	if os.Getenv("BORDON_SOUND") != "1" {
		t.Skip("it needs a room: .ci/sound go test ./cmd/bordon")
	}
}

// A take played into the room is judged live, and the recording of it gives
// the very same beats.
func TestSoundLiveEqualsFile(t *testing.T) {
	inRoom(t)
	program, dir := built(t), t.TempDir()
	spec := fixtures.Specs()[0]
	for _, s := range fixtures.Specs() {
		if s.Name == "g-mistakes" {
			spec = s
		}
	}
	const turns = 2
	spec.Turns = turns
	spec.Mistakes = []fixtures.Planted{
		{Turn: 1, Beat: "8", What: fixtures.InScale},
		{Turn: 2, Beat: "9", What: fixtures.OutOfScale},
	}
	played, err := fixtures.Generate(spec)
	require.NoError(t, err)
	wav := filepath.Join(dir, "played.wav")
	require.NoError(t, os.WriteFile(wav, rendered(t, played), 0o644))

	music := []string{"--key", played.Key, "--line", played.Line, "--tempo", ftoa(played.Tempo)}
	args := append([]string{"listen", "--format", "json", "--turns", "2", "--delay", "0", "--lead", "1", "--pulse", "none"}, music...)
	cmd := exec.Command(program, args...)
	cmd.Env = own(dir)
	pipe, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	defer cmd.Process.Kill()
	lines := bufio.NewScanner(pipe)
	require.True(t, lines.Scan(), "no start event")
	began := time.Now()
	var start struct {
		Event string
		First float64 `json:"first_beat_s"`
	}
	require.NoError(t, json.Unmarshal(lines.Bytes(), &start))
	require.Equal(t, "start", start.Event)

	// The player is let off so that beat 1 comes near the grid's. How near is
	// the sound server's affair: an expected note owns 260 ms either side.
	time.Sleep(time.Until(began.Add(time.Duration((start.First - played.FirstBeat) * float64(time.Second)))))
	player := exec.Command("paplay", wav)
	require.NoError(t, player.Start())
	defer player.Wait()

	out := bytes.NewBuffer(nil)
	for lines.Scan() {
		out.Write(append(lines.Bytes(), '\n'))
	}
	require.NoError(t, cmd.Wait())
	got := events(t, out.String())
	require.Len(t, got["verdict"], len(played.Truth))
	require.Empty(t, got["gap"])
	var end struct{ Dir string }
	require.Len(t, got["end"], 1)
	require.NoError(t, json.Unmarshal(got["end"][0], &end))

	check := bordon(t, append(append([]string{"check", "--format", "json", "--first-beat", ftoa(start.First)}, music...),
		filepath.Join(end.Dir, take.WAVName))...)
	require.Equal(t, done, check.status, check.errOut)
	sameBeats(t, got["verdict"], check.out)

	// That something was heard: what was played, but for what the offset of
	// the player's start may cost.
	var file listen.Check
	require.NoError(t, json.Unmarshal([]byte(check.out), &file))
	agree := 0
	for i, b := range file.Beats {
		n := played.Truth[i]
		heard, offset := "-", "-"
		if b.Heard != nil {
			heard = b.Heard.Name
		}
		if b.Offset != nil {
			offset = ftoa(*b.Offset)
		}
		t.Logf("turn %d beat %-3s played %-12s live and file: %-12s heard %-4s offset %s ms", b.Turn, b.Beat, wordOf(n), b.Pitch, heard, offset)
		if b.Pitch == wordOf(n) {
			agree++
		}
	}
	assert.GreaterOrEqual(t, agree, len(file.Beats)-1)
}

// Interrupt, terminate and hang up end listening; what was heard is kept.
func TestSoundSignalsKeepTheRecording(t *testing.T) {
	inRoom(t)
	program := built(t)
	for _, sig := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP} {
		t.Run(sig.String(), func(t *testing.T) {
			dir := t.TempDir()
			cmd := exec.Command(program, "listen", "--format", "json", "--lead", "0", "--tempo", "200", "--pulse", "none")
			cmd.Env = own(dir)
			pipe, err := cmd.StdoutPipe()
			require.NoError(t, err)
			require.NoError(t, cmd.Start())
			defer cmd.Process.Kill()
			lines := bufio.NewScanner(pipe)
			require.True(t, lines.Scan(), "no start event")
			var start struct {
				First float64 `json:"first_beat_s"`
			}
			require.NoError(t, json.Unmarshal(lines.Bytes(), &start))
			for lines.Scan() && !strings.Contains(lines.Text(), `"event":"score"`) {
			} // a turn has passed
			require.NoError(t, cmd.Process.Signal(sig))
			last := ""
			for lines.Scan() {
				last = lines.Text()
			}
			require.NoError(t, cmd.Wait())
			var end struct{ Event, Dir string }
			require.NoError(t, json.Unmarshal([]byte(last), &end))
			require.Equal(t, "end", end.Event)
			r := bordon(t, "check", "--format", "json", "-k", defaultKey, "-t", "200", "--first-beat", ftoa(start.First), filepath.Join(end.Dir, take.WAVName))
			require.Equal(t, done, r.status, r.errOut)
			var c listen.Check
			require.NoError(t, json.Unmarshal([]byte(r.out), &c))
			assert.NotEmpty(t, c.Beats)
			for _, b := range c.Beats {
				assert.Equal(t, match.Missing, b.Pitch, "the room was silent")
			}
		})
	}
}

// The live screen in a room: the cautions once, the count-in, the turns, and a
// take that is kept.
func TestSoundScreen(t *testing.T) {
	inRoom(t)
	dir := t.TempDir()
	command := built(t) + " listen -k G -t 180 --lead 3 --turns 1 --pulse none"
	s := openTerminal(t, 80, 24, command, own(dir))
	s.until("WHO-ITU")
	s.tmux("send-keys", "Enter")
	s.until("get ready")
	s.until("count-in")
	s.until("no bass")
	last := s.until("the take is over")
	assert.Contains(t, last, "Early and late are not said")
	s.tmux("send-keys", "q")
	after := s.until("status 0")
	assert.Contains(t, after, "the take is in")
	assert.NotContains(t, strings.ToUpper(after), "ALSA", "sound libraries wrote over the page")
	s.restored()

	again := openTerminal(t, 80, 24, command, own(dir))
	assert.NotContains(t, again.until("get ready"), "WHO-ITU", "once is enough")
	again.tmux("send-keys", "C-c")
	again.until("status 0")
	kept, err := filepath.Glob(filepath.Join(dir, "bordon", "takes", "*", take.JSONName))
	require.NoError(t, err)
	assert.Len(t, kept, 2)
}

// The demo is heard where there is a loudspeaker, never above full scale.
func TestSoundDemoIsHeard(t *testing.T) {
	inRoom(t)
	program, dir := built(t), t.TempDir()
	raw := filepath.Join(dir, "heard.raw")
	recorder := exec.Command("parecord", "--raw", "--format=float32le", "--rate=48000", "--channels=1",
		"--device="+os.Getenv("BORDON_SOUND_SINK")+".monitor", raw)
	require.NoError(t, recorder.Start())
	defer recorder.Wait()
	defer recorder.Process.Kill()

	cmd := exec.Command(program, "demo", "--format", "json")
	cmd.Env = own(dir)
	pipe, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	defer cmd.Process.Kill()
	lines := bufio.NewScanner(pipe)
	require.True(t, lines.Scan(), "no start event")
	var start struct{ Devices listen.Devices }
	require.NoError(t, json.Unmarshal(lines.Bytes(), &start))
	assert.NotEmpty(t, start.Devices.Output)
	for lines.Scan() && !strings.Contains(lines.Text(), `"event":"score"`) {
	} // the first turn is over
	require.NoError(t, cmd.Process.Signal(syscall.SIGINT))
	for lines.Scan() {
	}
	require.NoError(t, cmd.Wait())

	heard, err := os.ReadFile(raw)
	require.NoError(t, err)
	peak := float32(0)
	for i := 0; i+4 <= len(heard); i += 4 {
		x := math.Float32frombits(binary.LittleEndian.Uint32(heard[i:]))
		peak = max(peak, x, -x)
	}
	assert.Greater(t, peak, float32(0.1), "chords of the built-in performance peak at half of full scale")
	assert.LessOrEqual(t, peak, float32(1))
}
