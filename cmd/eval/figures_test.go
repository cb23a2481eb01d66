package main

import (
	"math"
	"testing"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"

	"github.com/stretchr/testify/require"
)

// played is a note of the line and what was said to it.
type played struct {
	truth  fixtures.TruthNote
	word   match.Word
	heard  int     // MIDI, 0 for nothing
	at     float64 // of the heard onset, seconds after the true one
	after  float64 // when it was decided, likewise
	timing match.Timing
}

// asked is a right note of MIDI 45, due at 1 s, played at 1 s plus off.
func asked(off float64, mistake fixtures.Mistake) fixtures.TruthNote {
	n := fixtures.TruthNote{Turn: 1, Beat: "7", Due: 1, Time: 1 + off, MIDI: 45, Asked: 45, Mistake: mistake}
	switch mistake {
	case fixtures.InScale, fixtures.OutOfScale:
		n.MIDI = 47
	case fixtures.Octave:
		n.MIDI = 57
	case fixtures.Missing, fixtures.Strummed:
		n.MIDI = 0
	}
	return n
}

// heardAs makes a judged take of notes.
func heardAs(tempo float64, notes ...played) judged {
	j := judged{take: fixtures.Take{Name: "hand-made", Tempo: tempo, Turns: 2}}
	for _, p := range notes {
		b := listen.Beat{Turn: p.truth.Turn, Beat: p.truth.Beat, Time: p.truth.Due, Pitch: p.word, Decided: p.truth.Time + p.after}
		if p.heard > 0 {
			b.Heard = &listen.Note{MIDI: p.heard, Time: p.truth.Time + p.at, Confidence: 0.98}
		}
		if p.timing != "" {
			b.Timing = &p.timing
		}
		j.take.Truth = append(j.take.Truth, p.truth)
		j.pairs = append(j.pairs, pair{truth: p.truth, beat: b, first: p.truth.Time + p.after/2})
	}
	return j
}

func TestFiguresOfOneNote(t *testing.T) {
	chord := asked(0, fixtures.None)
	chord.Chord = true
	yes, no, out := share{1, 1}, share{0, 1}, share{}
	for name, tt := range map[string]struct {
		p                                             played
		accuracy, coverage, identity, accused, letOff share
	}{
		"right":                    {played{truth: asked(0, ""), word: match.Right, heard: 45}, yes, yes, yes, no, out},
		"right, called another":    {played{truth: asked(0, ""), word: match.InScale, heard: 47}, no, yes, no, yes, out},
		"right, called missing":    {played{truth: asked(0, ""), word: match.Missing}, no, yes, no, yes, out},
		"right, called strummed":   {played{truth: asked(0, ""), word: match.Strummed}, no, yes, no, yes, out},
		"right, unsure of it":      {played{truth: asked(0, ""), word: match.Unsure, heard: 45}, out, no, yes, no, out},
		"right, unsure of another": {played{truth: asked(0, ""), word: match.Unsure, heard: 40}, out, no, no, no, out},
		"early":                    {played{truth: asked(-0.1, fixtures.Early), word: match.Right, heard: 45, timing: match.Early}, yes, yes, yes, no, out},
		"wrong":                    {played{truth: asked(0, fixtures.InScale), word: match.InScale, heard: 47}, yes, yes, yes, out, no},
		"wrong, another word":      {played{truth: asked(0, fixtures.InScale), word: match.OutOfScale, heard: 46}, no, yes, no, out, no},
		"wrong, let off":           {played{truth: asked(0, fixtures.OutOfScale), word: match.Right, heard: 45}, no, yes, no, out, yes},
		"octave":                   {played{truth: asked(0, fixtures.Octave), word: match.Octave, heard: 57}, yes, yes, yes, out, no},
		"missing":                  {played{truth: asked(0, fixtures.Missing), word: match.Missing}, yes, yes, out, out, no},
		"missing, let off":         {played{truth: asked(0, fixtures.Missing), word: match.Right, heard: 45}, no, yes, out, out, yes},
		"missing, unsure":          {played{truth: asked(0, fixtures.Missing), word: match.Unsure, heard: 45}, out, no, out, out, no},
		"strummed":                 {played{truth: asked(0, fixtures.Strummed), word: match.Strummed}, yes, yes, out, out, out},
		"strummed, called missing": {played{truth: asked(0, fixtures.Strummed), word: match.Missing}, no, yes, out, out, out},
		"landing as a chord":       {played{truth: chord, word: match.Right, heard: 45}, yes, yes, out, no, out},
	} {
		f := measure(heardAs(100, tt.p))
		require.Equal(t, tt.accuracy, f.accuracy, "accuracy, %s", name)
		require.Equal(t, tt.coverage, f.coverage, "coverage, %s", name)
		require.Equal(t, tt.identity, f.identity, "identity, %s", name)
		require.Equal(t, tt.accused, f.accused, "accused, %s", name)
		require.Equal(t, tt.letOff, f.letOff, "let off, %s", name)
		wrong := tt.p.word != match.Unsure && tt.accuracy.N == 0
		require.Equal(t, wrong, len(f.faults) == 1, "faults, %s", name)
	}
}

// At 100 beats a minute the tolerance is 60 ms (15 % of a beat are 90), at 240
// it is 37.5 ms.
func TestTimingFigures(t *testing.T) {
	yes, no, out := share{1, 1}, share{0, 1}, share{}
	for _, tt := range []struct {
		tempo, off      float64
		timing          match.Timing
		accused, missed share
	}{
		{100, 0.059, match.OnTime, no, out},
		{100, 0.059, match.Late, yes, out},
		{100, -0.01, match.Early, yes, out},
		{100, 0.070, match.Late, out, out}, // between
		{100, 0.070, match.OnTime, out, out},
		{100, 0.081, match.Late, out, no},
		{100, 0.081, match.OnTime, out, yes},
		{100, -0.1, match.Early, out, no},
		{100, -0.1, match.Late, out, yes},
		{240, 0.037, match.OnTime, no, out},
		{240, 0.059, match.OnTime, out, yes},
	} {
		f := measure(heardAs(tt.tempo, played{truth: asked(tt.off, ""), word: match.Right, heard: 45, timing: tt.timing}))
		require.Equal(t, tt.accused, f.timingAccused, "%+v", tt)
		require.Equal(t, tt.missed, f.timingMissed, "%+v", tt)
	}
	// Only of notes called right.
	f := measure(heardAs(100, played{truth: asked(0, ""), word: match.InScale, heard: 47, timing: match.Late}))
	require.Zero(t, f.timingAccused)
}

func TestOnsetsAndDelays(t *testing.T) {
	f := measure(heardAs(100,
		played{truth: asked(0.01, ""), word: match.Right, heard: 45, at: -0.004, after: 0.1},
		played{truth: asked(0, ""), word: match.InScale, heard: 47, at: 0.04, after: 0.2}))
	require.Len(t, f.onset, 1, "of notes that were named")
	require.InDelta(t, 4, f.onset[0], 1e-6)
	require.InDelta(t, 100, f.delay[0], 1e-6)
	require.InDelta(t, 50, f.first[0], 1e-6)
}

func TestExtras(t *testing.T) {
	j := heardAs(100, played{truth: asked(0, ""), word: match.Right, heard: 45})
	j.take.Truth = append(j.take.Truth,
		fixtures.TruthNote{Turn: 1, Time: 2, MIDI: 50, Mistake: fixtures.Extra},
		fixtures.TruthNote{Turn: 1, Time: 3, MIDI: 40, Mistake: fixtures.Brushed},
		fixtures.TruthNote{Turn: 2, Time: 4, MIDI: 52, Mistake: fixtures.Extra})
	j.check.Extra = []listen.Note{
		{Time: 2.01, MIDI: 50, Confidence: 0.9},  // planted, and told
		{Time: 2.05, MIDI: 45, Confidence: 0.5},  // told twice
		{Time: 2.96, MIDI: 40, Confidence: 0.9},  // brushed: somebody did play
		{Time: 1.001, MIDI: 45, Confidence: 0.9}, // the line's own note
	}
	f := measure(j)
	require.Equal(t, 2, f.extras)
	require.Equal(t, 1.0, f.extrasPerTurn())
	require.Equal(t, share{1, 2}, f.extrasHeard)
	require.Len(t, f.faults, 2)
	// The line's note and two planted ones; one sworn to and four extras.
	require.Equal(t, noteScore{reference: 3, estimated: 5, matched: 2}, f.notes)
	require.True(t, math.IsNaN((&figures{}).extrasPerTurn()))
}

func TestStrummedTurns(t *testing.T) {
	note := func(turn int, mistake fixtures.Mistake, word match.Word) played {
		p := played{truth: asked(0, mistake), word: word}
		p.truth.Turn = turn
		return p
	}
	f := measure(heardAs(100,
		note(1, "", match.Strummed), note(1, "", match.Right), // played, called strummed
		note(2, "", match.Right),
		note(3, fixtures.Strummed, match.Missing), // strummed, not called so
		note(4, fixtures.Strummed, match.Strummed)))
	require.Equal(t, share{1, 2}, f.playedStrummed)
	require.Equal(t, share{1, 2}, f.strummedPlayed)
}

func TestTuningFigure(t *testing.T) {
	j := heardAs(100, played{truth: asked(0, ""), word: match.Right, heard: 45})
	j.take.TuningCents = -30
	cents := -28.0
	j.check.Tuning = &cents
	require.Zero(t, measure(j).tuned, "a recorded guitar's tuning is not known")
	j.tuned = true
	require.Equal(t, share{1, 1}, measure(j).tuned)
	cents = -26
	require.Equal(t, share{0, 1}, measure(j).tuned)
	j.check.Tuning = nil
	require.Equal(t, share{0, 1}, measure(j).tuned)
}

func TestFiguresAddUp(t *testing.T) {
	a := heardAs(100, played{truth: asked(0, ""), word: match.Right, heard: 45, timing: match.OnTime}, played{truth: asked(0, fixtures.Missing), word: match.Right, heard: 45})
	b := heardAs(100, played{truth: asked(0, ""), word: match.Unsure}, played{truth: asked(0.2, fixtures.Late), word: match.Right, heard: 45, timing: match.OnTime})
	var sum figures
	sum.add(measure(a))
	sum.add(measure(b))
	both := a
	both.take.Turns = 4
	both.pairs = append(append([]pair{}, a.pairs...), b.pairs...)
	both.take.Truth = append(append([]fixtures.TruthNote{}, a.take.Truth...), b.take.Truth...)
	want := measure(both)
	require.Equal(t, 2, sum.takes)
	sum.takes, want.takes = 0, 0
	// A turn of the same number is one turn in one take, and two in two.
	sum.playedStrummed, want.playedStrummed = share{}, share{}
	sum.faults, want.faults = nil, nil
	// So are notes at one time.
	sum.notes, want.notes = noteScore{}, noteScore{}
	require.Equal(t, want, sum)
}

func TestReliability(t *testing.T) {
	var r reliability
	for range 8 {
		r.count(0.85, true)
	}
	r.count(0.85, false)
	r.count(0.85, false)
	r.count(1, true)
	r.count(0.4, false)
	r.count(math.NaN(), false)
	require.Equal(t, share{8, 10}, r[3].right)
	require.Equal(t, share{1, 1}, r[len(edges)-1].right)
	require.Equal(t, share{0, 1}, r[1].right)
	require.Equal(t, share{0, 1}, r[0].right)
	// |8.5-8| + |0.4-0| of 13 notes.
	require.InDelta(t, 100*0.9/13, r.off(), 1e-9)
	require.True(t, math.IsNaN((&reliability{}).off()))
	var sum reliability
	sum.add(r)
	sum.add(r)
	require.Equal(t, share{16, 20}, sum[3].right)
}

func TestQuantile(t *testing.T) {
	v := []float64{5, 1, 4, 2, 3}
	require.Equal(t, 3.0, quantile(v, 0.5))
	require.Equal(t, 5.0, quantile(v, 0.95))
	require.Equal(t, 1.0, quantile(v, 0))
	require.Equal(t, 5.0, quantile(v, 1))
	require.Equal(t, []float64{5, 1, 4, 2, 3}, v)
	require.True(t, math.IsNaN(quantile(nil, 0.5)))
}

func TestWorstCondition(t *testing.T) {
	sums := map[string]*figures{
		"good": {accuracy: share{99, 100}, accused: share{1, 100}},
		"bad":  {accuracy: share{90, 100}, accused: share{5, 100}},
		"few":  {accuracy: share{0, enough - 1}},
	}
	names := []string{"good", "bad", "few"}
	name, v := table[0].worstOf(names, sums)
	require.Equal(t, "bad", name)
	require.Equal(t, 90.0, v)
	name, v = table[3].worstOf(names, sums)
	require.Equal(t, "bad", name)
	require.Equal(t, 5.0, v)
	name, v = table[0].worstOf(nil, sums)
	require.Empty(t, name)
	require.True(t, math.IsNaN(v))
	require.True(t, table[0].meets(99, 99) && !table[0].meets(98.9, 99) && table[3].meets(0.3, 0.3) && !table[3].meets(0.4, 0.3) && table[0].meets(math.NaN(), 99))
}
