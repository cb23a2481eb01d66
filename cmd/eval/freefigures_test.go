package main

import (
	"testing"

	"bordon/fixtures"

	"github.com/stretchr/testify/assert"
)

func TestChordsAreCounted(t *testing.T) {
	beats := []fixtures.FreeBeat{{Turn: 1, Beat: 1, Time: 1}, {Turn: 1, Beat: 2, Time: 2}, {Turn: 1, Beat: 3, Time: 3}, {Turn: 1, Beat: 4, Time: 4}}
	yes, no := share{1, 1}, share{0, 1}
	for _, c := range []struct {
		name    string
		mistake fixtures.Mistake
		said    foundChord
		want    chordFigures
	}{
		{"as asked", fixtures.None, foundChord{3, 3, "right", "on-time"}, chordFigures{accused: no, unsure: no}},
		{"as asked, called wrong", fixtures.None, foundChord{3, 3, "wrong", "unsure"}, chordFigures{accused: yes, unsure: no}},
		{"as asked, called late", fixtures.None, foundChord{3, 3, "right", "late"}, chordFigures{accused: yes, unsure: no}},
		{"as asked, unsure", fixtures.None, foundChord{3, 3, "unsure", "unsure"}, chordFigures{accused: no, unsure: yes}},
		{"wrong and told", fixtures.WrongChord, foundChord{3, 3, "wrong", "unsure"}, chordFigures{letOff: no, unsure: no}},
		{"wrong and let off", fixtures.WrongChord, foundChord{3, 3, "right", "on-time"}, chordFigures{letOff: yes, unsure: no}},
		{"late and told", fixtures.LateChord, foundChord{3, 3, "right", "late"}, chordFigures{letOff: no, unsure: no, timed: yes}},
		{"late and called early", fixtures.LateChord, foundChord{3, 3, "right", "early"}, chordFigures{letOff: no, unsure: no, timed: no}},
		{"early and let off", fixtures.EarlyChord, foundChord{3, 3, "right", "on-time"}, chordFigures{letOff: yes, unsure: no}},
		{"early, its time unsure", fixtures.EarlyChord, foundChord{3, 3, "right", "unsure"}, chordFigures{letOff: no, unsure: no}},
		{"said of another beat of the form", fixtures.None, foundChord{3, 4, "wrong", "unsure"}, chordFigures{}},
		{"said half a beat off", fixtures.None, foundChord{3.5, 3, "wrong", "unsure"}, chordFigures{}},
	} {
		take := fixtures.FreeTake{Segments: []fixtures.Segment{{Beats: beats, End: 5,
			Chords: []fixtures.TruthChord{{Turn: 1, Beat: 3, Due: 3, On: 3, Time: 3.02, Mistake: c.mistake}}}}}
		assert.Equal(t, c.want, measureChords(take, found{chords: []foundChord{c.said}}), c.name)
		take.Segments[0].Chords[0].Time = 0
		assert.Zero(t, measureChords(take, found{chords: []foundChord{c.said}}), "%s, never struck", c.name)
	}
}

func TestFreeFiguresAddUp(t *testing.T) {
	var sum freeFigures
	for range 3 {
		one := &freeFigures{takes: 1, beats: []float64{0.5}, segmentsFound: 2, invented: 1}
		for i, s := range one.shares() {
			*s = share{i, i + 1}
		}
		sum.add(one)
	}
	assert.Equal(t, 3, sum.takes)
	assert.Equal(t, []float64{0.5, 0.5, 0.5}, sum.beats)
	assert.Equal(t, 6, sum.segmentsFound)
	assert.Equal(t, 3, sum.invented)
	for i, s := range sum.shares() {
		assert.Equal(t, share{3 * i, 3 * (i + 1)}, *s)
	}
}
