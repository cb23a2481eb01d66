package theory

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseKey(t *testing.T) {
	tests := []struct{ text, want string }{
		{"D", "D"}, {"Bb", "Bb"}, {"B♭", "Bb"}, {"F#m", "F#m"}, {"F♯m", "F#m"}, {"E-phrygian", "E-phrygian"},
		{" G ", "G"}, {"B flat", "Bb"}, {"B-flat major", "Bb"}, {"F sharp minor", "F#m"}, {"Ebmaj", "Eb"},
		{"A minor", "Am"}, {"E phrygian", "E-phrygian"}, {"E Phrygian", "E-phrygian"},
		{"por-arriba", "E-phrygian"}, {"por medio", "A-phrygian"}, {"Por Medio", "A-phrygian"},
		{"taranta", "F#-phrygian"}, {"por taranta", "F#-phrygian"}, {"granaina", "B-phrygian"}, {"granaína", "B-phrygian"},
		{"minera", "G#-phrygian"}, {"rondena", "C#-phrygian"}, {"RONDEÑA", "C#-phrygian"},
		{"ronden\u0303a", "C#-phrygian"}, {"granai\u0301na", "B-phrygian"}, // accents as characters of their own
	}
	for _, tt := range tests {
		k, err := ParseKey(tt.text)
		require.NoError(t, err, tt.text)
		assert.Equal(t, tt.want, k.String(), tt.text)
	}
}

func TestParseKeyErrors(t *testing.T) {
	tests := []struct{ text, want string }{
		{"", "write a key such as Bb"},
		{"H", "write a key such as Bb"},
		{"x\x1b[2J", `"x\x1b[2J"`},
		{"g", "write G for the major key, Gm for the minor"},
		{"bb", "write Bb for the major key, Bbm for the minor"},
		{"e-phrygian", "write E-phrygian"},
		{"DM", `"M" after D is no mode; write D for the major key, Dm for the minor`},
		{"D dorian", `"dorian" after D is no mode`},
		{"Bb flat", "is no mode"},
		{"G# major", "G# major would take 8 sharps, and a signature holds 7; write Ab"},
		{"G sharp", "write Ab"},
		{"Fb", "Fb major would take 8 flats, and a signature holds 7; write E"},
		{"Gbm", "write F#m"},
		{"Cb-phrygian", "write B-phrygian"},
		{"C##", "write D"},
		{strings.Repeat("G", 10000), `"` + strings.Repeat("G", 40) + `..."`},
	}
	for _, tt := range tests {
		_, err := ParseKey(tt.text)
		require.ErrorContains(t, err, tt.want)
		assert.Less(t, len(err.Error()), 250, "one sentence, whatever was written")
	}
}

func TestKeysPrintAndParse(t *testing.T) {
	all := keys()
	assert.Len(t, all, 45, "no sharps, one to seven sharps, one to seven flats, in three modes")
	for _, k := range all {
		assert.Equal(t, k, key(t, k.String()))
		assert.LessOrEqual(t, k.Signature(), 7)
		assert.GreaterOrEqual(t, k.Signature(), -7)
	}
}

func TestSignature(t *testing.T) {
	// Order of the signatures along the circle of fifths, from memory.
	for k, want := range map[string]int{"C": 0, "G": 1, "D": 2, "C#": 7, "F": -1, "Bb": -2, "Cb": -7,
		"Am": 0, "F#m": 3, "Gm": -2, "por-arriba": 0, "por-medio": -1, "taranta": 2, "minera": 4} {
		assert.Equal(t, want, key(t, k).Signature(), k)
	}
}

func TestScaleMembership(t *testing.T) {
	tests := []struct{ key, in, out string }{
		{"G", "G A B C D E F#", "Ab Bb C# Eb F"},
		{"Am", "A B C D E F F# G G#", "Bb C# D#"},
		{"por-medio", "A Bb C C# D E F G", "B Eb F# G#"},
		{"por-arriba", "E F G G# A B C D", "F# Bb C# D#"},
	}
	for _, tt := range tests {
		k := key(t, tt.key)
		for _, names := range []struct {
			list string
			want bool
		}{{tt.in, true}, {tt.out, false}} {
			for _, s := range strings.Fields(names.list) {
				n, err := ParseName(s)
				require.NoError(t, err)
				for octave := -1; octave < 9; octave++ {
					assert.Equal(t, names.want, k.Contains(Note{n, octave}.MIDI()), "%s in %v", s, k)
				}
			}
		}
	}
}

func TestSpellAndDegree(t *testing.T) {
	tests := []struct {
		key           string
		midi          int
		spell, degree string
	}{
		{"E", 44, "G#2", "3"}, // never A flat
		{"G", 46, "Bb2", "b3"},
		{"G", 49, "C#3", "#4"},
		{"F", 46, "Bb2", "4"},
		{"Bb", 49, "Db3", "b3"},
		{"Gb", 59, "Cb4", "4"}, // the octave of the letter, not of the sound
		{"C#", 60, "B#3", "7"},
		{"Gb", 43, "G2", "b2"}, // no double accidentals
		{"Am", 56, "G#3", "#7"},
		{"Am", 54, "F#3", "#6"},
		{"G#m", 55, "F##3", "#7"}, // the leading note as it is taught
		{"por-medio", 49, "C#3", "#3"},
		{"por-medio", 51, "Eb3", "b5"},
		{"por-arriba", 41, "F2", "2"},
	}
	for _, tt := range tests {
		k := key(t, tt.key)
		assert.Equal(t, tt.spell, k.Spell(tt.midi).String(), "%d in %v", tt.midi, k)
		assert.Equal(t, tt.degree, k.Degree(tt.midi), "%d in %v", tt.midi, k)
	}
}

// What a key spells is the note asked for, and in every key the same degree
// lies the same number of semitones above the tonic.
func TestDegreesMoveTogether(t *testing.T) {
	home := map[Mode]Key{Major: key(t, "C"), Minor: key(t, "Cm"), Phrygian: key(t, "C-phrygian")}
	for _, k := range keys() {
		tonic := k.Tonic.PitchClass()
		for midi := 0; midi < 128-12; midi++ {
			assert.Equal(t, midi, k.Spell(midi).MIDI())
			assert.Equal(t, home[k.Mode].Degree(midi), k.Degree(midi+tonic))
			assert.Equal(t, home[k.Mode].Contains(midi), k.Contains(midi+tonic))
			if n := k.Spell(midi); !k.Contains(midi) {
				assert.Less(t, max(n.Alter, -n.Alter), 2, "%v in %v", n, k)
			}
		}
		for i, n := range k.Scale() {
			assert.True(t, k.Contains(n.PitchClass()))
			assert.Equal(t, string(rune('1'+i)), k.Degree(n.PitchClass()))
			assert.Equal(t, n, k.Spell(60+n.PitchClass()).Name)
		}
	}
}

func TestTranspose(t *testing.T) {
	tests := []struct {
		key       string
		semitones int
		want      string
	}{
		{"G", 3, "Bb"}, // the scenario's cejilla
		{"D", 0, "D"}, {"D", 12, "D"}, {"C#", -24, "C#"},
		{"G", -1, "F#"}, {"F", 1, "Gb"}, {"C", 6, "Gb"}, // six of each: as the key that was left
		{"A", 2, "B"}, {"A", -1, "Ab"}, {"Am", 1, "Bbm"}, {"Em", 11, "D#m"}, {"Dm", 1, "Ebm"},
		{"por-medio", 2, "B-phrygian"}, {"por-arriba", 3, "G-phrygian"}, {"por-arriba", 6, "Bb-phrygian"},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, key(t, tt.key).Transpose(tt.semitones).String(), "%s up %d", tt.key, tt.semitones)
	}
	for _, k := range keys() {
		for n := -14; n <= 14; n++ {
			moved := k.Transpose(n)
			assert.True(t, moved.valid())
			assert.Equal(t, mod(k.Tonic.PitchClass()+n, 12), moved.Tonic.PitchClass())
			assert.Equal(t, k.Mode, moved.Mode)
			if n%12 != 0 {
				assert.LessOrEqual(t, max(moved.Signature(), -moved.Signature()), 6)
			}
		}
	}
}

// Values that no parser returned may be nonsense but do not panic.
func TestNoKeyDoesNotPanic(t *testing.T) {
	for _, k := range []Key{{}, {Name{'Z', 99}, 9}, {Name{'a', -5}, -1}} {
		assert.NotPanics(t, func() {
			for midi := -20; midi < 140; midi += 7 {
				k.Contains(midi)
				_ = k.Degree(midi)
				_ = k.Spell(midi).String()
			}
			_, _, _ = k.String(), k.Scale(), k.Signature()
			_ = k.Transpose(5)
			_ = k.Chord(-3, true).String()
		})
		_, err := ParseLine("7:3", k, Forms()[0], Standard)
		assert.ErrorContains(t, err, "a line needs a key")
	}
}
