package match

import (
	"testing"

	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func lone(t *testing.T, line string) *Lone {
	t.Helper()
	cfg := setting(t, "G", line)
	cfg.Grid = nil // nobody needs one here
	l, err := NewLone(cfg)
	require.NoError(t, err)
	return l
}

func TestLone(t *testing.T) {
	tests := []struct {
		name string
		p    played
		item int
		want Word // "" for no answer
	}{
		{"the right note", note(0, b2), 0, Right},
		{"a note of the key", note(0, 48), 1, InScale},
		{"a note foreign to it", note(0, bb2), 1, OutOfScale},
		{"another octave", note(0, b2+12), 0, Octave},
		{"as low as it is asked for", note(0, 42), 2, Right},
		{"the landing", note(0, 43), 3, Right},
		{"the landing's chord", strum(0, 43), 3, Right},
		{"a strum elsewhere", strum(0, 43), 0, ""},
		{"a treble note", played{at: 0, midi: 62, began: 0.2, share: 0.9}, 0, ""},
		{"no note at all", played{at: 0, midi: b2, began: 0.01, share: 0.9}, 0, ""},
		{"the ear cannot tell", played{at: 0, midi: 48, began: 0.98, share: 0.5, other: 49}, 1, Unsure},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l := lone(t, walk)
			n := tt.p.look(0, tt.p.share, ms(80), true)
			v, ok := l.Hear(&n, tt.item)
			require.Equal(t, tt.want != "", ok, "%+v", v)
			if !ok {
				return
			}
			assert.Equal(t, tt.want, v.Pitch)
			assert.Equal(t, int64(0), v.Time)
			assert.Empty(t, v.Timing, "nothing is early or late without a beat")
			require.NotNil(t, v.Heard)
		})
	}
}

// The right note is told at its first look; a wrong one only at the last, as
// more may come of it. Each onset answers once.
func TestLoneWaitsForTheLastLook(t *testing.T) {
	l := lone(t, walk)
	p := note(ms(100), b2)
	first, last := p.look(0, p.share, ms(80), false), p.look(0, p.share, ms(140), true)
	v, ok := l.Hear(&first, 0)
	require.True(t, ok)
	assert.Equal(t, Right, v.Pitch)
	assert.Equal(t, first.Decided, v.Decided)
	_, ok = l.Hear(&last, 0)
	assert.False(t, ok, "it was answered")
	_, ok = l.Hear(&last, 1)
	assert.False(t, ok, "nor does it answer the note that follows")

	p = note(ms(900), bb2)
	first, last = p.look(1, p.share, ms(80), false), p.look(1, p.share, ms(140), true)
	_, ok = l.Hear(&first, 1)
	assert.False(t, ok)
	v, ok = l.Hear(&last, 1)
	require.True(t, ok)
	assert.Equal(t, OutOfScale, v.Pitch)
	assert.Equal(t, a2, v.ExpectedMIDI)
	assert.Equal(t, bb2, v.Heard.MIDI)
}

// A strum that shows at an earlier look is one at the last, too.
func TestLoneRemembersAStrum(t *testing.T) {
	l := lone(t, walk)
	first := strum(0, 43).look(0, 0.3, ms(80), false)
	last := played{at: 0, midi: 48, began: 0.3, share: 0.97}.look(0, 0.97, ms(140), true)
	_, ok := l.Hear(&first, 0)
	require.False(t, ok)
	_, ok = l.Hear(&last, 0)
	assert.False(t, ok)
}

func TestLoneAcceptsWhatTheLineDoes(t *testing.T) {
	l := lone(t, "7:scale 8:B2|D3 10:G2")
	for i, c := range []struct {
		item, midi int
		want       Word
	}{{0, 45, Right}, {0, bb2, OutOfScale}, {1, 50, Right}, {1, b2, Right}, {1, 48, InScale}} {
		p := note(0, c.midi)
		n := p.look(int64(i), p.share, ms(80), true)
		v, ok := l.Hear(&n, c.item)
		require.True(t, ok)
		assert.Equal(t, c.want, v.Pitch, "%+v", c)
	}
}

func TestLoneRefusesNoLine(t *testing.T) {
	cfg := setting(t, "G", walk)
	cfg.Line = theory.Line{}
	_, err := NewLone(cfg)
	assert.Error(t, err)
}

func TestLoneAllocatesNothing(t *testing.T) {
	l := lone(t, walk)
	p := note(0, bb2)
	n := p.look(0, p.share, ms(80), true)
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		n.ID++
		l.Hear(&n, 1)
	}))
}

// A turn plan: the line is played in its second turn of three, and only there.
func planned(t *testing.T) Config {
	t.Helper()
	cfg := setting(t, "G", "2/7:B2 2/8:A2 2/9:F#2 2/10:G2")
	cfg.Line = cfg.Line.Over(3)
	cfg.Planned = true
	return cfg
}

func TestPlannedTurnsAreJudged(t *testing.T) {
	var take []played
	for _, n := range rightTake(1) {
		n.at += beat(2, 1) - beat(1, 1)
		take = append(take, n)
	}
	take = append(take, note(beat(1, 8), 50), note(beat(2, 7.5), 50), note(beat(3, 8), 50))
	r := hearTake(t, planned(t), take, turnsLength(3), 441)
	require.Equal(t, []Word{Right, Right, Right, Right}, r.words())
	require.Len(t, r.extras, 1, "what is played in the other turns is nobody's extra note")
	assert.Equal(t, 2, r.extras[0].Turn)
}

// Where a plan says that the line is played, strumming is no excuse.
func TestPlannedTurnsAreNeverStrummed(t *testing.T) {
	take := []played{strum(beat(2, 7), 43), strum(beat(2, 8), 43), strum(beat(2, 9), 43)}
	r := hearTake(t, planned(t), take, turnsLength(3), 441)
	assert.Equal(t, []Word{Missing, Missing, Missing, Missing}, r.words())
	cfg := planned(t)
	cfg.Planned = false
	r = hearTake(t, cfg, take, turnsLength(3), 441)
	assert.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words())
}
