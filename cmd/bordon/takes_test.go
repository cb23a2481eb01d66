package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures/schema"
	"bordon/listen"
	"bordon/listen/take"
)

// shelf runs commands one after the other with one folder of takes.
type shelf struct {
	t     *testing.T
	takes string
	state string
}

func newShelf(t *testing.T) *shelf {
	return &shelf{t, filepath.Join(t.TempDir(), "takes"), t.TempDir()}
}

func (s *shelf) run(args ...string) (status int, out, errOut string) {
	s.t.Helper()
	return s.with(sound{}, args...)
}

func (s *shelf) with(snd sound, args ...string) (status int, out, errOut string) {
	s.t.Helper()
	var o, e bytes.Buffer
	a := &app{stdin: strings.NewReader(""), stdout: &o, stderr: &e, sound: silent(snd), takes: s.takes, state: s.state}
	status = a.run(context.Background(), args)
	return status, o.String(), e.String()
}

// good runs a command that succeeds, and returns what it says.
func (s *shelf) good(args ...string) string {
	s.t.Helper()
	status, out, errOut := s.run(args...)
	require.Equal(s.t, done, status, errOut)
	return out
}

// record keeps the built-in performance as a take, through the microphone, and
// returns its ID.
func (s *shelf) record() string {
	s.t.Helper()
	mic, d := demoMicrophone(s.t)
	status, out, errOut := s.with(room(mic), append(listenFlagsOf(d), "--delay", "0", "--turns", "4", "--format", "json")...)
	require.Equal(s.t, done, status, errOut)
	var end struct{ Dir string }
	require.NoError(s.t, json.Unmarshal(events(s.t, out)["end"][0], &end))
	return filepath.Base(end.Dir)
}

// A take's journey from listen to the plan.
func TestATakesJourney(t *testing.T) {
	s := newShelf(t)
	assert.Empty(t, s.good("takes"))
	id := s.record()

	listed := s.good("takes", "list", "--format", "json")
	require.NoError(t, schema.Validate(schema.Takes, []byte(listed)))
	var list []struct {
		ID, Dir string
		Turns   int
		Score   listen.Score
	}
	require.NoError(t, json.Unmarshal([]byte(listed), &list))
	require.Len(t, list, 1)
	assert.Equal(t, []any{id, filepath.Join(s.takes, id), 4, 14}, []any{list[0].ID, list[0].Dir, list[0].Turns, list[0].Score.Right})

	shown := s.good("takes", "show", "last")
	for _, said := range []string{"G major", "not in key", "asked A2", "turn 2, beat 8: B flat is not in G major", "14 of 16 notes right"} {
		assert.Contains(t, shown, said)
	}
	assert.Contains(t, s.good("takes", "check", id), "the same verdicts, to the sample")

	// The player has the last word.
	s.good("takes", "overrule", "last", "2", "8", "right", "--why", "it was A\x1b[31m")
	s.good("takes", "note", "last", "new", "strings")
	assert.Equal(t, "new strings\n", s.good("takes", "note", "last"))
	shown = s.good("takes", "show", "last")
	for _, said := range []string{"you say: right", "turn 2, beat 8: you say right; the ear had said not in key", "15 of 16 notes right", "Note: new strings"} {
		assert.Contains(t, shown, said)
	}
	assert.NotContains(t, shown, "\x1b")
	assert.Contains(t, s.good("takes", "check", "last"), "the same verdicts", "the ear's own")
	assert.Contains(t, s.good("takes", "show", "last"), "you say: right", "the ruling survives")
	player, err := os.ReadFile(filepath.Join(s.takes, id, take.PlayerName))
	require.NoError(t, err)
	require.NoError(t, schema.Validate(schema.Player, player))

	// The case that the ear got wrong is judged from its own sound.
	folder := filepath.Join(t.TempDir(), "cases")
	path := strings.TrimSpace(s.good("takes", "cases", folder))
	described, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, schema.Validate(schema.Case, described))
	var c take.Case
	require.NoError(t, json.Unmarshal(described, &c))
	var checked listen.Check
	out := s.good("check", "-k", c.Settings.Key, "-t", ftoa(c.Settings.Tempo), "-l", c.Settings.Line, "--first-beat", ftoa(c.Settings.FirstBeat),
		"--format", "json", filepath.Join(folder, c.File))
	require.NoError(t, json.Unmarshal([]byte(out), &checked))
	require.NotEmpty(t, checked.Beats)
	assert.Equal(t, c.Ear.Pitch, checked.Beats[1].Pitch)
	assert.Equal(t, c.Ear.Heard.MIDI, checked.Beats[1].Heard.MIDI)
	s.good("takes", "overrule", "last", "2", "8", "ear")

	require.NoError(t, schema.Validate(schema.Show, []byte(s.good("takes", "show", "last", "--format", "json"))))

	// It plays again, and says the same.
	again := events(t, s.good("takes", "again", "last", "--fast", "--format", "json"))
	require.Len(t, again["verdict"], 16)
	sameBeats(t, again["verdict"], checkOf(t, s, id))

	second := s.record()
	assert.Contains(t, s.good("takes", "compare", id, second), "2 of 4")
	assert.Contains(t, s.good("takes", "compare", id, second), " | ")

	path = strings.TrimSpace(s.good("takes", "report", "last"))
	assert.Equal(t, filepath.Join(s.takes, second, take.ReportName), path)
	assert.FileExists(t, path)

	progress := s.good("takes", "progress", "--format", "json")
	require.NoError(t, schema.Validate(schema.Progress, []byte(progress)))
	var p take.Progress
	require.NoError(t, json.Unmarshal([]byte(progress), &p))
	require.Len(t, p.Weakest, 1)
	assert.Equal(t, []any{"G", "8", 4, 8}, []any{p.Weakest[0].Key, p.Weakest[0].Beat, p.Weakest[0].Right, p.Weakest[0].Of})
	require.Len(t, p.Plan, 1)
	assert.Equal(t, []float64{83, 94, 104}, p.Plan[0].Tempos)
	text := s.good("takes", "progress")
	for _, said := range []string{"beat 8 in G", "weak: 4 of 8", "8 turns each at 83, 94, 104 a minute", "takes more would tell", "Wilson"} {
		assert.Contains(t, text, said)
	}
	html := filepath.Join(t.TempDir(), "p.html")
	s.good("takes", "progress", "--html", html)
	assert.FileExists(t, html)
}

func checkOf(t *testing.T, s *shelf, id string) string {
	t.Helper()
	var d struct{ Check json.RawMessage }
	b, err := os.ReadFile(filepath.Join(s.takes, id, take.JSONName))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, &d))
	return string(d.Check)
}

// A recording that was cut short is repaired at the next start, which says so.
func TestTheNextStartRepairs(t *testing.T) {
	s := newShelf(t)
	id := s.record()
	dir := filepath.Join(s.takes, id)
	whole, err := os.ReadFile(filepath.Join(dir, take.WAVName))
	require.NoError(t, err)
	// As a kill leaves it: no sizes, half a sample at the end, the mark.
	cut := append([]byte(nil), whole[:len(whole)*3/4]...)
	copy(cut[4:8], []byte{0, 0, 0, 0})
	copy(cut[40:44], []byte{0, 0, 0, 0})
	require.NoError(t, os.WriteFile(filepath.Join(dir, take.WAVName), cut, 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "recording"), nil, 0o644))
	status, out, errOut := s.run("takes", "list")
	require.Equal(t, done, status)
	assert.Contains(t, errOut, "The take "+id+" had been cut short;")
	assert.Contains(t, out, id)
	described, err := os.ReadFile(filepath.Join(dir, take.JSONName))
	require.NoError(t, err)
	require.NoError(t, schema.Validate(schema.Take, described))
	_, _, errOut = s.run("takes", "list")
	assert.Empty(t, errOut, "told once")
}

func TestImport(t *testing.T) {
	s := newShelf(t)
	mic, d := demoMicrophone(t)
	dir := inFolder(t, map[string][]byte{"phone.wav": wav16(demoRate, mic.samples), "bad.wav": []byte("no sound")})
	args := []string{"takes", "import", "-k", d.Key, "-t", ftoa(d.Tempo), "-l", d.Line, "--first-beat", ftoa(d.FirstBeat), "--started", "2030-01-31T18:05:07"}
	out := s.good(append(args, filepath.Join(dir, "phone.wav"))...)
	assert.Equal(t, filepath.Join(s.takes, "2030-01-31T18-05-07-G")+"\n", out)
	described, err := os.ReadFile(filepath.Join(strings.TrimSpace(out), take.JSONName))
	require.NoError(t, err)
	require.NoError(t, schema.Validate(schema.Take, described))
	assert.Contains(t, s.good("takes", "check", "last"), "the same verdicts")
	for _, bad := range []string{filepath.Join(dir, "bad.wav"), filepath.Join(dir, "gone.wav")} {
		status, out, errOut := s.run(append(args, bad)...)
		assert.Equal(t, failed, status)
		assert.Empty(t, out)
		assert.Equal(t, 1, strings.Count(errOut, "\n"), errOut)
	}
	assert.Len(t, strings.Split(strings.TrimSpace(s.good("takes")), "\n"), 2, "a head and one take")
}

func TestListChooses(t *testing.T) {
	s := newShelf(t)
	id := s.record()
	for _, args := range [][]string{{"-k", "G"}, {"--form", "alegrías"}, {"-l", "8:"}, {"-t", "104"}, {"-t", "90-110"}, {"--since", "2020-01-01"},
		{"--until", time.Now().Format("2006-01-02")}, {"--sort", "right", "--reverse"}, {"--cejilla", "0"}} {
		assert.Contains(t, s.good(append([]string{"takes"}, args...)...), id, args)
	}
	for _, args := range [][]string{{"-k", "D"}, {"--form", "solea"}, {"-l", "9:1"}, {"-t", "80"}, {"-t", "105-200"}, {"--since", "2199-01-01"}, {"--until", "2020-01-01"}} {
		status, out, errOut := s.run(append([]string{"takes"}, args...)...)
		assert.Equal(t, done, status)
		assert.Empty(t, out)
		assert.Contains(t, errOut, "No take is like that", args)
		assert.JSONEq(t, "[]", s.good(append([]string{"takes", "--format", "json"}, args...)...))
	}
}

func TestTakesRefuse(t *testing.T) {
	s := newShelf(t)
	status, _, errOut := s.run("takes", "show", "last")
	assert.Equal(t, failed, status)
	assert.Contains(t, errOut, "no takes yet")
	id := s.record()
	for _, tt := range []struct {
		args   []string
		status int
		says   string
	}{
		{[]string{"show", id + "x"}, failed, "the nearest is " + id},
		{[]string{"show", "../../etc"}, failed, "there is no take in"},
		{[]string{"show"}, wrong, "too little"},
		{[]string{"shwo"}, wrong, "no command"},
		{[]string{"compare", id}, wrong, "too little"},
		{[]string{"note", "../x", "y"}, failed, "there is no take in"},
		{[]string{"overrule", id, "two", "8", "right"}, wrong, "no turn"},
		{[]string{"overrule", id, "2", "11", "right"}, failed, "it asks on 7, 8, 9, 10"},
		{[]string{"overrule", id, "2", "8", "good"}, failed, "no verdict"},
		{[]string{"overrule", id, "2", "8", "ear"}, failed, "was not overruled"},
		{[]string{"delete", id}, failed, "--yes"},
		{[]string{"delete", "--yes", "../" + id}, failed, "there is no take"},
		{[]string{"delete", "--yes", "../../takes/" + id}, failed, "there is no take"},
		{[]string{"list", "--since", "yesterday"}, wrong, "--since wants a day"},
		{[]string{"list", "-t", "fast"}, wrong, "--tempo wants"},
		{[]string{"list", "-k", "H"}, wrong, "H"},
		{[]string{"list", "--sort", "size"}, wrong, "date or key"},
		{[]string{"import", "-k", "G", "-t", "104"}, wrong, "no file"},
		{[]string{"report", "2099"}, failed, "there is no take"},
	} {
		status, out, errOut := s.run(append([]string{"takes"}, tt.args...)...)
		assert.Equal(t, tt.status, status, tt.args)
		assert.Empty(t, out, tt.args)
		assert.Contains(t, errOut, tt.says, tt.args)
		assert.Equal(t, 1, strings.Count(errOut, "\n"), "one sentence: %q", errOut)
	}
	assert.DirExists(t, filepath.Join(s.takes, id))
	s.good("takes", "delete", "--yes", id)
	assert.NoDirExists(t, filepath.Join(s.takes, id))
}
