package theory

import (
	"fmt"
	"strings"
)

// Where the accents come from.
const (
	bridges2004    = "Díaz-Báñez, Farigu, Gómez, Rappaport & Toussaint, \"El compás flamenco: a phylogenetic analysis\", BRIDGES 2004"
	commonPractice = "common practice, no source"
)

// Where the chords change, how beats are counted aloud, the usual tempo and
// where a line runs are common practice, no source. The tense chord is the
// dominant seventh in major and minor keys, the second degree in Phrygian ones.
var (
	twelveCounted = strings.Fields("1 2 3 4 5 6 7 8 9 10 1 2") // "diez, un, dos"
	triplets      = strings.Fields("1 2 3 1 2 3 1 2 3 1 2 3")
)

// Forms are the built-in forms, their sections inside them. The caller owns
// what it gets.
func Forms() []Form {
	return []Form{alegrias(), solea(), bulerias(), seguiriyas(), tangos(), fandangos()}
}

// twelve is the plan that alegrías, soleá and bulerías share: the tense chord
// from beat 3, the tonic from 10.
func twelve(name, title string, tempo float64) Form {
	return Form{
		Name: name, Title: title, Beats: 12, Tempo: tempo,
		Counted:  append([]string(nil), twelveCounted...),
		Changes:  []Change{{3, 5, true}, {10, 1, false}},
		Phrygian: []Change{{3, 2, false}, {10, 1, false}},
		Accents:  []int{3, 6, 8, 10, 12},
		Source:   bridges2004,
		Walk:     "7:3 8:2 9:7 10:1", MinorWalk: "7:3 8:2 9:#7 10:1",
		PhrygianWalk: "7:4 8:3 9:2 10:1",
		RunsFrom:     7, LandsOn: 10,
	}
}

// section makes a form a section of another.
func (f Form) section(name, title string) Form {
	f.Name, f.Title, f.Sections = f.Name+"/"+name, f.Title+", "+title, nil
	return f
}

func alegrias() Form {
	f := twelve("alegrias", "alegrías", 104)
	compas := twelve("alegrias", "alegrías", 104).section("compas", "compás")

	// The feet go in threes, and so do the chords.
	escobilla := twelve("alegrias", "alegrías", 120).section("escobilla", "escobilla")
	escobilla.Counted = append([]string(nil), triplets...)
	escobilla.Changes = []Change{{1, 1, false}, {4, 5, true}, {10, 1, false}}
	escobilla.Phrygian = []Change{{1, 1, false}, {4, 2, false}, {10, 1, false}}
	escobilla.Accents, escobilla.Source = []int{1, 4, 7, 10}, commonPractice

	silencio := twelve("alegrias", "alegrías", 80).section("silencio", "silencio")
	silencio.ToMinor = true
	silencio.Changes = []Change{{1, 1, false}, {4, 4, false}, {7, 5, true}, {10, 1, false}}
	silencio.Phrygian = []Change{{1, 1, false}, {4, 4, false}, {7, 2, false}, {10, 1, false}}

	f.Sections = []Form{compas, escobilla, silencio}
	return f
}

func solea() Form { return twelve("solea", "soleá", 76) }

// bulerias is counted with the accent on 6. The published pattern, which has
// it on 7, is a section of its own.
func bulerias() Form {
	f := twelve("bulerias", "bulerías", 220)
	f.Source = commonPractice
	seven := twelve("bulerias", "bulerías", 220).section("en-siete", "en siete")
	seven.Accents = []int{3, 7, 8, 10, 12}
	f.Sections = []Form{seven}
	return f
}

// seguiriyas has five counts of twelve eighths; its accents are where the
// counts fall.
func seguiriyas() Form {
	return Form{
		Name: "seguiriyas", Title: "seguiriyas", Beats: 5,
		Lengths: []int{2, 2, 3, 3, 2}, Unit: "eighths", Tempo: 140,
		Changes:  []Change{{3, 5, true}, {4, 1, false}},
		Phrygian: []Change{{3, 2, false}, {4, 1, false}},
		Accents:  []int{1, 2, 3, 4, 5},
		Source:   bridges2004,
		Walk:     "1:3 2:2 3:7 4:1", MinorWalk: "1:3 2:2 3:#7 4:1",
		PhrygianWalk: "1:4 2:3 3:2 4:1",
		RunsFrom:     1, LandsOn: 4,
	}
}

func tangos() Form {
	return Form{
		Name: "tangos", Title: "tangos", Beats: 4, Tempo: 152,
		Changes:  []Change{{2, 5, true}, {4, 1, false}},
		Phrygian: []Change{{2, 2, false}, {4, 1, false}},
		Accents:  []int{2, 3, 4},
		Source:   commonPractice,
		Walk:     "1:3 2:2 3:7 4:1", MinorWalk: "1:3 2:2 3:#7 4:1",
		PhrygianWalk: "1:4 2:3 3:2 4:1",
		RunsFrom:     1, LandsOn: 4,
	}
}

// fandangos goes in threes, a chord of the cadence on each.
func fandangos() Form {
	return Form{
		Name: "fandangos", Title: "fandangos", Beats: 12, Tempo: 160,
		Counted:  append([]string(nil), triplets...),
		Changes:  []Change{{1, 1, false}, {4, 4, false}, {7, 5, true}, {10, 1, false}},
		Phrygian: []Change{{1, 4, false}, {4, 3, false}, {7, 2, false}, {10, 1, false}},
		Accents:  []int{1, 4, 7, 10},
		Source:   bridges2004,
		Walk:     "7:3 8:2 9:7 10:1", MinorWalk: "7:3 8:2 9:#7 10:1",
		PhrygianWalk: "1:4 4:3 7:2 10:1",
		RunsFrom:     7, LandsOn: 10,
	}
}

// MaxBeats is how many beats a form has at most. The limit is far beyond music
// and keeps a hostile one small.
const MaxBeats = 64

// freePrefix begins the name of a free form.
const freePrefix = "free:"

// FreeForm is a form of so many beats, 1 to MaxBeats, that is nobody's palo: the
// tense chord until its last beat, on which the line lands. It has no accents.
func FreeForm(beats int) (Form, error) {
	if beats < 1 || beats > MaxBeats {
		return Form{}, fmt.Errorf("a form of %d beats is not usable; write 1 to %d, such as %s8", beats, MaxBeats, freePrefix)
	}
	f := Form{
		Name: fmt.Sprintf("%s%d", freePrefix, beats), Title: fmt.Sprintf("free, %d beats", beats), Beats: beats,
		Source: commonPractice,
		Walk:   "1:1", LandsOn: beats, RunsFrom: max(1, beats-3),
	}
	if beats == 1 {
		f.Title = "free, 1 beat"
		return f, nil
	}
	f.Changes = []Change{{1, 5, true}, {beats, 1, false}}
	f.Phrygian = []Change{{1, 2, false}, {beats, 1, false}}
	walk := func(degrees ...string) string {
		degrees = degrees[max(0, len(degrees)-beats):]
		items := make([]string, len(degrees))
		for i, d := range degrees {
			items[i] = fmt.Sprintf("%d:%s", beats-len(degrees)+1+i, d)
		}
		return strings.Join(items, " ")
	}
	f.Walk, f.MinorWalk, f.PhrygianWalk = walk("3", "2", "7", "1"), walk("3", "2", "#7", "1"), walk("4", "3", "2", "1")
	return f, nil
}
