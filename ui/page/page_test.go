package page

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen"
	"bordon/listen/grid"
	"bordon/listen/match"
	"bordon/theory"
	"bordon/ui/words"
)

var write = flag.Bool("write", false, "write the golden files anew")

const rate = 48000

// golden compares s with testdata/name.golden.
func golden(t *testing.T, name, s string) {
	t.Helper()
	path := filepath.Join("testdata", name+".golden")
	if *write {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, []byte(s), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), s)
}

// settings are the scenario's: alegrías in a key, at 104, beat 1 at second 2.
func settings(t *testing.T, key, line string, cejilla int) listen.Settings {
	t.Helper()
	k, err := theory.ParseKey(key)
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	var l theory.Line
	if line == "" {
		l, err = theory.DefaultLine(k, form, theory.Standard)
	} else {
		l, err = theory.ParseLine(line, k, form, theory.Standard)
	}
	require.NoError(t, err)
	return listen.Settings{
		Key: k, Form: form, Line: l, Tempo: 104, FirstBeat: 2, Cejilla: cejilla, A4: 440,
		Tolerance: match.Learning, DelayKnown: true,
		Reason: words.English.Reason,
	}
}

// take plays verdicts into a writer.
type take struct {
	t   *testing.T
	set listen.Settings
	w   *Writer
}

func newTake(t *testing.T, set listen.Settings) *take {
	return &take{t, set, NewWriter(words.English, set, rate)}
}

func (k *take) item(turn int, beat string) theory.Item {
	for _, it := range k.set.Line.Items {
		if beatName(it.Position) == beat && it.Position.Turn == (turn-1)%k.set.Line.Turns+1 {
			return it
		}
	}
	k.t.Fatalf("the line asks for nothing on beat %s of turn %d", beat, turn)
	return theory.Item{}
}

// verdict makes one: heard is a sounding note, "" for none.
func (k *take) verdict(turn int, beat string, word match.Word, heard string, ms float64, timing match.Timing) match.Verdict {
	it := k.item(turn, beat)
	v := match.Verdict{Turn: turn, Item: it, Expected: it.Choices[0], Pitch: word, Timing: timing}
	v.ExpectedMIDI = it.Choices[0].Note.MIDI() + k.set.Cejilla
	v.Offset = int64(ms * rate / 1000)
	if heard != "" {
		n, err := theory.ParseNote(heard)
		require.NoError(k.t, err)
		v.Heard = &match.Heard{MIDI: n.MIDI(), Confidence: 0.97}
	}
	return v
}

func (k *take) final(turn int, beat string, word match.Word, heard string, ms float64, timing match.Timing) {
	k.w.Add(listen.Event{Kind: listen.Final, Verdict: k.verdict(turn, beat, word, heard, ms, timing)})
}

// right plays the first choice of each beat of a turn on time.
func (k *take) right(turn int, beats ...string) {
	for _, b := range beats {
		n := k.item(turn, b).Choices[0].Note
		v := k.verdict(turn, b, match.Right, n.String(), 5, match.OnTime)
		v.Heard.MIDI += k.set.Cejilla
		k.w.Add(listen.Event{Kind: listen.Final, Verdict: v})
	}
}

// at is the sample of a beat of a turn, as the grid of the settings has it.
func (k *take) at(turn int, beat float64) int64 {
	g := grid.Fixed{Rate: rate, Tempo: k.set.Tempo, FirstBeat: k.set.FirstBeat}
	return g.Sample(float64((turn-1)*12) + beat - 1)
}

// inG is three turns and a half in G with the scenario's mistakes.
func inG(t *testing.T, cejilla int) *take {
	k := newTake(t, settings(t, "G", "7:B2 8:A2 9:F#2 10:G2", cejilla))
	up := func(n string) string {
		note, err := theory.ParseNote(n)
		require.NoError(t, err)
		return k.set.Key.Spell(note.MIDI() + cejilla).String()
	}
	k.right(1, "7", "8", "9", "10")
	k.right(2, "7")
	k.final(2, "8", match.OutOfScale, up("Bb2"), 12, match.OnTime)
	k.right(2, "9", "10")
	k.right(3, "7", "8")
	k.final(3, "9", match.Right, up("F#2"), 74, match.Late)
	k.right(3, "10")
	k.right(4, "7")
	k.w.Meter(Good)
	k.w.Tune(-4.2)
	k.w.Hear(k.at(4, 7.4))
	return k
}

func TestText(t *testing.T) {
	t.Run("live", func(t *testing.T) {
		golden(t, "live", Text(inG(t, 0).w.Page(), 0))
	})
	t.Run("a cejilla shows what is fingered", func(t *testing.T) {
		golden(t, "cejilla", Text(inG(t, 3).w.Page(), 0))
	})
	t.Run("every word", func(t *testing.T) {
		k := newTake(t, settings(t, "G", "7:B2 8:A2 9:F#2 10:G2", 0))
		k.final(1, "7", match.Octave, "B3", -80, match.Early)
		k.final(1, "8", match.InScale, "C3", 0, match.OnTime)
		k.final(1, "9", match.Missing, "", 0, "")
		k.final(1, "10", match.Unsure, "G2", 0, "")
		v := k.verdict(2, "7", match.OutOfScale, "Bb2", 90, match.Late)
		k.w.Add(listen.Event{Kind: listen.Provisional, Verdict: v})
		k.w.Add(listen.Event{Kind: listen.Provisional, Verdict: k.verdict(2, "8", match.Missing, "", 0, "")})
		k.final(2, "9", match.Octave, "F#1", 0, match.OnTime)
		for _, b := range []string{"7", "8", "9", "10"} {
			k.w.Add(listen.Event{Kind: listen.Provisional, Verdict: k.verdict(3, b, match.Missing, "", 0, "")})
			k.final(3, b, match.Strummed, "", 0, "")
		}
		k.w.Add(listen.Event{Kind: listen.ExtraNote, Extra: match.Extra{Turn: 4, Heard: match.Heard{MIDI: 47, Onset: k.at(4, 8.5)}}})
		k.w.Add(listen.Event{Kind: listen.ExtraNote, Extra: match.Extra{Turn: 4, Heard: match.Heard{MIDI: 43, Onset: k.at(4, 11.9)}}})
		k.w.Add(listen.Event{Kind: listen.GapFound, Gap: listen.Gap{Lost: 4800}})
		k.w.Add(listen.Event{Kind: listen.GapFound, Gap: listen.Gap{Lost: 480}})
		k.w.Close([]string{"Said at the end."})
		golden(t, "words", Text(k.w.Page(), 0))
	})
	t.Run("two turns and free choices", func(t *testing.T) {
		k := newTake(t, settings(t, "G", "7:scale 8:4|6 10:G2 2/8+1/2:chord 2/10:1", 0))
		k.right(1, "10")
		k.final(1, "7", match.OutOfScale, "Bb2", 0, match.OnTime)
		k.final(1, "8", match.InScale, "G2", 0, match.OnTime)
		k.w.Hear(k.at(2, 3))
		k.final(2, "8+1/2", match.InScale, "G2", 0, match.OnTime)
		k.w.Hear(k.at(2, 9))
		golden(t, "two-turns", Text(k.w.Page(), 0))
	})
}

func TestTextKeepsToAWidth(t *testing.T) {
	p := inG(t, 0).w.Page()
	assert.Equal(t, Text(p, 0), Text(p, 200), "wider than it is by itself")
	for line := range strings.Lines(Text(p, 40)) {
		assert.LessOrEqual(t, runes(strings.TrimSuffix(line, "\n")), 40)
	}
}

func TestDraw(t *testing.T) {
	sizes := []struct {
		name          string
		width, height int
	}{{"80x24", 80, 24}, {"80x10", 80, 10}, {"40x24", 40, 24}, {"30x12", 30, 12}, {"140x40", 140, 40}}
	for _, s := range sizes {
		t.Run(s.name, func(t *testing.T) {
			lines := Draw(inG(t, 0).w.Page(), s.width, s.height)
			assert.LessOrEqual(t, len(lines), s.height)
			var b strings.Builder
			for _, l := range lines {
				assert.LessOrEqual(t, runes(l.String()), s.width, "%q", l.String())
				b.WriteString(l.String() + "\n")
			}
			golden(t, s.name, b.String())
		})
	}
}

func TestDrawNeverPanicsAndNeverOverflows(t *testing.T) {
	pages := map[string]Page{
		"empty": NewWriter(words.English, settings(t, "G", "", 0), rate).Page(),
		"inG":   inG(t, 3).w.Page(),
		"none":  {},
		"long":  {Last: strings.Repeat("x", 500), Summary: []string{strings.Repeat("a b ", 200)}},
	}
	for name, p := range pages {
		for width := range 130 {
			for height := range 30 {
				lines := Draw(p, width, height)
				if height > 0 {
					require.LessOrEqual(t, len(lines), height, "%s %dx%d", name, width, height)
				}
				for _, l := range lines {
					require.LessOrEqual(t, runes(l.String()), max(width, leastWidth), "%s %dx%d: %q", name, width, height, l.String())
				}
			}
		}
	}
}

// Every mark is a word or a letter: without the roles nothing is lost.
func TestEveryWordIsDrawnDifferently(t *testing.T) {
	words := []match.Word{match.Right, match.Octave, match.InScale, match.OutOfScale, match.Missing, match.Unsure, match.Strummed}
	seen := map[string]match.Word{}
	for _, word := range words {
		k := newTake(t, settings(t, "G", "7:B2 8:A2", 0))
		k.final(1, "7", word, "B3", 0, "")
		text := Text(k.w.Page(), 0)
		other, dup := seen[text]
		assert.False(t, dup, "%s and %s look the same:\n%s", word, other, text)
		seen[text] = word
	}
}

func TestHear(t *testing.T) {
	k := newTake(t, settings(t, "G", "7:B2 8:A2 9:F#2 10:G2", 0))
	k.w.Hear(0) // beat 1 comes at 2 s, and a beat takes 0.577 s
	assert.Equal(t, 4, k.w.Page().CountIn)
	assert.Equal(t, &Next{Beat: "7", Note: "B2", Place: "(5) 2"}, k.w.Page().Next)
	k.w.Hear(k.at(1, 1))
	assert.Equal(t, 0, k.w.Page().CountIn)
	k.w.Hear(k.at(1, 8.1))
	assert.Equal(t, &Next{Beat: "9", Note: "F#2", Place: "(6) 2"}, k.w.Page().Next)
	assert.Equal(t, Coming, k.w.Page().Rows[0].Cells[2].State)
	assert.Equal(t, Waiting, k.w.Page().Rows[0].Cells[3].State)
	k.w.Hear(k.at(1, 11)) // the next note is in the next turn, whose row is not begun
	assert.Equal(t, "7", k.w.Page().Next.Beat)
	assert.Len(t, k.w.Page().Rows, 1)
	k.w.Hear(k.at(2, 1))
	assert.Len(t, k.w.Page().Rows, 2)
	k.w.Close(nil)
	assert.Empty(t, k.w.Page().Rows, "nothing was played")
	assert.Nil(t, k.w.Page().Next)
}

func TestHearWithTurns(t *testing.T) {
	set := settings(t, "G", "7:B2 8:A2 9:F#2 10:G2", 0)
	set.Turns = 1
	k := newTake(t, set)
	k.w.Hear(k.at(1, 10.5))
	assert.Nil(t, k.w.Page().Next, "the take has one turn")
}

func TestStrangeEventsAreLeftOut(t *testing.T) {
	k := newTake(t, settings(t, "G", "7:B2 8:A2", 0))
	for _, turn := range []int{-1, 0, maxTurns + 1} {
		v := k.verdict(1, "7", match.Right, "B2", 0, "")
		v.Turn = turn
		k.w.Add(listen.Event{Kind: listen.Final, Verdict: v})
		k.w.Add(listen.Event{Kind: listen.ExtraNote, Extra: match.Extra{Turn: turn}})
	}
	v := k.verdict(1, "7", match.Right, "B2", 0, "")
	v.Item.Position.Beat = 3
	k.w.Add(listen.Event{Kind: listen.Final, Verdict: v})
	for _, r := range k.w.Page().Rows {
		assert.True(t, unplayed(r))
	}
}

func TestLevelOf(t *testing.T) {
	tests := []struct {
		peak    float64
		clipped bool
		want    Level
	}{
		{-96, false, Silent}, {-55, false, TooQuiet}, {-12, false, Good}, {0, true, TooLoud}, {math.NaN(), false, Silent},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, LevelOf(tt.peak, tt.clipped), "%v", tt.peak)
	}
}
