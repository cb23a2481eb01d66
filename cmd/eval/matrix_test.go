package main

import (
	"math/rand/v2"
	"regexp"
	"testing"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/fluid"
	"bordon/listen/match"
	"bordon/theory"

	"github.com/stretchr/testify/require"
)

// fewGuitars need nothing installed.
func fewGuitars() []*guitar {
	ready := pluck.Guitars()
	return []*guitar{
		{name: "classic", model: ready[0], play: fixtures.Synthesised{}},
		{name: "bright", model: ready[1], play: fixtures.Synthesised{}},
		{name: "dull", model: ready[2], play: fixtures.Synthesised{}, apart: true},
	}
}

func TestMatrixKeepsHalvesApart(t *testing.T) {
	conds, _ := available(conditions())
	cfg := matrixConfig{seed: 1, takes: 4, halves: []half{tunedOn, notTunedOn}}
	entries := matrix(cfg, conds, fewGuitars())
	seeds := map[uint64]string{}
	apart := 0
	for _, e := range entries {
		require.Empty(t, seeds[e.seed], "%s has the seed of another", e.name())
		seeds[e.seed] = e.name()
		if e.guitar.apart {
			apart++
			require.Equal(t, notTunedOn, e.half)
		}
	}
	weights := 0
	for _, c := range conds {
		weights += c.weight
	}
	require.Equal(t, weights, apart)
	require.Len(t, entries, 2*4*weights+apart)
	// One condition alone has the takes that it has among the others.
	cfg.conditions, cfg.halves = regexp.MustCompile("^laptop$"), []half{notTunedOn}
	some := matrix(cfg, conds, fewGuitars())
	require.Len(t, some, 5)
	for _, e := range some {
		require.Equal(t, e.name(), seeds[e.seed])
	}
	cfg.guitars = regexp.MustCompile("nothing")
	require.Empty(t, matrix(cfg, conds, fewGuitars()))
}

func TestConditionsHaveNames(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range conditions() {
		require.False(t, seen[c.name], c.name)
		seen[c.name] = true
		require.NotEmpty(t, c.group)
	}
	require.Greater(t, len(seen), 50)
}

func TestTakesAreDescribed(t *testing.T) {
	for name, want := range map[string]string{"base": "rolled, strums every beat", "laptop": "rolled, strums every beat, laptop", "bare": "bare", "live room": "rolled, strums every beat, live room"} {
		for _, c := range conditions() {
			if c.name == name {
				_, p, err := (&entry{cond: c, guitar: fewGuitars()[0]}).perform()
				require.NoError(t, err)
				require.Equal(t, want, p.String())
			}
		}
	}
}

// Every condition plays takes that can be judged, and the same ones again.
func TestEveryConditionPlays(t *testing.T) {
	kinds := map[fixtures.Mistake]int{}
	for _, c := range conditions() {
		for k := range 3 {
			e := &entry{cond: c, guitar: fewGuitars()[0], half: tunedOn, number: k, seed: seedOf(7, c.name, false, tunedOn, k)}
			take, p, err := e.perform()
			require.NoError(t, err)
			again, q, err := e.perform()
			require.NoError(t, err)
			require.Equal(t, take, again)
			require.Equal(t, p, q)
			_, err = settings(take, ear{})
			require.NoError(t, err)
			for _, v := range take.Truth {
				kinds[v.Mistake]++
				if v.Asked > 0 {
					require.InDelta(t, v.Due, v.Time, 0.2, take.Name)
				}
			}
		}
	}
	for _, m := range []fixtures.Mistake{fixtures.None, fixtures.InScale, fixtures.OutOfScale, fixtures.Octave, fixtures.Missing, fixtures.Early, fixtures.Late, fixtures.Extra, fixtures.Brushed, fixtures.Doubled, fixtures.Dragged, fixtures.Strummed} {
		require.NotZero(t, kinds[m], "nothing is %q", m)
	}
}

func TestWalks(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, name := range fixtures.Keys() {
		key, err := theory.ParseKey(name)
		require.NoError(t, err)
		for _, name := range []string{"alegrias", "solea"} { // the forms of the conditions
			form, err := theory.LookupForm(name)
			require.NoError(t, err)
			for kind := usualWalk; kind <= halfWalk; kind++ {
				line, err := walk(r, kind, key, form, theory.Standard)
				require.NoError(t, err, "%s %v", name, kind)
				require.GreaterOrEqual(t, len(line.Items), 4)
				overlaps := false
				require.True(t, line.Items[len(line.Items)-1].Landing, "%v ends on the tonic", line)
				for _, item := range line.Items {
					m := item.Choices[0].Note.MIDI()
					overlaps = overlaps || m > highestBass
					require.GreaterOrEqual(t, m, 40, "%v", line)
					require.True(t, kind == chromaticWalk || kind == usualWalk || key.Contains(m), "%v", line)
				}
				require.Equal(t, overlaps, above(line))
				require.True(t, !overlaps || kind == usualWalk, "%v", line)
			}
		}
	}
}

// A note played early or late on purpose is beyond the tolerance, and nearer
// to its own beat than to another.
func TestPlantedTimes(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	key, err := theory.ParseKey("G")
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	moved := 0
	for _, tempo := range []float64{40, 100, 180, 260} {
		for _, kind := range []walkKind{usualWalk, halfWalk} {
			line, err := walk(r, kind, key, form, theory.Standard)
			require.NoError(t, err)
			for _, m := range plant(r, line, tempo, 40, 0.5) {
				if m.What != fixtures.Early && m.What != fixtures.Late {
					continue
				}
				moved++
				beat := 60 / tempo
				require.GreaterOrEqual(t, m.Offset, match.Learning.Samples(48000, 48000*beat)/48000+2*onsetError)
				require.Less(t, m.Offset, 0.45*beat)
			}
		}
	}
	require.Greater(t, moved, 50)
}

func TestPlaces(t *testing.T) {
	guitar := fewGuitars()[0]
	sound := func(c *condition) ([]float32, fixtures.Take) {
		e := &entry{cond: c, guitar: guitar, half: tunedOn, seed: 5, short: true}
		take, x, rate, err := e.sound()
		require.NoError(t, err, c.name)
		require.Len(t, x, int(take.Seconds*float64(rate)))
		return x, take
	}
	all, _ := available(conditions())
	dry, _ := sound(all[0])
	n := 0
	for _, c := range all {
		if c.group != "room" || testing.Short() && n > 4 {
			continue
		}
		n++
		x, _ := sound(c)
		require.NotEqual(t, dry, x, c.name)
		if !testing.Short() {
			again, _ := sound(c)
			require.Equal(t, x, again, c.name)
		}
	}
}

// FluidSynth sounds some 10 ms after the event; where that is not taken into
// account every onset is heard late.
func TestStartsAreMeasured(t *testing.T) {
	if err := (fluid.Instrument{}).Available(); err != nil {
		t.Skip(err)
	}
	starts, err := measureStarts(fluid.Instrument{})
	require.NoError(t, err)
	for m := lowestPlayed; m <= highestPlayed; m++ {
		require.InDelta(t, fluid.Latency, starts[m], 0.008, m)
	}
	// Of our own guitar the first millisecond sounds.
	starts, err = measureStarts(fixtures.Synthesised{})
	require.NoError(t, err)
	for m := lowestPlayed; m <= highestPlayed; m++ {
		require.InDelta(t, 0, starts[m], 0.002, m)
	}
}
