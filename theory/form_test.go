package theory

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLookupForm(t *testing.T) {
	for text, want := range map[string]string{"alegrias": "alegrías", "alegrías": "alegrías", "Alegrías": "alegrías", " soleá": "soleá", "solea": "soleá"} {
		f, err := LookupForm(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, f.Title)
	}
	_, err := LookupForm("waltz")
	assert.EqualError(t, err, `form "waltz": there is none of this name; the forms are alegrias, solea, bulerias, seguiriyas, tangos, fandangos, and free:8 for any number of beats`)
	_, err = LookupForm("\x1b")
	assert.ErrorContains(t, err, `"\x1b"`)
}

func TestFormsAreWellMade(t *testing.T) {
	for _, f := range Forms() {
		assert.Equal(t, f.Name, fold(f.Title))
	}
	for _, f := range allForms(t) {
		assert.Contains(t, []int{0, f.Beats}, len(f.Counted), f.Name)
		assert.Contains(t, []int{0, f.Beats}, len(f.Lengths), f.Name)
		assert.NotEmpty(t, f.Source, f.Name)
		assert.LessOrEqual(t, f.RunsFrom, f.LandsOn, f.Name)
		assert.LessOrEqual(t, f.LandsOn, f.Beats, f.Name)
		for _, mode := range []Mode{Major, Minor, Phrygian} {
			last := 0
			for _, c := range f.Plan(mode) {
				assert.Greater(t, c.Beat, last)
				assert.LessOrEqual(t, c.Beat, f.Beats)
				assert.Contains(t, []int{1, 2, 3, 4, 5, 6, 7}, c.Degree)
				last = c.Beat
			}
		}
	}
	// What a caller does to its copy reaches nobody else.
	Forms()[0].Accents[0] = 99
	form(t, "alegrias").Changes[0].Beat = 99
	assert.Equal(t, 3, form(t, "alegrias").Accents[0])
	assert.Equal(t, 3, form(t, "alegrias").Changes[0].Beat)
}

// The patterns of Díaz-Báñez, Farigu, Gómez, Rappaport & Toussaint, BRIDGES
// 2004, an x for each accented one of twelve pulses (from memory). Those of
// soleá and bulería are counted from 1, that of seguiriya from its first count
// and that of fandango from the first of its threes; alegrías share the soleá's.
func TestAccentsArePublished(t *testing.T) {
	published := map[string]string{
		"alegrias":          "..x..x.x.x.x",
		"alegrias/compas":   "..x..x.x.x.x",
		"alegrias/silencio": "..x..x.x.x.x",
		"solea":             "..x..x.x.x.x",
		"bulerias/en-siete": "..x...xx.x.x",
		"seguiriyas":        "x.x.x..x..x.",
		"fandangos":         "x..x..x..x..",
	}
	for _, f := range allForms(t) {
		pattern, ok := published[f.Name]
		if f.Source != bridges2004 {
			assert.Equal(t, commonPractice, f.Source, f.Name)
			assert.False(t, ok, f.Name)
			continue
		}
		require.True(t, ok, "%s names a source", f.Name)
		assert.Equal(t, len(pattern), f.TurnUnits(), f.Name)
		got := []byte(strings.Repeat(".", f.TurnUnits()))
		for _, a := range f.Accents {
			got[int(f.Units(float64(a-1)))] = 'x'
		}
		assert.Equal(t, pattern, string(got), f.Name)
	}
	assert.Equal(t, []int{3, 6, 8, 10, 12}, form(t, "bulerias").Accents, "counted with the accent on 6: common practice, no source")
}

// allForms are the forms, their sections and free forms of some sizes.
func allForms(t testing.TB) []Form {
	var all []Form
	for _, f := range Forms() {
		all = append(append(all, f), f.Sections...)
	}
	for _, n := range []int{4, 5, 8, 12, MaxBeats} {
		f, err := FreeForm(n)
		require.NoError(t, err)
		all = append(all, f)
	}
	return all
}

func TestLookupSection(t *testing.T) {
	for text, want := range map[string]string{"alegrias/silencio": "alegrías, silencio", "Alegrías/Escobilla": "alegrías, escobilla",
		"bulerías/en siete": "bulerías, en siete", "free:8": "free, 8 beats", "free:1": "free, 1 beat"} {
		f, err := LookupForm(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, f.Title)
		again, err := LookupForm(f.Name)
		require.NoError(t, err)
		assert.Equal(t, f, again)
	}
	for text, want := range map[string]string{
		"alegrias/ida": `alegrías has no section "ida"; its sections are compas, escobilla, silencio`,
		"tangos/ida":   "tangos has no sections",
		"free:0":       "a form of 0 beats is not usable; write 1 to 64, such as free:8",
		"free:65":      "a form of 65 beats",
		"free:x":       `"x" is no number of beats`,
		"free:-1":      "is no number of beats",
	} {
		_, err := LookupForm(text)
		assert.ErrorContains(t, err, want, text)
	}
}

func TestFreeFormsOfFewBeats(t *testing.T) {
	for n, want := range map[int]string{1: "1:G2", 2: "1:F#2 2:G2", 3: "1:A2 2:F#2 3:G2"} {
		f, err := FreeForm(n)
		require.NoError(t, err)
		l, err := DefaultLine(key(t, "G"), f, Standard)
		require.NoError(t, err)
		assert.Equal(t, want, l.String())
	}
}

func TestKeyIn(t *testing.T) {
	silencio := form(t, "alegrias/silencio")
	for home, want := range map[string]string{"G": "Gm", "E": "Em", "Bb": "Bbm", "Db": "C#m", "Gb": "F#m", "Cb": "Bm", "C#": "C#m", "Am": "Am", "por-medio": "A-phrygian"} {
		assert.Equal(t, want, silencio.KeyIn(key(t, home)).String(), home)
		assert.Equal(t, key(t, home), form(t, "alegrias").KeyIn(key(t, home)), "the basic compás stays at home")
	}
	for _, k := range keys() {
		in := silencio.KeyIn(k)
		assert.True(t, in.valid())
		assert.Equal(t, k.Tonic.PitchClass(), in.Tonic.PitchClass())
	}
}

func TestUnequalCounts(t *testing.T) {
	f := form(t, "seguiriyas")
	assert.Equal(t, 12, f.TurnUnits())
	assert.Equal(t, "eighths", f.TempoUnit())
	for beats, want := range map[float64]float64{0: 0, 1: 2, 2: 4, 3: 7, 4: 10, 5: 12, 2.5: 5.5, 7: 16, -1: -2, -2: -5, -0.5: -1, -5: -12} {
		assert.Equal(t, want, f.Units(beats), beats)
	}
	assert.Equal(t, []int{2, 2, 3, 3, 2, 2, 2}, []int{f.Length(1), f.Length(2), f.Length(3), f.Length(4), f.Length(5), f.Length(6), f.Length(0)})
	even := form(t, "solea")
	assert.Equal(t, 12, even.TurnUnits())
	assert.Equal(t, 7.25, even.Units(7.25))
	assert.Equal(t, "beats", even.TempoUnit())
	assert.Equal(t, 1, even.Length(3))
	assert.True(t, math.IsNaN(f.Units(math.NaN())))
}

func TestCountedAloud(t *testing.T) {
	assert.Equal(t, "10", form(t, "solea").CountedOn(10))
	assert.Equal(t, "1", form(t, "solea").CountedOn(11), "diez, un, dos")
	assert.Equal(t, "3", form(t, "fandangos").CountedOn(12))
	assert.Equal(t, "4", form(t, "tangos").CountedOn(4))
	assert.Equal(t, "99", form(t, "solea").CountedOn(99))
}

func TestChordAt(t *testing.T) {
	tests := []struct {
		form, key string
		beat      float64
		want      string
	}{
		{"alegrias", "G", 1, "G"}, // the tonic of beat 10 still sounds
		{"alegrias", "G", 2.99, "G"},
		{"alegrias", "G", 3, "D7"},
		{"alegrias", "G", 9.5, "D7"},
		{"alegrias", "G", 10, "G"},
		{"alegrias", "G", 12.9, "G"},
		{"alegrias", "G", 15, "D7"}, // beat 3 of the next turn
		{"alegrias", "G", -2, "G"},  // beat 10 of the one before
		{"alegrias", "G", -3, "D7"},
		{"alegrias", "G", math.NaN(), "G"},
		{"alegrias", "G", math.Inf(1), "G"},
		{"alegrias", "Bb", 7, "F7"},
		{"alegrias", "F", 7, "C7"},
		{"alegrias", "D", 7, "A7"},
		{"alegrias", "Am", 7, "E7"},
		{"solea", "por-medio", 2, "A"},
		{"solea", "por-medio", 3, "Bb"},
		{"solea", "por-medio", 10, "A"},
		{"solea", "por-arriba", 7, "F"},
		{"solea", "G", 7, "D7"},
		{"alegrias/escobilla", "G", 3, "G"},
		{"alegrias/escobilla", "G", 4, "D7"},
		{"alegrias/silencio", "Gm", 4, "Cm"},
		{"alegrias/silencio", "Gm", 7, "D7"},
		{"bulerias", "por-medio", 9, "Bb"},
		{"seguiriyas", "por-medio", 3, "Bb"},
		{"seguiriyas", "por-medio", 3.9, "Bb"},
		{"seguiriyas", "por-medio", 4, "A"},
		{"tangos", "por-medio", 2, "Bb"},
		{"fandangos", "por-arriba", 1, "Am"},
		{"fandangos", "por-arriba", 4, "G"},
		{"fandangos", "por-arriba", 9, "F"},
		{"fandangos", "por-arriba", 10, "E"},
		{"free:5", "G", 4, "D7"},
		{"free:5", "G", 5, "G"},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, form(t, tt.form).ChordAt(key(t, tt.key), tt.beat).String(), "%s in %s, beat %v", tt.form, tt.key, tt.beat)
	}
	assert.Equal(t, "G", Form{Beats: 4}.ChordAt(key(t, "G"), 2).String(), "no changes: the tonic")
}
