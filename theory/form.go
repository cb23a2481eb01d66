package theory

import (
	"fmt"
	"math"
	"strings"
)

// Change of chord: from Beat on the chord on scale degree Degree sounds.
type Change struct {
	Beat    int // 1-based
	Degree  int // 1 to 7
	Seventh bool
}

// Form is a palo: a cycle of beats with its chord plan.
type Form struct {
	Name     string   // "alegrias"
	Title    string   // "alegrías"
	Beats    int      // 12
	Changes  []Change // in order of beat; before the first, the last one still sounds
	Phrygian []Change // the same in a Phrygian key; nil where Changes serves there too
	Accents  []int    // beats
	Source   string   // where the accents are published, or "common practice, no source"

	// Default lines by degree in the contract's grammar. An empty MinorWalk
	// or PhrygianWalk means that Walk serves there too.
	Walk         string // "7:3 8:2 9:7 10:1"
	MinorWalk    string
	PhrygianWalk string
}

const bridges2004 = "Díaz-Báñez, Farigu, Gómez, Rappaport & Toussaint, \"El compás flamenco: a phylogenetic analysis\", BRIDGES 2004"

// Forms are the built-in forms. The caller owns what it gets.
func Forms() []Form {
	// Where the chords change and the walks run is common practice, no
	// source. Alegrías and soleá share their plan: the tense chord from
	// beat 3, the tonic from 10. The tense chord is the dominant seventh in
	// major and minor keys, the second degree in Phrygian ones.
	twelve := func(name, title string) Form {
		return Form{
			Name: name, Title: title, Beats: 12,
			Changes:  []Change{{3, 5, true}, {10, 1, false}},
			Phrygian: []Change{{3, 2, false}, {10, 1, false}},
			Accents:  []int{3, 6, 8, 10, 12},
			Source:   bridges2004,
			Walk:     "7:3 8:2 9:7 10:1", MinorWalk: "7:3 8:2 9:#7 10:1",
			PhrygianWalk: "7:4 8:3 9:2 10:1",
		}
	}
	return []Form{twelve("alegrias", "alegrías"), twelve("solea", "soleá")}
}

// LookupForm finds a built-in form by its name, accents and capitals as one
// likes. The error for an unknown name lists those there are.
func LookupForm(name string) (Form, error) {
	var known []string
	for _, f := range Forms() {
		if f.Name == fold(strings.TrimSpace(name)) {
			return f, nil
		}
		known = append(known, f.Name)
	}
	return Form{}, fmt.Errorf("form %s: there is none of this name; the forms are %s", quote(name), strings.Join(known, ", "))
}

// Plan is the form's chord changes in keys of a mode.
func (f Form) Plan(mode Mode) []Change {
	if mode == Phrygian && f.Phrygian != nil {
		return f.Phrygian
	}
	return f.Changes
}

// WalkIn is the form's default line by degree in keys of a mode.
func (f Form) WalkIn(mode Mode) string {
	switch {
	case mode == Minor && f.MinorWalk != "":
		return f.MinorWalk
	case mode == Phrygian && f.PhrygianWalk != "":
		return f.PhrygianWalk
	}
	return f.Walk
}

// ChordAt is the chord sounding at a beat of the form in key. Beats count from
// 1 and may be fractional; one outside the form is taken as its place in the
// turn before or after. A form without changes stays on the tonic.
func (f Form) ChordAt(key Key, beat float64) Chord {
	plan := f.Plan(key.Mode)
	if len(plan) == 0 {
		return key.Chord(1, false)
	}
	if f.Beats > 0 {
		beat = math.Mod(beat-1, float64(f.Beats)) + 1
		if beat < 1 {
			beat += float64(f.Beats)
		}
	}
	now := plan[len(plan)-1]
	for _, c := range plan {
		if beat >= float64(c.Beat) {
			now = c
		}
	}
	return key.Chord(now.Degree, now.Seventh)
}
