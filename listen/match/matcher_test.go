package match

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bordon/dsp"
	"bordon/listen/grid"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ExampleMatcher() {
	key, _ := theory.ParseKey("G")
	form, _ := theory.LookupForm("alegrias")
	line, _ := theory.ParseLine("7:B2 8:A2 9:F#2 10:G2", key, form, theory.Standard)
	beats, _ := grid.NewFixed(48000, 104, 0)
	m, err := New(Config{
		Rate: 48000, Line: line, Grid: beats,
		Tolerance: Learning, DelayKnown: true, EarDelay: 7200,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	// B on beat 7, and B flat, 10 ms after beat 8.
	play := func(beat float64, midi int, late int64) *dsp.Note {
		n := dsp.Note{Onset: beats.Sample(beat) + late, Began: 0.99, Last: true}
		n.ID, n.Decided = n.Onset, n.Onset+4800
		n.Likelihood[midi-dsp.LowestMIDI] = 1
		return &n
	}
	print := func(events []Event) {
		for _, e := range events {
			if e.Kind == Judged && !e.Verdict.Provisional {
				fmt.Printf("beat %v: %s %q\n", e.Verdict.Item.Position, e.Verdict.Pitch, e.Verdict.Timing)
			}
		}
	}
	print(m.Note(play(6, 47, 0)))
	print(m.Note(play(7, 46, 480)))
	print(m.End(beats.Sample(12)))
	// Output:
	// beat 7: right "on-time"
	// beat 8: out-of-scale "on-time"
	// beat 9: missing ""
	// beat 10: missing ""
}

func TestNewRefuses(t *testing.T) {
	tests := []struct {
		name   string
		change func(*Config)
		want   string
	}{
		{"no rate", func(c *Config) { c.Rate = 0 }, "a rate of 0 samples a second is not usable"},
		{"no grid", func(c *Config) { c.Grid = nil }, "need a grid"},
		{"no line", func(c *Config) { c.Line.Items = nil }, "need a line"},
		{"no form", func(c *Config) { c.Line.Form.Beats = 0 }, "need a form"},
		{"cejilla off the neck", func(c *Config) { c.Cejilla = 13 }, "a cejilla at fret 13 is not usable; it must be 0 to 12"},
		{"no tolerance", func(c *Config) { c.Tolerance = "strict" }, `tolerance "strict" is unknown; it must be learning or performing`},
		{"negative onset error", func(c *Config) { c.OnsetError = -1 }, "an onset error of -1"},
		{"negative ear's delay", func(c *Config) { c.EarDelay = -1 }, "an ear's delay of -1"},
		{"negative turns", func(c *Config) { c.Turns = -1 }, "-1 turns"},
		{"empty item", func(c *Config) { c.Line.Items[1].Choices = nil }, "beat 8 asks for nothing"},
		{"above what is heard", func(c *Config) {
			n, _ := theory.ParseNote("G5")
			c.Line.Items[1].Choices = []theory.Choice{{Note: n}}
		}, "beat 8 asks for G5, which sounds as MIDI 79; bass notes are heard from MIDI 36 to 64"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cfg := setting(t, "G", walk)
			tt.change(&cfg)
			_, err := New(cfg)
			assert.ErrorContains(t, err, tt.want)
		})
	}
}

func TestNoNumbersAreNoNotes(t *testing.T) {
	nan := math.NaN()
	bad := played{at: beat(1, 8), midi: a2, began: nan, share: nan}
	m, err := New(setting(t, "G", walk))
	require.NoError(t, err)
	n := bad.look(0, nan, ms(80), true)
	n.Strum = nan
	var events []Event
	events = append(events, m.Note(&n)...)
	n = played{midi: a2, at: beat(1, 8) + 1, began: 0.9}.look(1, nan, ms(80), true)
	events = append(events, m.Note(&n)...)
	events = append(events, m.End(turnsLength(1))...)
	judged := 0
	for _, e := range events {
		if e.Kind == Judged {
			judged++
			assert.Equal(t, Missing, e.Verdict.Pitch)
		}
	}
	assert.GreaterOrEqual(t, judged, 4)
}

// steps are what a session does with a long take: looks and, between them,
// the advance of time in chunks of 512 samples.
func steps(turns int) (notes []dsp.Note, total int64) {
	return looks(randomTake(rand.New(rand.NewPCG(7, 1)), turns)), turnsLength(turns)
}

func TestNothingIsAllocated(t *testing.T) {
	m, err := New(setting(t, "G", walk))
	require.NoError(t, err)
	notes, total := steps(400)
	var now int64
	chunk := func() {
		now += 512
		for len(notes) > 0 && notes[0].Decided <= now {
			m.Note(&notes[0])
			notes = notes[1:]
		}
		m.Advance(now)
	}
	for now < beat(4, 1) { // until every buffer has been used
		chunk()
	}
	const runs = 20000
	require.Less(t, now+runs*512, total)
	assert.Zero(t, testing.AllocsPerRun(runs, chunk))
}

func BenchmarkMatcher(b *testing.B) {
	m, err := New(setting(b, "G", walk))
	require.NoError(b, err)
	notes, total := steps(400)
	left, now := notes, int64(0)
	b.ReportAllocs()
	b.ResetTimer()
	for b.Loop() {
		now += 512
		for len(left) > 0 && left[0].Decided <= now {
			m.Note(&left[0])
			left = left[1:]
		}
		m.Advance(now)
		if now >= total { // again from the start
			b.StopTimer()
			m, _ = New(setting(b, "G", walk))
			left, now = notes, 0
			b.StartTimer()
		}
	}
}
