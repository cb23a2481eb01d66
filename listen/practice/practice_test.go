package practice_test

import (
	"strings"
	"testing"

	"bordon/dsp/pluck"
	"bordon/listen/match"
	"bordon/listen/practice"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func known(name string) bool {
	_, err := theory.LookupForm(name)
	return err == nil
}

func TestParse(t *testing.T) {
	for _, tt := range []struct {
		sentence string
		want     practice.Plan
	}{
		{"alegrías in G, cejilla 3, at 104, claps on the accents, every other turn silent",
			practice.Plan{Form: "alegrias", Keys: []string{"G"}, Cejilla: 3, Tempo: 104, Claps: practice.Accents, EveryOther: true}},
		{"in F", practice.Plan{Form: "alegrias", Keys: []string{"F"}}},
		{"Soleá por medio, at 76, untimed.", practice.Plan{Form: "solea", Keys: []string{"por-medio"}, Tempo: 76, Way: practice.Untimed}},
		{"in B flat, beats 7 to 10, line 7:3 8:2 9:7 10:1",
			practice.Plan{Form: "alegrias", Keys: []string{"Bb"}, From: 7, To: 10, Line: "7:3 8:2 9:7 10:1"}},
		{"alegrias through G then F and F sharp minor, 2 turns each, weak keys first",
			practice.Plan{Form: "alegrias", Keys: []string{"G", "F", "F#m"}, Turns: 2, Order: practice.WeakFirst}},
		{"in G, hear it first, hold late notes too, sounds, counted from 12",
			practice.Plan{Form: "alegrias", Keys: []string{"G"}, Way: practice.HearFirst, Hold: practice.HoldTiming, Sounds: true, CountFrom: 12}},
		{"in G, plan strummed; 2 line; falseta; line best-2",
			practice.Plan{Form: "alegrias", Keys: []string{"G"}, TurnPlan: []practice.Turn{
				{Kind: practice.Strummed, Times: 1}, {Kind: practice.Played, Times: 2}, {Kind: practice.Falseta, Times: 1},
				{Kind: practice.Played, Times: 1, Line: "best-2"}}}},
		{"alegrias/silencio in G, contratiempo, no claps", practice.Plan{Form: "alegrias/silencio", Keys: []string{"G"}, Contratiempo: true, Claps: practice.NoClaps}},
	} {
		got, err := practice.Parse(tt.sentence, known)
		require.NoError(t, err, tt.sentence)
		assert.Equal(t, tt.want, got, tt.sentence)
		again, err := practice.Parse(got.String(), known)
		require.NoError(t, err, got.String())
		assert.Equal(t, got, again, got.String())
	}
}

func TestParseErrors(t *testing.T) {
	for sentence, want := range map[string]string{
		"":                                   "nothing is said",
		"rumba in G":                         "no form",
		"alegrías in H":                      "H",
		"in G, at fast":                      "at 104",
		"in G, at 104, at 90":                "said before",
		"in G, cejilla 13":                   "0 to 12",
		"in G, beats 10 to 7":                "beats 7 to 10",
		"in G, beats":                        "beats 7 to 10",
		"in G, juggle":                       "no way to practise",
		"in G F":                             "parted by then",
		"in G then":                          "a key is missing",
		"in G, by chance":                    "several keys",
		"in G, untimed, hold":                "leave out hold",
		"in G, untimed, plan line":           "turn plan",
		"in G, plan":                         "name each turn",
		"in G, plan 99 line":                 "1 to 32",
		"in G, line":                         "name the line",
		"in G, untimed, contratiempo":        "no pulse",
		"in G, 0 turns":                      "8 turns",
		strings.Repeat("in G, untimed", 999): "at most",
	} {
		_, err := practice.Parse(sentence, known)
		assert.ErrorContains(t, err, want, sentence)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"alegrías in G, cejilla 3, at 104", "in G then B flat, plan strummed; 2 line 7:3", "soleá por medio, untimed", "at 1e3,,"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p, err := practice.Parse(s, known)
		if err != nil {
			return
		}
		again, err := practice.Parse(p.String(), known)
		require.NoError(t, err, "%q", p.String())
		require.Equal(t, p, again)
	})
}

func line(t *testing.T, text string) theory.Line {
	t.Helper()
	k, err := theory.ParseKey("G")
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	l, err := theory.ParseLine(text, k, form, theory.Standard)
	require.NoError(t, err)
	return l
}

func TestLines(t *testing.T) {
	walk := line(t, "7:B2 8:A2 9:F#2 10:G2")
	part, err := practice.Only(walk, 9, 10)
	require.NoError(t, err)
	assert.Equal(t, "9:F#2 10:G2", part.String())
	assert.True(t, part.Items[1].Landing)
	_, err = practice.Only(walk, 1, 3)
	assert.ErrorContains(t, err, "nothing on the beats 1 to 3")

	answer, err := practice.Answered(walk)
	require.NoError(t, err)
	assert.Equal(t, "2/7:B2 2/8:A2 2/9:F#2 2/10:G2", answer.String())
	assert.Equal(t, 2, answer.Turns)

	turns, err := practice.ParseTurns("strummed; 2 line; line two; falseta")
	require.NoError(t, err)
	got, err := practice.Compose(turns, walk.Key, walk.Form, walk.Tuning, func(name string) (theory.Line, error) {
		if name == "two" {
			return line(t, "7:B2 2/1:G2"), nil
		}
		return line(t, "9:F#2 10:G2"), nil
	})
	require.NoError(t, err)
	assert.Equal(t, "2/9:F#2 2/10:G2 3/9:F#2 3/10:G2 4/7:B2 5/1:G2", got.String())
	assert.Equal(t, 6, got.Turns, "the falseta is a turn too")
	for _, i := range []int{1, 3, 5} {
		assert.True(t, got.Items[i].Landing, "item %d", i)
	}
	_, err = practice.Compose(turns[:1], walk.Key, walk.Form, walk.Tuning, nil)
	assert.ErrorContains(t, err, "judges nothing")
}

func TestWait(t *testing.T) {
	var w practice.Wait
	assert.Equal(t, practice.Stay, w.Hear(match.InScale))
	assert.Equal(t, practice.Stay, w.Hear(match.Unsure))
	assert.Equal(t, practice.Stay, w.Hear(match.OutOfScale))
	assert.Equal(t, practice.Pass, w.Hear(match.Unsure))
	assert.Equal(t, practice.GoOn, (&practice.Wait{}).Hear(match.Right))
}

func TestOutcome(t *testing.T) {
	v := func(words ...match.Word) (all []match.Verdict) {
		for _, w := range words {
			all = append(all, match.Verdict{Pitch: w})
		}
		return all
	}
	late := v(match.Right)
	late[0].Timing = match.Late
	assert.Equal(t, practice.Clean, practice.OutcomeOf(v(match.Right, match.Unsure, match.Octave)))
	assert.Equal(t, practice.Late, practice.OutcomeOf(append(v(match.Right), late...)))
	assert.Equal(t, practice.Wrong, practice.OutcomeOf(append(v(match.Missing), late...)))
	assert.Equal(t, practice.NotJudged, practice.OutcomeOf(v(match.Strummed, match.Unsure)))
	assert.True(t, practice.HoldTiming.Holds(late[0]))
	assert.False(t, practice.HoldPitch.Holds(late[0]))
	assert.True(t, practice.HoldPitch.Holds(v(match.OutOfScale)[0]))
	assert.False(t, practice.HoldPitch.Holds(v(match.Missing)[0]), "no wrong pitch")
}

func TestArrange(t *testing.T) {
	keys := []string{"G", "F", "Bb"}
	weak := func(k string) float64 { return map[string]float64{"Bb": 0.4, "F": 0.1}[k] }
	assert.Equal(t, []string{"Bb", "F", "G"}, practice.Arrange(keys, practice.WeakFirst, weak, 0))
	assert.Equal(t, keys, practice.Arrange(keys, practice.InOrder, weak, 0))
	assert.ElementsMatch(t, keys, practice.Arrange(keys, practice.ByChance, nil, 3))
	assert.Equal(t, []string{"G", "F", "Bb"}, keys, "what was given is left as it is")
}

// Golpes are counted, strings are not.
func TestTaps(t *testing.T) {
	const rate = 48000
	hear := func(events ...pluck.Event) (got []int) {
		x, err := pluck.Render(pluck.Classic(), rate, 1, 0, events, 4)
		require.NoError(t, err)
		taps := practice.NewTaps(rate)
		for len(x) > 0 {
			n := min(441, len(x))
			if c := taps.Write(x[:n]); c > 0 {
				got = append(got, c)
			}
			x = x[n:]
		}
		return got
	}
	tap := func(at float64) pluck.Event { return pluck.Event{At: at, Kind: pluck.Tap, Velocity: 0.7} }
	note := func(at float64, s, fret int) pluck.Event {
		return pluck.Event{At: at, Kind: pluck.Pluck, String: s, Fret: fret, Velocity: 0.7}
	}
	assert.Equal(t, []int{2}, hear(tap(1), tap(1.3)))
	assert.Equal(t, []int{3, 1}, hear(tap(0.5), tap(0.8), tap(1.1), tap(2.5)))
	for s := 1; s <= 6; s++ {
		assert.Empty(t, hear(note(1, s, 0), note(1.6, s, 2), note(2.2, s, 3)), "string %d", s)
	}
	// The last note rings on when the page stops; then it is damped.
	assert.Equal(t, []int{2}, hear(note(0, 6, 3), pluck.Event{At: 1.5, Kind: pluck.Damp}, tap(2.2), tap(2.5)))
	assert.Empty(t, hear())
	buf := make([]float32, 480)
	taps := practice.NewTaps(rate)
	assert.Zero(t, testing.AllocsPerRun(10, func() { taps.Write(buf) }))
}
