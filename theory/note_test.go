package theory

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseNote(t *testing.T) {
	tests := []struct {
		text, want string
		midi       int
	}{
		{"C4", "C4", 60}, // middle C is 60 in MIDI 1.0
		{"A4", "A4", 69},
		{"E2", "E2", 40}, // the open sixth string
		{"Bb2", "Bb2", 46},
		{"B♭2", "Bb2", 46},
		{"F♯3", "F#3", 54},
		{"Cb4", "Cb4", 59}, // the octave belongs to the letter
		{"B#3", "B#3", 60},
		{"F𝄪2", "F##2", 43},
		{"A𝄫2", "Abb2", 43},
		{"C-1", "C-1", 0}, // the first and the last of MIDI 1.0
		{"G9", "G9", 127},
	}
	for _, tt := range tests {
		n, err := ParseNote(tt.text)
		require.NoError(t, err, tt.text)
		assert.Equal(t, tt.want, n.String())
		assert.Equal(t, tt.midi, n.MIDI(), tt.text)
	}
}

func TestParseNoteErrors(t *testing.T) {
	tests := []struct{ text, want string }{
		{"", "write one from A to G"},
		{"H2", "the letters are A to G"},
		{"a4", "write A"},
		{"A", "A has no octave; write one after it, such as A2"},
		{"A4x", `"4x" is no octave`},
		{"A04", `"04" is no octave`},
		{"A#b4", "a flat and a sharp stand together"},
		{"Abbb4", "two accidentals at most"},
		{"Cb-1", "MIDI numbers the notes from C-1 to G9"},
		{"G#9", "MIDI numbers the notes from C-1 to G9"},
		{"A10", "MIDI numbers"},
		{"A99999999999999999999", "is no octave"},
		{"\x1b[2J", `"\x1b[2J"`}, // never raw to a terminal
	}
	for _, tt := range tests {
		_, err := ParseNote(tt.text)
		assert.ErrorContains(t, err, tt.want, tt.text)
	}
}

// A long text is cut between its characters.
func TestQuote(t *testing.T) {
	assert.Equal(t, `"short"`, quote("short"))
	assert.Equal(t, `"`+strings.Repeat("♯", 13)+`..."`, quote(strings.Repeat("♯", 100)))
}

func TestParseName(t *testing.T) {
	n, err := ParseName("B♭")
	require.NoError(t, err)
	assert.Equal(t, Name{'B', -1}, n)
	assert.Equal(t, 10, n.PitchClass())

	_, err = ParseName("Bb2")
	assert.ErrorContains(t, err, `"2" follows Bb`)
}

// Twelve-tone equal temperament at A4 = 440 Hz (ISO 16), by the definition: a
// semitone is the twelfth root of two, an octave doubles.
func TestFrequencyIsEqualTempered(t *testing.T) {
	assert.Equal(t, 440.0, Frequency(69, 440))
	assert.Equal(t, 415.0, Frequency(69, 415))
	assert.Equal(t, 110.0, Frequency(45, 440))

	hz := 440.0
	for midi := 69; midi >= 0; midi-- {
		// 69 multiplications round by at most 1e-16 each.
		assert.InEpsilon(t, hz, Frequency(float64(midi), 440), 1e-13, midi)
		hz /= math.Pow(2, 1.0/12)
	}
}

func TestPitchInvertsFrequency(t *testing.T) {
	for midi := 20.0; midi < 100; midi += 0.37 {
		for _, a4 := range []float64{415, 440, 466} {
			// A millionth of a semitone is far below what anybody hears.
			assert.InDelta(t, midi, Pitch(Frequency(midi, a4), a4), 1e-6)
		}
	}
	assert.True(t, math.IsInf(Pitch(0, 440), -1))
	assert.True(t, math.IsNaN(Pitch(-1, 440)))
}

func TestNotesPrintAndParse(t *testing.T) {
	for _, letter := range letters {
		for alter := -2; alter <= 2; alter++ {
			for octave := 0; octave <= 8; octave++ {
				n := Note{Name{byte(letter), alter}, octave}
				if n.MIDI() < 0 {
					continue
				}
				back, err := ParseNote(n.String())
				require.NoError(t, err)
				assert.Equal(t, n, back)
				assert.Equal(t, n, n.Name.at(n.MIDI()))
				assert.Equal(t, n.PitchClass(), n.MIDI()%12)
			}
		}
	}
}
