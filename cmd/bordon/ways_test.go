package main

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/dsp/pluck"
	"bordon/listen/audio"
	"bordon/listen/practice"
	"bordon/theory"
)

// Flags and the sentence are two ways to say the same.
func TestFlagsAreASentence(t *testing.T) {
	for want, set := range map[string]func(*listenFlags){
		"alegrias in D, at 104":                                                         func(*listenFlags) {},
		"solea in por-medio, cejilla 2, at 76":                                          func(f *listenFlags) { f.form, f.key, f.cejilla, f.tempo = "solea", "por-medio", 2, 76 },
		"alegrias in G, at 104, line 7:3 8:2, beats 7 to 8":                             func(f *listenFlags) { f.key, f.line, f.only = "G", "7:3 8:2", "7-8" },
		"alegrias in G then F then Bb, at 104, 4 turns, weak keys first":                func(f *listenFlags) { f.through, f.turns, f.order = "G, F Bb", 4, "weak-first" },
		"alegrias in D, at 104, 1 turn, untimed":                                        func(f *listenFlags) { f.turns, f.untimed = 1, true },
		"alegrias in D, at 104, hear it first, hold late notes too":                     func(f *listenFlags) { f.hearFirst, f.hold, f.holdTiming = true, true, true },
		"alegrias in D, at 104, hold wrong notes, claps on the accents":                 func(f *listenFlags) { f.hold, f.kind = true, "accents" },
		"alegrias in D, at 104, no claps, every other turn silent, counted from 12":     func(f *listenFlags) { f.kind, f.everyOther, f.countFrom = noPulse, true, 12 },
		"alegrias in D, at 104, claps between the beats, plan strummed; 2 line, sounds": func(f *listenFlags) { f.contratiempo, f.turnPlan, f.sounds = true, "strummed; 2 line", true },
	} {
		var f listenFlags
		f.defaults()
		set(&f)
		plan, err := f.planOf()
		require.NoError(t, err, want)
		assert.Equal(t, want, plan.String())
		var g listenFlags
		g.defaults()
		g.say = want
		said, err := g.planOf()
		require.NoError(t, err)
		assert.Equal(t, plan, said)
	}
}

// A turn plan is a line over its turns; what is heard first asks for nothing
// while it sounds.
func TestPartsOfAPlan(t *testing.T) {
	parts := func(say string) ([]part, error) {
		var f listenFlags
		f.defaults()
		plan, err := practice.Parse(say, knownForm)
		require.NoError(t, err)
		return f.parts(plan, nil, 1)
	}
	got, err := parts("alegrías in G, line 7:B2 10:G2, plan strummed; 2 line; falseta")
	require.NoError(t, err)
	assert.Equal(t, "2/7:B2 2/10:G2 3/7:B2 3/10:G2", got[0].set.Line.String())
	assert.Equal(t, 4, got[0].set.Line.Turns)
	assert.True(t, got[0].set.Planned)

	got, err = parts("alegrías in G, line 7:B2 10:G2, hear it first, 3 turns")
	require.NoError(t, err)
	assert.Equal(t, "2/7:B2 2/10:G2", got[0].set.Line.String())
	assert.Equal(t, 6, got[0].set.Turns, "three to hear, three to answer")
	assert.Equal(t, "7:B2 10:G2", got[0].line.String(), "what is played")

	got, err = parts("alegrías in G then F, 2 turns")
	require.NoError(t, err)
	require.Len(t, got, 2)
	for i, key := range []string{"G", "F"} {
		assert.Equal(t, key, got[i].set.Key.String())
		require.NotNil(t, got[i].opening)
		assert.NotEmpty(t, got[i].opening(60))
	}

	_, err = parts("alegrías in G then F")
	assert.ErrorContains(t, err, "4 turns")
	_, err = parts("alegrías in G, hear it first, no claps")
	assert.ErrorContains(t, err, "needs its place in the compás")
}

func TestWaysRefuse(t *testing.T) {
	for want, args := range map[string][]string{
		"--say and --key both say":    {"--say", "alegrías in G", "-k", "G"},
		"no form and no way":          {"--say", "juggling"},
		"two beats in order":          {"--beats", "9-7"},
		"needs several keys":          {"--order", "by-chance"},
		"name each turn":              {"--turn-plan", "dance"},
		"untimed waits for each note": {"--untimed", "--hold"},
		"what can be done is":         {"--untimed", "--keys", "dance=x"},
	} {
		r := bordonWith(t, context.Background(), room(nil), append([]string{"listen"}, args...)...)
		assert.Equal(t, wrong, r.status, "%v: %s", args, r.errOut)
		assert.Contains(t, r.errOut, want)
	}
}

// Untimed, a stream tells each try, with no timing, and there is no take.
func TestListenUntimedAsJSON(t *testing.T) {
	var events []pluck.Event
	for i, name := range []string{"B2", "Bb2", "A2", "F#2", "G2"} {
		n, err := theory.ParseNote(name)
		require.NoError(t, err)
		p, ok := theory.Standard.Place(n.MIDI())
		require.True(t, ok)
		events = append(events, pluck.Event{At: 1 + float64(i), Kind: pluck.Pluck, String: p.String, Fret: p.Fret, Velocity: 0.7},
			pluck.Event{At: 1.8 + float64(i), Kind: pluck.Damp})
	}
	x, err := pluck.Render(pluck.Classic(), demoRate, 3, 0, events, 7)
	require.NoError(t, err)
	mic := &fakeMicrophone{player: player{samples: x, rate: demoRate}, device: audio.Device{Name: "room"}}
	r := bordonWith(t, context.Background(), room(mic), "listen", "--format", "json", "--untimed", "-k", "G", "-l", walk, "--turns", "1")
	require.Equal(t, done, r.status, r.errOut)
	var got []string
	for _, e := range eventsOf(t, r.out, "verdict") {
		var v struct {
			Beat, Pitch string
			Try         int
			Timing      *string
			Time        float64 `json:"time_s"`
		}
		require.NoError(t, json.Unmarshal(e, &v))
		assert.Nil(t, v.Timing)
		// The ear finds an onset within a hundredth of a second.
		assert.InDelta(t, float64(1+len(got)), v.Time, 0.01)
		got = append(got, v.Beat+" "+v.Pitch+" "+ftoa(float64(v.Try)))
	}
	assert.Equal(t, []string{"7 right 1", "8 out-of-scale 1", "8 right 2", "9 right 1", "10 right 1"}, got)
	assert.Len(t, eventsOf(t, r.out, "end"), 1)
	assert.NotContains(t, r.errOut, "Early and late are not said", "nothing is, without a pulse")
	assert.Equal(t, 1, mic.closed)
}

func eventsOf(t *testing.T, out, kind string) []json.RawMessage { return events(t, out)[kind] }
