package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/schema"
	"bordon/listen"
	"bordon/listen/audio"
	"bordon/listen/take"
)

// freeMicrophone hears a take played free.
func freeMicrophone(t *testing.T, kind string, seed uint64) (*fakeMicrophone, fixtures.FreeTake) {
	t.Helper()
	spec, err := fixtures.DrawFree(kind, pluck.Classic(), seed)
	require.NoError(t, err)
	played, err := fixtures.Free(spec)
	require.NoError(t, err)
	x, err := played.Sound(fixtures.Synthesised{}, demoRate)
	require.NoError(t, err)
	return &fakeMicrophone{player: player{samples: x, rate: demoRate}, device: audio.Device{Name: "room"}}, played
}

func followFlags(played fixtures.FreeTake, more ...string) []string {
	return append([]string{"listen", "--follow", "--key", played.Key, "--form", played.Form, "--line", played.Line}, more...)
}

// The stream tells where the place is found and lost, what is provisional, and
// at the end the verdicts that check gives on the take's file; so does the take
// when it is judged again.
func TestFollowJSON(t *testing.T) {
	mic, played := freeMicrophone(t, "broken off, on in mid-compás", 2)
	takes := filepath.Join(t.TempDir(), "takes")
	var out, errOut bytes.Buffer
	a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: room(mic), takes: takes, state: t.TempDir(), config: t.TempDir() + "/config.toml"}
	require.Equal(t, done, a.run(context.Background(), followFlags(played, "--format", "json")), errOut.String())
	assert.Contains(t, errOut.String(), "your own pulse")

	got := events(t, out.String())
	var start struct{ Follow bool }
	require.NoError(t, json.Unmarshal(got["start"][0], &start))
	assert.True(t, start.Follow)
	require.Len(t, got["found"], 2)
	require.Len(t, got["lost"], 1)
	assert.NotEmpty(t, got["provisional"])
	require.Len(t, got["score"], 1)

	var end struct{ Dir string }
	require.NoError(t, json.Unmarshal(got["end"][0], &end))
	described, err := os.ReadFile(filepath.Join(end.Dir, take.JSONName))
	require.NoError(t, err)
	require.NoError(t, schema.Validate(schema.Take, described))
	check := bordon(t, "check", "--key", played.Key, "--form", played.Form, "--line", played.Line, "--format", "json", filepath.Join(end.Dir, take.WAVName))
	require.Equal(t, done, check.status, check.errOut)
	sameBeats(t, got["verdict"], check.out)
	var file listen.Check
	require.NoError(t, json.Unmarshal([]byte(check.out), &file))
	var kept listen.Take
	require.NoError(t, json.Unmarshal(described, &kept))
	file.File = kept.Check.File
	assert.Equal(t, file, kept.Check)

	s, err := take.Load(end.Dir)
	require.NoError(t, err)
	again, err := s.Judge(context.Background(), takeWords)
	require.NoError(t, err)
	assert.Equal(t, kept.Check, again.Check(kept.Check.File))
}

func TestFollowInLines(t *testing.T) {
	mic, played := freeMicrophone(t, "constant", 1)
	r := bordonWith(t, context.Background(), room(mic), followFlags(played, "--record=false")...)
	require.Equal(t, done, r.status, r.errOut)
	for _, s := range []string{"Play: the compás", "The compás is found: turn 1, beat "} {
		assert.Contains(t, r.errOut, s)
	}
	assert.NotContains(t, r.errOut, "lost")
	title, _, _ := strings.Cut(r.out, "\n")
	assert.NotContains(t, title, "a minute", "no tempo is known yet")
	for _, s := range []string{"turn 2, beat", "The compás was found in the sound", "The last turn is", "notes right"} {
		assert.Contains(t, r.out, s)
	}
}

// Where no compás is found the take is kept, and why is said.
func TestFollowFindsNothing(t *testing.T) {
	mic, played := freeMicrophone(t, "noodling only", 3)
	takes := filepath.Join(t.TempDir(), "takes")
	var out, errOut bytes.Buffer
	a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: room(mic), takes: takes, state: t.TempDir(), config: t.TempDir() + "/config.toml"}
	require.Equal(t, done, a.run(context.Background(), followFlags(played, "--format", "json")), errOut.String())
	assert.Contains(t, errOut.String(), "o compás was found")
	got := events(t, out.String())
	assert.Empty(t, got["verdict"])
	assert.Empty(t, got["found"])
	var end struct{ Dir string }
	require.NoError(t, json.Unmarshal(got["end"][0], &end))
	s, err := take.Load(end.Dir)
	require.NoError(t, err)
	assert.Empty(t, s.Take.Check.Beats)
	assert.InDelta(t, float64(len(mic.samples))/demoRate, s.Take.Length, 0.01)
}

func TestFollowRefusesAPulse(t *testing.T) {
	for _, more := range [][]string{{"--tempo", "104"}, {"--pulse", "claps"}, {"--count-in", "6"}, {"--untimed"}, {"--delay", "20"}, {"--turns", "4"}, {"--say", "alegrías in G"}} {
		r := bordon(t, append([]string{"listen", "--follow", "--key", "G"}, more...)...)
		assert.Equal(t, wrong, r.status)
		assert.Contains(t, r.errOut, more[0]+" does not go with --follow")
	}
}
