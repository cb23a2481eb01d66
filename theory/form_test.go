package theory

import (
	"math"
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
	assert.EqualError(t, err, `form "waltz": there is none of this name; the forms are alegrias, solea`)
	_, err = LookupForm("\x1b")
	assert.ErrorContains(t, err, `"\x1b"`)
}

func TestFormsAreWellMade(t *testing.T) {
	for _, f := range Forms() {
		assert.Equal(t, f.Name, fold(f.Title))
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

// Díaz-Báñez, Farigu, Gómez, Rappaport & Toussaint, BRIDGES 2004: the soleá
// pattern, which alegrías shares.
func TestAccents(t *testing.T) {
	for _, name := range []string{"alegrias", "solea"} {
		f := form(t, name)
		assert.Equal(t, 12, f.Beats)
		assert.Equal(t, []int{3, 6, 8, 10, 12}, f.Accents)
		assert.Contains(t, f.Source, "BRIDGES 2004")
	}
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
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, form(t, tt.form).ChordAt(key(t, tt.key), tt.beat).String(), "%s in %s, beat %v", tt.form, tt.key, tt.beat)
	}
	assert.Equal(t, "G", Form{Beats: 4}.ChordAt(key(t, "G"), 2).String(), "no changes: the tonic")
}
