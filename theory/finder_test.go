package theory

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var twelveMajors = []string{"C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F"}
var sixPhrygians = []string{"por-arriba", "por-medio", "taranta", "granaina", "minera", "rondena"}

func find(t testing.TB, keyName string, tuning Tuning, count int) []Walk {
	t.Helper()
	walks, err := Find(key(t, keyName), form(t, "alegrias"), tuning, count)
	require.NoError(t, err, keyName)
	return walks
}

func degreesOf(w Walk) string {
	var d []string
	for _, n := range w.Notes {
		d = append(d, n.Degree)
	}
	return strings.Join(d, " ")
}

func fretsOf(w Walk) []Place {
	var p []Place
	for _, n := range w.Notes {
		p = append(p, n.Place)
	}
	return p
}

// Nothing is left out and nothing is out of order: every way of four notes is
// built here one by one, weighed as a whole, and held against the search,
// which adds up moves and never builds most of them.
func TestFindIsComplete(t *testing.T) {
	dropped := Standard
	dropped[5] = 38
	for _, tt := range []struct {
		key    string
		tuning Tuning
	}{{"G", Standard}, {"F#", Standard}, {"Am", Standard}, {"por-medio", Standard}, {"D", dropped}} {
		k, f := key(t, tt.key), form(t, "alegrias")
		want := map[string]int{}
		line := Line{Key: k, Form: f, Tuning: tt.tuning, Items: make([]Item, 4)}
		var fill func(i int)
		fill = func(i int) {
			if i == 4 {
				w, err := WalkOf(line)
				require.NoError(t, err)
				if w.Count(Shift) == 0 {
					want[line.String()] = w.Cost()
				}
				return
			}
			for midi := tt.tuning[5]; midi <= tt.tuning[3]+LastFret; midi++ {
				switch {
				case !k.Contains(midi),
					i == 3 && mod(midi, 12) != k.Tonic.PitchClass(),
					i > 0 && line.Items[i-1].Choices[0].Note.MIDI() == midi:
					continue
				}
				w, err := WalkOf(Line{Key: k, Form: f, Tuning: tt.tuning, Items: []Item{
					{Choices: []Choice{{Note: k.Spell(midi)}}, Chord: f.ChordAt(k, float64(7+i))}}})
				require.NoError(t, err)
				if w.Notes[0].Shift { // out of reach by itself: no walk has it
					continue
				}
				line.Items[i] = Item{Position: Position{Turn: 1, Beat: 7 + i, Den: 1}, Chord: f.ChordAt(k, float64(7+i)),
					Choices: []Choice{{Note: k.Spell(midi)}}}
				fill(i + 1)
			}
		}
		fill(0)
		require.Greater(t, len(want), 500, tt.key)

		s, err := newSearch(k, f, tt.tuning)
		require.NoError(t, err)
		last, got := -1<<30, 0
		for {
			picks, ok := s.next()
			if !ok {
				break
			}
			w := s.walk(picks)
			cost, there := want[w.Line().String()]
			require.True(t, there, "%s: %v", tt.key, w.Line())
			require.Equal(t, cost, w.Cost(), "%s: %v", tt.key, w.Line())
			require.GreaterOrEqual(t, cost, last, "%s: %v", tt.key, w.Line())
			last = cost
			got++
			delete(want, w.Line().String())
		}
		assert.Empty(t, want, tt.key)
		assert.NotZero(t, got)
	}
}

// The same over more beats than can be counted out: the search must not walk
// through all of them for the first few.
func TestFindOverManyBeats(t *testing.T) {
	f := Form{Name: "long", Title: "long", Beats: 24, Changes: []Change{{1, 5, true}, {24, 1, false}},
		Walk: "1:5 2:5 3:5 4:5 5:5 6:5 7:5 8:5 9:5 10:5 11:5 12:5 13:5 14:5 15:5 16:5 17:5 18:5 19:5 20:5 21:5 22:5 23:5 24:1"}
	walks, err := Find(key(t, "G"), f, Standard, 5)
	require.NoError(t, err)
	require.Len(t, walks, 5)
	assert.Len(t, walks[0].Notes, 24)
}

func TestFindIsInTheScaleAndInReach(t *testing.T) {
	var all []Form
	for _, f := range Forms() {
		all = append(append(all, f), f.Sections...)
	}
	for _, beats := range []int{1, 2, 9} {
		f, err := FreeForm(beats)
		require.NoError(t, err)
		all = append(all, f)
	}
	for _, f := range all {
		for _, k := range keys() {
			walks, err := Find(k, f, Standard, 20)
			require.NoError(t, err, "%s in %v", f.Name, k)
			require.NotEmpty(t, walks)
			seen := map[string]bool{}
			for _, w := range walks {
				text := w.Line().String()
				assert.False(t, seen[text], "%s twice", text)
				seen[text] = true
				for i, n := range w.Notes {
					midi := n.Note.MIDI()
					assert.True(t, k.Contains(midi), text)
					assert.Equal(t, k.Spell(midi), n.Note)
					assert.Equal(t, midi, Standard[n.Place.String-1]+n.Place.Fret, text)
					assert.Contains(t, []int{6, 5, 4}, n.Place.String)
					assert.False(t, n.Shift, text)
					if i > 0 {
						assert.NotEqual(t, w.Notes[i-1].Note, n.Note, text)
					}
				}
				last := w.Notes[len(w.Notes)-1]
				assert.Equal(t, "1", last.Degree, text)
				assert.True(t, w.Line().Items[len(w.Notes)-1].Landing)
				back, err := ParseLine(text, k, f, Standard)
				require.NoError(t, err)
				assert.Equal(t, text, back.String())
			}
		}
	}
}

// A cejilla raises every string alike, and the key with them.
func TestCejillaAndKeyMovedTogetherChangeNothing(t *testing.T) {
	for _, name := range append(slices.Clone(twelveMajors), "Am", "Em", "por-medio", "taranta") {
		at := find(t, name, Standard, 10)
		for fret := 1; fret <= 7; fret++ {
			raised := Standard
			for i := range raised {
				raised[i] += fret
			}
			moved, err := Find(key(t, name).Transpose(fret), form(t, "alegrias"), raised, 10)
			require.NoError(t, err)
			require.Len(t, moved, len(at))
			for i := range at {
				assert.Equal(t, degreesOf(at[i]), degreesOf(moved[i]), "%s, cejilla %d", name, fret)
				assert.Equal(t, fretsOf(at[i]), fretsOf(moved[i]), "%s, cejilla %d", name, fret)
			}
		}
	}
}

// With the sixth string in D every note on it lies two frets higher, two notes
// come within reach below, and the others stay where they were.
func TestSixthStringInD(t *testing.T) {
	dropped := Standard
	dropped[5] -= 2
	lower := 0
	for _, name := range twelveMajors {
		k := key(t, name)
		for _, chord := range []Chord{k.TonicChord(), k.DominantChord()} {
			s, ok := ShapeOf(chord, Standard)
			require.True(t, ok)
			held := newHand(s)
			held.frets[5] = Muted // what it holds there is another note now
			for midi := 40; midi <= 54; midi++ {
				before, _, ok := held.place(Standard, midi)
				require.True(t, ok)
				after, _, ok := held.place(dropped, midi)
				require.True(t, ok)
				if before.String != 6 && after.String != 6 {
					assert.Equal(t, before, after, "%s: %v over %v", name, midi, chord)
				}
				if before.String == 6 && after.String == 6 {
					assert.Equal(t, before.Fret+2, after.Fret, "%s: %v over %v", name, midi, chord)
				}
			}
		}
		for _, w := range find(t, name, dropped, 20) {
			for _, n := range w.Notes {
				if n.Note.MIDI() < Standard[5] {
					lower++
					assert.Equal(t, 6, n.Place.String)
					assert.LessOrEqual(t, n.Place.Fret, 1)
				}
			}
		}
	}
	assert.NotZero(t, lower)
	// The tonic of D lies an octave lower, and good walks go there.
	var landings []Place
	for _, w := range find(t, "D", dropped, 5) {
		landings = append(landings, w.Notes[len(w.Notes)-1].Place)
	}
	assert.Contains(t, landings, Place{6, 0})
}

// Aldwell & Schachter, Harmony and Voice Leading: the leading tone rises by
// step to the tonic and the second degree moves to it by step, in the close
// from dominant to tonic (from memory).
func TestTheCloseResolvesByStep(t *testing.T) {
	for _, name := range twelveMajors {
		for _, w := range find(t, name, Standard, 5) {
			n := len(w.Notes)
			assert.Contains(t, []string{"2", "7"}, w.Notes[n-2].Degree, "%s: %v", name, w.Line())
			assert.LessOrEqual(t, distance(w.Notes[n-2].Note.MIDI(), w.Notes[n-1].Note.MIDI()), 2)
		}
	}
}

// No note of the first five lies further than one finger beyond the four frets
// where the hand holds the chord. The hand is found here anew, from the frets
// of the shape alone.
func TestNoStretchThatTheFingersCannotLeave(t *testing.T) {
	stretched := 0
	for _, name := range append(slices.Clone(twelveMajors), sixPhrygians...) {
		for _, w := range find(t, name, Standard, 5) {
			for _, n := range w.Notes {
				if n.Place.Fret == 0 {
					continue
				}
				s, ok := ShapeOf(n.Chord, Standard)
				if n.Chord.String() == w.Key.TonicChord().String() {
					s, ok = w.Key.TonicShape(Standard)
				}
				require.True(t, ok)
				low, high := s.Position(), 0
				for _, fret := range s.Frets {
					high = max(high, fret)
				}
				// Four frets that hold the shape, and one more.
				assert.GreaterOrEqual(t, n.Place.Fret, high-handSpan, "%s: %v over %v", name, w.Line(), s)
				assert.LessOrEqual(t, n.Place.Fret, low+handSpan, "%s: %v over %v", name, w.Line(), s)
				assert.LessOrEqual(t, n.Stretch, handOpen, "%s: %v", name, w.Line())
				stretched += n.Stretch
			}
		}
	}
	assert.NotZero(t, stretched, "the limit is reached, so it is tested")
}

// The walk of the scenario is among the best where the hand has it easily.
func TestTheWalkOfTheHomeKey(t *testing.T) {
	for name, want := range map[string]string{"G": "7:B2 8:A2 9:F#2 10:G2", "F": "7:A2 8:G2 9:E2 10:F2"} {
		var lines []string
		for _, w := range find(t, name, Standard, 5) {
			lines = append(lines, w.Line().String())
		}
		assert.Contains(t, lines, want, name)
	}
}

// The descent from the fourth degree, the flamenco cadence (common practice, no
// source), is among the first two of each Phrygian key.
func TestThePhrygianDescent(t *testing.T) {
	for _, name := range sixPhrygians {
		walks := find(t, name, Standard, 2)
		assert.Contains(t, []string{degreesOf(walks[0]), degreesOf(walks[1])}, "4 3 2 1", name)
	}
}

func TestFindRefuses(t *testing.T) {
	f := form(t, "alegrias")
	_, err := Find(key(t, "G"), f, Standard, 0)
	assert.EqualError(t, err, "0 walks cannot be listed; ask for 1 to 1000")
	_, err = Find(Key{}, f, Standard, 5)
	assert.ErrorContains(t, err, "there is no key")
	_, err = Find(key(t, "G"), Form{Name: "drone", Beats: 4}, Standard, 5)
	assert.ErrorContains(t, err, `form "drone" never goes from another chord to the tonic`)
	// A form of one's own needs no walk: the chords say where it lands.
	walks, err := Find(key(t, "G"), Form{Name: "own", Title: "own", Beats: 8, Changes: []Change{{1, 5, true}, {7, 1, false}}}, Standard, 1)
	require.NoError(t, err)
	assert.Equal(t, "7", walks[0].Notes[3].Position.String())
	assert.Zero(t, walks[0].Count(traits))
}

func TestWeightsHaveReasons(t *testing.T) {
	for trait, w := range weights {
		assert.Positive(t, w.cost, trait)
		assert.NotEmpty(t, w.reason, trait)
	}
}

// Every weight changes some list: one that changes none is none.
func TestEveryWeightTells(t *testing.T) {
	list := func() string {
		var b strings.Builder
		for _, name := range append(slices.Clone(twelveMajors), "Am", "Em", "Dm", "por-arriba", "por-medio", "taranta", "minera") {
			for _, w := range find(t, name, Standard, 60) {
				b.WriteString(w.Line().String() + "\n")
			}
		}
		return b.String()
	}
	all := list()
	for trait := range traits {
		if trait == Shift { // keeps its notes out
			continue
		}
		cost := weights[trait].cost
		weights[trait].cost = 0
		assert.NotEqual(t, all, list(), weights[trait].reason)
		weights[trait].cost = cost
	}
}

func BenchmarkFindTwelveKeys(b *testing.B) {
	f := form(b, "alegrias")
	var all []Key
	for _, name := range twelveMajors {
		all = append(all, key(b, name))
	}
	b.ReportAllocs()
	for b.Loop() {
		for _, k := range all {
			if _, err := Find(k, f, Standard, 5); err != nil {
				b.Fatal(err)
			}
		}
	}
}
