package theory

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestChordOnDegree(t *testing.T) {
	tests := []struct {
		key     string
		degree  int
		seventh bool
		want    string
	}{
		{"G", 1, false, "G"}, {"G", 5, true, "D7"}, {"G", 2, false, "Am"}, {"G", 7, true, "F#m7b5"}, {"G", 1, true, "Gmaj7"},
		{"Am", 1, false, "Am"}, {"Am", 5, true, "E7"}, {"Am", 5, false, "E"}, {"Am", 3, false, "C"},
		{"por-medio", 1, false, "A"}, {"por-medio", 2, false, "Bb"}, {"por-medio", 3, true, "C7"}, {"por-medio", 5, false, "Edim"},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, key(t, tt.key).Chord(tt.degree, tt.seventh).String())
	}
}

func TestChordSymbols(t *testing.T) {
	assert.Equal(t, "D-G-A", Chord{[]Name{{'D', 0}, {'G', 0}, {'A', 0}}}.String())
	assert.Equal(t, "C-E-G-Bb-D", Chord{[]Name{{'C', 0}, {'E', 0}, {'G', 0}, {'B', -1}, {'D', 0}}}.String())
	assert.Equal(t, "", Chord{}.String())
	assert.Equal(t, "Caug", Chord{[]Name{{'C', 0}, {'E', 0}, {'G', 1}}}.String())
}

func TestChordContains(t *testing.T) {
	d7 := key(t, "G").Chord(5, true)
	in := map[int]bool{2: true, 6: true, 9: true, 0: true} // D F# A C
	for midi := 0; midi < 128; midi++ {
		assert.Equal(t, in[midi%12], d7.Contains(midi), midi)
	}
	assert.False(t, Chord{}.Contains(60))
}
