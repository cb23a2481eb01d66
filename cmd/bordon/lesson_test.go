package main

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/theory"
)

// The walk of the scenario, and its beats.
const walk = "7:B2 8:A2 9:F#2 10:G2"

var walkBeats = []string{"7", "8", "9", "10"}

// lesson is the program on a terminal, and somebody who plays in front of it.
type lesson struct {
	*terminal
	g       *guitarist
	dir     string
	program string
}

// sitDown opens the room for a lesson: the program's loudspeaker is a quiet
// one, whose claps the microphone hears too.
func sitDown(t *testing.T) *lesson {
	t.Helper()
	inRoom(t)
	module := pactl(t, "load-module", "module-remap-sink", "sink_name=quiet", "master="+os.Getenv("BORDON_SOUND_SINK"), "remix=no")
	t.Cleanup(func() { pactl(t, "unload-module", module) })
	pactl(t, "set-sink-volume", "quiet", "50%") // 18 dB down: PulseAudio's volumes are cubic
	t.Setenv("PULSE_SINK", "quiet")
	return &lesson{g: enterRoom(t), dir: t.TempDir(), program: built(t)}
}

// long leaves a test to make long.
func long(t *testing.T) {
	t.Helper()
	if os.Getenv("BORDON_LONG") == "" {
		t.Skip("it takes its time: BORDON_LONG=1 runs it")
	}
}

// begin opens the live screen. The cautions, which come once, were read.
func (l *lesson) begin(args ...string) {
	l.g.t.Helper()
	quoted := make([]string, len(args))
	for i, a := range args {
		quoted[i] = "'" + a + "'"
	}
	l.terminal = openTerminal(l.g.t, 100, 40, l.program+" listen "+strings.Join(quoted, " "), own(l.dir))
	l.until("WHO-ITU")
	l.keys("Enter")
}

func (l *lesson) keys(keys ...string) { l.tmux(append([]string{"send-keys"}, keys...)...) }

// end ends the program by a key.
func (l *lesson) end() {
	l.g.t.Helper()
	l.keys("q")
	l.until("status 0")
	l.restored()
}

// cell is what the page shows of one beat: the note, and what stands beneath.
type cell struct{ note, beneath string }

var rowLabel = regexp.MustCompile(`^  turn (\d+)(  |$)`)

// pageOn reads a page off a screen, by turn and beat.
func pageOn(screen string, beats []string) map[string]cell {
	var columns []int
	read := map[string]cell{}
	turn := 0
	for _, line := range strings.Split(screen, "\n") {
		if slices.Equal(strings.Fields(line), beats) {
			columns = nil
			runes := []rune(line)
			for i, at := 0, 0; i < len(beats); i++ {
				for runes[at] == ' ' {
					at++
				}
				columns = append(columns, at)
				at += len(beats[i])
			}
			continue
		}
		m := rowLabel.FindStringSubmatch(line)
		switch {
		case columns == nil:
		case m != nil:
			turn, _ = strconv.Atoi(m[1])
			for i, c := range cells(line, columns) {
				read[fmt.Sprintf("%d/%s", turn, beats[i])] = cell{note: c}
			}
		case turn > 0 && strings.HasPrefix(line, "           "):
			for i, c := range cells(line, columns) {
				at := fmt.Sprintf("%d/%s", turn, beats[i])
				read[at] = cell{read[at].note, strings.TrimSpace(read[at].beneath + " " + c)}
			}
		default:
			turn = 0
		}
	}
	return read
}

// shows holds a screen against the truth of a take, whose first turn is a turn
// of the page: right notes quiet, each mistake on its beat in the right words.
// timed tells that early and late are said.
func shows(t *testing.T, screen string, beats []string, k fixtures.Take, first int, timed bool) {
	t.Helper()
	key, err := theory.ParseKey(k.Key)
	require.NoError(t, err)
	read := pageOn(screen, beats)
	for _, n := range k.Truth {
		if !slices.Contains(beats, n.Beat) {
			continue
		}
		at := fmt.Sprintf("%d/%s", n.Turn-1+first, n.Beat)
		c, ok := read[at]
		if !assert.True(t, ok, "the screen shows nothing of %s:\n%s", at, screen) {
			return
		}
		name, asked := "no bass", "asked "+key.Spell(n.Asked).String()
		if n.MIDI > 0 {
			name = key.Spell(n.MIDI).String()
		}
		if c.note != name {
			assert.Equal(t, name, c.note, "%s\n%s", at, screen)
		}
		switch {
		case n.Mistake == fixtures.InScale:
			assert.Contains(t, c.beneath, "wrong, in key", at)
			assert.Contains(t, c.beneath, asked, at)
		case n.Mistake == fixtures.OutOfScale:
			assert.Contains(t, c.beneath, "not in key", at)
			assert.Contains(t, c.beneath, asked, at)
		case n.Mistake == fixtures.Octave:
			assert.Contains(t, c.beneath, "an octave", at)
		case n.Mistake == fixtures.Missing:
			assert.Contains(t, c.beneath, asked, at)
		case n.Mistake == fixtures.Late && timed:
			assert.Contains(t, c.beneath, "ms late", at)
		case n.Mistake == fixtures.Early && timed:
			assert.Contains(t, c.beneath, "ms early", at)
		default:
			assert.Empty(t, c.beneath, at)
		}
	}
}

// played is a take in a key at a tempo, with the mistakes that are planted.
func played(t *testing.T, key, line string, tempo float64, turns int, planted ...fixtures.Planted) fixtures.Take {
	t.Helper()
	k, err := fixtures.Generate(fixtures.Spec{Name: "lesson", Key: key, Line: line, Tempo: tempo, FirstBeat: 0.2, Turns: turns,
		Texture: fixtures.OneByOne, Hand: fixtures.Steady, Guitar: pluck.Classic(), Seed: 11, Mistakes: planted})
	require.NoError(t, err)
	return k
}

var countIn = regexp.MustCompile(`count-in: beat 1 comes (next|in (\d+) beats)`)

// join waits for the count-in at a tempo, and returns the monitor's sample of
// beat 1: the claps tell where a beat is, the screen which.
func (l *lesson) join(from int64, tempo float64, beats int) int64 {
	l.g.t.Helper()
	beat := 60 / tempo * roomRate
	claps := l.g.claps(from, beat)
	// The screen shows the beats left, rounded up, and is late by less than
	// three quarters of one.
	const later = 2.75
	l.g.wait(claps[0] + int64(later*beat) - l.g.now())
	m := countIn.FindStringSubmatch(l.screen())
	require.NotNil(l.g.t, m, "the count-in is clapped and not shown:\n%s", l.screen())
	left := 1
	if m[2] != "" {
		left, _ = strconv.Atoi(m[2])
	}
	first := left + 2
	if first != beats {
		l.g.t.Logf("the first clap of the count-in that was heard is %d beats before beat 1", first)
	}
	return claps[0] + int64(float64(first)*beat)
}

// turnAt is how many samples a turn of twelve beats lasts at a tempo.
func turnAt(tempo float64) int64 { return int64(math.Round(12 * 60 / tempo * roomRate)) }
