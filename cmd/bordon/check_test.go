package main

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures"
	"bordon/fixtures/schema"
	"bordon/listen"
	"bordon/listen/match"
)

// scenarioTake is a take of the scenario and its sound as a 16-bit file.
func scenarioTake(t *testing.T, name string) (fixtures.Take, []byte) {
	t.Helper()
	for _, s := range fixtures.Specs() {
		if s.Name == name {
			take, err := fixtures.Generate(s)
			require.NoError(t, err)
			return take, rendered(t, take)
		}
	}
	t.Fatalf("the scenario has no take %q", name)
	return fixtures.Take{}, nil
}

func rendered(t *testing.T, take fixtures.Take) []byte {
	t.Helper()
	x, err := take.Render(demoRate)
	require.NoError(t, err)
	return wav16(demoRate, x)
}

// flagsOf are check's flags for a take.
func flagsOf(t fixtures.Take) []string {
	return []string{"--key", t.Key, "--form", t.Form, "--line", t.Line,
		"--tempo", ftoa(t.Tempo), "--first-beat", ftoa(t.FirstBeat),
		"--cejilla", strconv.Itoa(t.Cejilla), "--a4", ftoa(t.A4)}
}

func ftoa(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// wordOf is the verdict on a note of a take's truth, as the design has it.
func wordOf(n fixtures.TruthNote) match.Word {
	switch n.Mistake {
	case fixtures.InScale, fixtures.OutOfScale, fixtures.Octave, fixtures.Missing, fixtures.Strummed:
		return match.Word(n.Mistake)
	}
	return match.Right
}

func TestCheckJSON(t *testing.T) {
	take, sound := scenarioTake(t, "b-flat-right")
	dir := inFolder(t, map[string][]byte{"take.wav": sound})
	file := filepath.Join(dir, "take.wav")
	r := bordon(t, append(append([]string{"check", "--format", "json"}, flagsOf(take)...), file)...)
	require.Equal(t, done, r.status, r.errOut)
	assert.Empty(t, r.errOut)
	require.NoError(t, schema.Validate(schema.Check, []byte(r.out)))
	var got listen.Check
	require.NoError(t, json.Unmarshal([]byte(r.out), &got))
	assert.Equal(t, file, got.File)
	assert.Equal(t, "G", got.Key)
	assert.Equal(t, 3, got.Cejilla)
	assert.Equal(t, take.Line, got.Line)
	assert.Equal(t, take.Tempo, got.Tempo)
	assert.InDelta(t, take.FirstBeat, got.FirstBeat, 1e-9, "the same decimal number")
	require.Len(t, got.Beats, 16)
	for _, b := range got.Beats {
		assert.NotEmpty(t, b.Expected.Fingered, "with a cejilla the fingered name stands beside")
	}
	assert.Equal(t, 16, got.Score.Judged)
}

func TestCheckText(t *testing.T) {
	take, sound := scenarioTake(t, "g-right")
	dir := inFolder(t, map[string][]byte{"take.wav": sound})
	r := bordon(t, append(append([]string{"check"}, flagsOf(take)...), filepath.Join(dir, "take.wav"))...)
	require.Equal(t, done, r.status, r.errOut)
	for _, s := range []string{"take.wav", "G major", "turn 1", "turn 4", "notes right"} {
		assert.Contains(t, r.out, s)
	}
	assert.NotContains(t, r.out, "\x1b")
}

// Several files give what each gives alone, in the order given.
func TestCheckSeveral(t *testing.T) {
	take, sound := scenarioTake(t, "d-right")
	names := []string{"c.wav", "a.wav", "b.wav"}
	files := map[string][]byte{}
	for i, n := range names {
		files[n] = sound[:len(sound)-i*2*demoRate*12]
	}
	dir := inFolder(t, files)
	var paths []string
	for _, n := range names {
		paths = append(paths, filepath.Join(dir, n))
	}
	args := append([]string{"check", "--format", "json"}, flagsOf(take)...)
	r := bordon(t, append(args, paths...)...)
	require.Equal(t, done, r.status, r.errOut)
	require.NoError(t, schema.Validate(schema.Check, []byte(r.out)))
	var all []json.RawMessage
	require.NoError(t, json.Unmarshal([]byte(r.out), &all))
	require.Len(t, all, len(names))
	for i, p := range paths {
		alone := bordon(t, append(args, p)...)
		assert.JSONEq(t, alone.out, string(all[i]))
	}
	assert.Contains(t, r.errOut, "stops before the end", "two headers announce more than there is")
}

func TestCheckIsStopped(t *testing.T) {
	take, sound := scenarioTake(t, "d-right")
	dir := inFolder(t, map[string][]byte{"take.wav": sound})
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r := bordonWith(t, ctx, sound0, append(append([]string{"check"}, flagsOf(take)...), filepath.Join(dir, "take.wav"))...)
	assert.Equal(t, failed, r.status)
	assert.Empty(t, r.out)
	assert.Contains(t, r.errOut, "stopped")
}

var sound0 sound

func TestHelpHasExamples(t *testing.T) {
	n := 0
	var all func(cmd *cobra.Command)
	all = func(cmd *cobra.Command) {
		n++
		path := strings.Fields(cmd.CommandPath())
		r := bordon(t, append(path[1:], "--help")...)
		assert.Equal(t, done, r.status)
		assert.Contains(t, r.out, "Examples:\n", "%v", path)
		assert.Contains(t, cmd.Example, cmd.CommandPath())
		for _, c := range cmd.Commands() {
			all(c)
		}
	}
	all((&app{sound: silent(sound{})}).root())
	assert.GreaterOrEqual(t, n, 12, "bordon, check, listen, line, key, demo, help, completion and its four shells")
}

// Every example of the help and of the README is a command line that is
// understood.
func TestExamplesAreRight(t *testing.T) {
	a := &app{sound: silent(sound{})}
	root := a.root()
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	t.Chdir(t.TempDir()) // some write a file
	for name, text := range map[string]string{
		"README": string(readme), "bordon": root.Example,
		"check": find(t, root, "check").Example, "listen": find(t, root, "listen").Example,
		"line": find(t, root, "line").Example, "key": find(t, root, "key").Example,
	} {
		n := 0
		for line := range strings.Lines(text) {
			line, _, _ = strings.Cut(strings.TrimSpace(line), "   ")
			line, _, _ = strings.Cut(line, "  #")
			line, _, _ = strings.Cut(line, " > ") // the shell's
			args := split(line)
			if len(args) < 2 || args[0] != "bordon" || args[1] == "demo" {
				continue
			}
			n++
			r := bordon(t, args[1:]...)
			assert.NotEqual(t, wrong, r.status, "%s: %s", line, r.errOut)
		}
		assert.GreaterOrEqual(t, n, 2, "%s", name)
	}
}

func find(t *testing.T, root *cobra.Command, name string) *cobra.Command {
	t.Helper()
	cmd, _, err := root.Find([]string{name})
	require.NoError(t, err)
	return cmd
}

// split splits a command line at spaces outside quotes.
func split(line string) []string {
	var args []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			args = append(args, part)
		} else {
			args = append(args, strings.Fields(part)...)
		}
	}
	return args
}

func TestCompletion(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish"} {
		r := bordon(t, "completion", shell)
		assert.Equal(t, done, r.status)
		assert.Contains(t, r.out, "bordon")
	}
	tests := []struct {
		args []string
		want []string
	}{
		{[]string{"check", "--key", ""}, []string{"Bb", "F#m", "por-medio", "por-arriba"}},
		{[]string{"listen", "--form", ""}, []string{"alegrias", "solea"}},
		{[]string{"check", "--tolerance", ""}, []string{"learning", "performing"}},
		{[]string{"listen", "--format", ""}, []string{"text", "json"}},
		{[]string{""}, []string{"check", "listen", "demo"}},
	}
	for _, tt := range tests {
		r := bordon(t, append([]string{"__complete"}, tt.args...)...)
		assert.Equal(t, done, r.status)
		for _, w := range tt.want {
			assert.Contains(t, strings.Fields(r.out), w, "%v", tt.args)
		}
	}
}

// A key that a shell offers is one.
func TestCompletedValuesAreRight(t *testing.T) {
	for _, k := range keyValues() {
		f := musicFlags{}
		f.defaults()
		f.key, f.tempo = k, 100
		_, err := f.settings()
		assert.NoError(t, err)
	}
	for _, l := range lineValues() {
		f := musicFlags{}
		f.defaults()
		f.key, f.tempo, f.line = "Am", 100, l
		_, err := f.settings()
		assert.NoError(t, err)
	}
}

// A full device must be told of, not ignored.
func TestOutputThatFails(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("there is no /dev/full here")
	}
	defer full.Close()
	take, sound := scenarioTake(t, "d-right")
	dir := inFolder(t, map[string][]byte{"take.wav": sound})
	for _, format := range formats {
		var errOut strings.Builder
		a := &app{stdin: strings.NewReader(""), stdout: full, stderr: &errOut, sound: silent(sound0)}
		args := append(append([]string{"check", "--format", format}, flagsOf(take)...), filepath.Join(dir, "take.wav"))
		assert.Equal(t, failed, a.run(context.Background(), args))
		assert.Contains(t, errOut.String(), "no space left")
	}
}
