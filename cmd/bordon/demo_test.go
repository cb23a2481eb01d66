package main

import (
	"context"
	"encoding/json"
	"flag"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/audio"
	"bordon/listen/match"
)

// The demo is judged as it was played: each planted mistake is found, nothing
// else is accused.
func TestDemoIsJudgedAsItWasPlayed(t *testing.T) {
	d, err := fixtures.Demo()
	require.NoError(t, err)
	r := bordon(t, "demo", "--fast", "--format", "json")
	require.Equal(t, done, r.status, r.errOut)
	got := events(t, r.out)
	require.Len(t, got["verdict"], len(d.Truth))
	truth := map[string]fixtures.TruthNote{}
	for _, n := range d.Truth {
		truth[ftoa(float64(n.Turn))+"/"+n.Beat] = n
	}
	for _, e := range got["verdict"] {
		var b listen.Beat
		require.NoError(t, json.Unmarshal(e, &b))
		n, ok := truth[ftoa(float64(b.Turn))+"/"+b.Beat]
		require.True(t, ok)
		assert.Equal(t, wordOf(n), b.Pitch, "turn %d, beat %s", b.Turn, b.Beat)
		if b.Heard == nil {
			continue
		}
		assert.Equal(t, n.MIDI, b.Heard.MIDI, "turn %d, beat %s", b.Turn, b.Beat)
		timing := match.OnTime
		if n.Mistake == fixtures.Late {
			timing = match.Late
		}
		if assert.NotNil(t, b.Timing) {
			assert.Equal(t, timing, *b.Timing, "turn %d, beat %s", b.Turn, b.Beat)
		}
	}
	assert.Empty(t, got["extra"])
}

func TestDemoText(t *testing.T) {
	r := bordon(t, "demo", "--fast")
	require.Equal(t, done, r.status, r.errOut)
	for _, s := range []string{"G major   alegrías   104 a minute", "turn 2, beat 8      Bb2", "not in key", "B flat is not in G major", "notes right"} {
		assert.Contains(t, r.out, s)
	}
	assert.NotContains(t, r.out, "\x1b")
}

var write = flag.Bool("write", false, "write the demo's page into the README anew")

// The README shows what the demo says.
func TestReadmeShowsTheDemo(t *testing.T) {
	r := bordon(t, "demo", "--fast")
	require.Equal(t, done, r.status, r.errOut)
	_, drawn, found := strings.Cut(r.out, "\n\n")
	require.True(t, found, "the page stands behind the verdicts")
	const path = "../../README.md"
	readme, err := os.ReadFile(path)
	require.NoError(t, err)
	before, rest, found := strings.Cut(string(readme), "mistakes are deliberate:\n\n```\n")
	require.True(t, found)
	shown, after, found := strings.Cut(rest, "```\n")
	require.True(t, found)
	if *write {
		all := before + "mistakes are deliberate:\n\n```\n" + drawn + "```\n" + after
		require.NoError(t, os.WriteFile(path, []byte(all), 0o644))
		return
	}
	assert.Equal(t, drawn, shown)
}

// fakeLoudspeaker takes little at a time.
type fakeLoudspeaker struct {
	heard int
	load  float64
}

func (l *fakeLoudspeaker) Device() audio.Device        { return audio.Device{Name: "speaker"} }
func (l *fakeLoudspeaker) Drain(context.Context) error { return nil }
func (l *fakeLoudspeaker) Close() error                { return nil }
func (l *fakeLoudspeaker) Room() int                   { return 700 }
func (l *fakeLoudspeaker) Steady()                     {}
func (l *fakeLoudspeaker) Load() float64               { return l.load }

func (l *fakeLoudspeaker) Marks(func(int64, time.Duration)) {}

func (l *fakeLoudspeaker) Write(x []float32) int {
	n := min(len(x), 700)
	l.heard += n
	return n
}

// The loudspeaker hears ahead of the judging, and the judging goes on where
// the loudspeaker takes nothing more.
func TestPlayerFeedsTheLoudspeaker(t *testing.T) {
	out := &fakeLoudspeaker{}
	p := &player{samples: make([]float32, 4800), rate: demoRate, paced: true, out: out}
	buf := make([]float32, 1024)
	total := 0
	for {
		n, lost, err := p.Read(context.Background(), buf)
		total += n
		assert.Zero(t, lost)
		if err != nil {
			break
		}
		assert.LessOrEqual(t, n, p.block())
	}
	assert.Equal(t, 4800, total)
	assert.Equal(t, 4800, out.heard)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p = &player{samples: make([]float32, 480000), rate: demoRate, paced: true}
	_, _, err := p.Read(ctx, buf)
	for err == nil { // the first samples are due at once
		_, _, err = p.Read(ctx, buf)
	}
	assert.ErrorIs(t, err, context.Canceled)
}
