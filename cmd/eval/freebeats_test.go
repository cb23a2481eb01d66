package main

import (
	"math/rand/v2"
	"slices"
	"testing"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBeatsByHand(t *testing.T) {
	for _, c := range []struct {
		name                 string
		reference, estimated []float64
		want                 float64
	}{
		{"all", []float64{1, 2, 3}, []float64{1, 2.05, 2.95}, 1},
		{"one missed: 2 x 2 of 3 + 2", []float64{1, 2, 3}, []float64{1, 3}, 4.0 / 5},
		{"one invented, one 80 ms off: 2 x 2 of 3 + 4", []float64{1, 2, 3}, []float64{0.2, 1, 2.08, 3}, 4.0 / 7},
		{"one beat twice counts once: 2 x 1 of 1 + 2", []float64{1}, []float64{0.95, 1.05}, 2.0 / 3},
		{"twice as fast: 2 x 3 of 3 + 6", []float64{1, 2, 3}, []float64{1, 1.5, 2, 2.5, 3, 3.5}, 6.0 / 9},
		{"between the beats", []float64{1, 2, 3}, []float64{1.5, 2.5}, 0},
		{"none found", []float64{1, 2, 3}, []float64{}, 0},
		{"each serves the other: a greedy nearest pair would leave one", []float64{1, 1.1}, []float64{1.06, 1.17}, 1},
	} {
		assert.InDelta(t, c.want, beatLists{c.reference, c.estimated}.fMeasure(), 1e-12, c.name)
	}
}

// mir_eval (Raffel et al., ISMIR 2014) gives the same numbers on random lists.
func TestBeatsBesideMIREval(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 70))
	var all []beatLists
	for range 200 {
		l := beatLists{[]float64{}, []float64{}}
		for at := r.Float64(); at < 12; at += 0.15 + 0.6*r.Float64() {
			l.Reference = append(l.Reference, at)
			if r.Float64() < 0.8 {
				l.Estimated = append(l.Estimated, at+0.06*r.NormFloat64())
			}
			if r.Float64() < 0.2 {
				l.Estimated = append(l.Estimated, at+0.4*r.Float64())
			}
		}
		slices.Sort(l.Estimated)
		all = append(all, l)
	}
	all = append(all, beatLists{[]float64{1, 2}, []float64{}})
	scores, err := scoreBeats(all)
	if err != nil {
		require.ErrorIs(t, err, errMIREval)
		t.Skip(err)
	}
	for i, l := range all {
		assert.InDelta(t, l.fMeasure(), scores[i], 1e-9, "list %d", i)
	}
}

func verdict(beat string, at float64, word match.Word) listen.Beat {
	return listen.Beat{Beat: beat, Time: at, Pitch: word}
}

// A take whose truth is read back is perfect; one read a beat off, or twice
// over, is not.
func TestFreeMeasureSeesFaults(t *testing.T) {
	take, err := fixtures.Free(fixtures.FreeSpec{
		Spec: fixtures.Spec{Name: "measured", Key: "G", Tempo: 120, Guitar: pluck.Classic(), Seed: 2, Strums: true},
		Parts: []fixtures.Part{{Kind: fixtures.Rest, Seconds: 1}, {Kind: fixtures.Taps, Taps: 2}, {Kind: fixtures.Compas, Beats: 5}, {Kind: fixtures.Rest, Seconds: 3},
			{Kind: fixtures.Compas, Beats: 22, Mistakes: []fixtures.Planted{{Turn: 1, Beat: "8", What: fixtures.Missing}}}},
	})
	require.NoError(t, err)
	asPlayed := func() found {
		f := found{key: "G"}
		for _, s := range take.Segments {
			f.segments = append(f.segments, foundSegment{slices.Clone(s.Beats)})
		}
		for _, n := range take.Truth {
			f.beats = append(f.beats, verdict(n.Beat, n.Due, word(n)))
		}
		return f
	}
	right := asPlayed()
	f := measureFree(take, right, right)
	assert.Equal(t, share{8, 8}, f.accuracy)
	assert.Equal(t, share{0, 7}, f.accused)
	assert.Equal(t, share{8, 8}, f.coverage)
	assert.Equal(t, share{1, 1}, f.segments)
	assert.Equal(t, share{1, 1}, f.short)
	assert.Equal(t, share{1, 1}, f.key, "27 beats are two turns and more")
	assert.Zero(t, f.invented)
	got := lists(take, right, nil)
	for i := range 3 {
		assert.Equal(t, 1.0, got[i].fMeasure(), i)
	}

	// A beat late throughout: no verdict on 7 to 10 stands where one is due,
	// and each is missing or right of a note that nobody owed.
	late := asPlayed()
	for i := range late.beats {
		late.beats[i].Time += 0.5
	}
	f = measureFree(take, right, late)
	assert.Equal(t, share{0, 8}, f.accuracy)
	assert.Equal(t, share{0, 8}, f.coverage)
	assert.Equal(t, share{1, 0}, f.accused, "the one missing")

	// Beats heard in the taps and after the landing are neither right nor
	// wrong; those in the silence are invented.
	more := asPlayed()
	end := take.Segments[1].End
	pause := take.Segments[0].End
	more.segments = append(more.segments,
		foundSegment{[]fixtures.FreeBeat{{Beat: 11, Time: 1}, {Beat: 12, Time: 1.5}}},
		foundSegment{[]fixtures.FreeBeat{{Beat: 6, Time: pause + 1}, {Beat: 7, Time: pause + 1.5}, {Beat: 8, Time: pause + 2}}},
		foundSegment{[]fixtures.FreeBeat{{Beat: 11, Time: end}, {Beat: 12, Time: end + 0.5}}})
	f = measureFree(take, right, more)
	assert.Equal(t, 1, f.invented)
	got = lists(take, more, nil)
	assert.InDelta(t, 2*27.0/(27+30), got[0].fMeasure(), 1e-12)
	assert.Equal(t, 1.0, got[2].fMeasure(), "in compás alone")

	silent, err := fixtures.Free(fixtures.FreeSpec{Spec: fixtures.Spec{Key: "G", Tempo: 120, Guitar: pluck.Classic()}, Parts: []fixtures.Part{{Kind: fixtures.Rest, Seconds: 5}}})
	require.NoError(t, err)
	assert.Equal(t, share{1, 1}, measureFree(silent, found{}, found{refused: "nobody plays"}).refusedRightly)
	assert.Equal(t, share{0, 1}, measureFree(silent, found{}, right).refusedRightly)
}
