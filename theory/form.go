package theory

import (
	"fmt"
	"math"
	"strconv"
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
	Name     string   // "alegrias", a section "alegrias/silencio"
	Title    string   // "alegrías", "alegrías, silencio"
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

	// Counted is what is said aloud on each beat, Beats of them; nil for 1, 2,
	// 3 and so on.
	Counted []string
	// Lengths are those of the beats in units of the tempo, Beats of them; nil
	// where every beat is one unit. Unit is the unit's name in the plural,
	// "eighths"; "" is "beats".
	Lengths []int
	Unit    string
	Tempo   float64 // a usual one, in units a minute; 0 where there is none

	// A line usually begins on RunsFrom and lands on LandsOn; both are 0 where
	// nothing is usual.
	RunsFrom, LandsOn int

	// ToMinor tells that the section stands in the parallel minor of a major
	// key: see KeyIn.
	ToMinor bool
	// Sections are parts of the form that have a plan of their own. Their
	// names begin with the form's and a slash.
	Sections []Form
}

// LookupForm finds a built-in form by its name, accents and capitals as one
// likes: "alegrías"; one of its sections by both names: "alegrias/silencio";
// or a free form by its number of beats: "free:8". The error for an unknown
// name lists those there are.
func LookupForm(name string) (Form, error) {
	f, err := lookupForm(Forms(), fold(strings.TrimSpace(name)))
	if err != nil {
		return Form{}, fmt.Errorf("form %s: %w", quote(name), err)
	}
	return f, nil
}

// Section finds a section of the form by its own name, "silencio", accents and
// capitals as one likes.
func (f Form) Section(name string) (Form, error) {
	if len(f.Sections) == 0 {
		return Form{}, fmt.Errorf("%s has no sections", f.Title)
	}
	var known []string
	for _, s := range f.Sections {
		own := strings.TrimPrefix(s.Name, f.Name+"/")
		if own == fold(strings.TrimSpace(name)) {
			return s, nil
		}
		known = append(known, own)
	}
	return Form{}, fmt.Errorf("%s has no section %s; its sections are %s", f.Title, quote(name), strings.Join(known, ", "))
}

func lookupForm(forms []Form, name string) (Form, error) {
	if beats, ok := strings.CutPrefix(name, freePrefix); ok {
		n, err := parseNumber(beats, "number of beats")
		if err != nil {
			return Form{}, err
		}
		return FreeForm(n)
	}
	whole, section, cut := strings.Cut(name, "/")
	var known []string
	for _, f := range forms {
		if f.Name == whole {
			if cut {
				return f.Section(section)
			}
			return f, nil
		}
		known = append(known, f.Name)
	}
	return Form{}, fmt.Errorf("there is none of this name; the forms are %s, and %s8 for any number of beats", strings.Join(known, ", "), freePrefix)
}

// KeyIn is the key that the form stands in when the whole is in home: the
// parallel minor for a section such as the silencio, else home itself. Where
// the parallel minor would take more than seven flats it is spelled by sharps.
func (f Form) KeyIn(home Key) Key {
	if !f.ToMinor || home.Mode != Major {
		return home
	}
	k := Key{home.Tonic, Minor}
	if !k.valid() {
		k = simplest(home.Tonic.PitchClass(), Minor, home.Signature() > 0)
	}
	return k
}

// Length of a beat, from 1 on, in units of the tempo; one outside the form is
// taken as its place in the turn before or after.
func (f Form) Length(beat int) int {
	if len(f.Lengths) == 0 {
		return 1
	}
	return f.Lengths[mod(beat-1, len(f.Lengths))]
}

// TurnUnits is the length of one turn in units of the tempo.
func (f Form) TurnUnits() int {
	if len(f.Lengths) == 0 {
		return f.Beats
	}
	sum := 0
	for _, n := range f.Lengths {
		sum += n
	}
	return sum
}

// Units is the distance in units of the tempo from beat 1 of the first turn to
// a point so many beats after it, before it where negative; the beats are as
// long as the form has them. Position.Offset gives such a number of beats.
func (f Form) Units(beats float64) float64 {
	n := len(f.Lengths)
	if n == 0 || math.IsNaN(beats) || math.IsInf(beats, 0) {
		return beats
	}
	whole := math.Floor(beats)
	turns := math.Floor(whole / float64(n))
	units := turns * float64(f.TurnUnits())
	at := min(max(int(whole-turns*float64(n)), 0), n-1)
	for _, length := range f.Lengths[:at] {
		units += float64(length)
	}
	return units + (beats-whole)*float64(f.Lengths[at])
}

// CountedOn is what is said aloud on a beat, from 1 on.
func (f Form) CountedOn(beat int) string {
	if beat < 1 || beat > len(f.Counted) {
		return strconv.Itoa(beat)
	}
	return f.Counted[beat-1]
}

// TempoUnit is the unit that the form's tempo counts, in the plural: "beats",
// "eighths".
func (f Form) TempoUnit() string {
	if f.Unit == "" {
		return "beats"
	}
	return f.Unit
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
