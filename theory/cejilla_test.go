package theory

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFingerings(t *testing.T) {
	tests := []struct{ sounding, form, want string }{
		{"G", "alegrias", "G+0 E+3 C+7 D+5 F#+1 F+2 Eb+4 Db+6"},
		{"Bb", "alegrias", "A+1 G+3 E+6 Bb+0 Ab+2 Gb+4 F+5 Eb+7"},
		{"G-phrygian", "solea", "E-phrygian+3 G-phrygian+0"},
		{"C-phrygian", "solea", "A-phrygian+3 C-phrygian+0"},
		{"C-phrygian", "tangos", "A-phrygian+3"},
		{"Am", "alegrias/silencio", "Am+0 Em+5 Dm+7"},
		{"B", "no form that has habits", "A+2 E+7 G+4"},
	}
	for _, tt := range tests {
		var got []string
		for _, f := range Fingerings(key(t, tt.sounding), tt.form) {
			got = append(got, f.Key.String()+"+"+string(rune('0'+f.Cejilla)))
		}
		assert.Equal(t, tt.want, strings.Join(got, " ")[:len(tt.want)], "%s for %s", tt.sounding, tt.form)
	}
	assert.Empty(t, Fingerings(Key{}, "alegrias"))
}

// Every way sounds the pitch that was asked for, each fret stands once, and
// what is habitual stands first.
func TestEveryFingeringSounds(t *testing.T) {
	for _, k := range keys() {
		for _, form := range allForms(t) {
			all := Fingerings(k, form.Name)
			require.Len(t, all, MaxPlayedCejilla+1)
			frets := map[int]bool{}
			habitual := true
			for _, f := range all {
				frets[f.Cejilla] = true
				assert.Equal(t, k.Tonic.PitchClass(), f.Sounding().Tonic.PitchClass())
				assert.Equal(t, k.Mode, f.Key.Mode)
				assert.True(t, habitual || !f.Habitual, "%v: a habitual shape after one that is not", k)
				habitual = f.Habitual
				back, err := ParseKey(f.Key.String())
				require.NoError(t, err)
				assert.Equal(t, f.Key, back)
			}
			assert.Len(t, frets, MaxPlayedCejilla+1)
		}
	}
	for form, names := range habits {
		_, err := LookupForm(form)
		assert.True(t, form == "" || err == nil, form)
		for _, name := range names {
			assert.Equal(t, name, key(t, name).String())
		}
	}
}

func TestSung(t *testing.T) {
	for want, f := range map[string]Fingering{
		"al 3 por arriba":          {Key: key(t, "por-arriba"), Cejilla: 3},
		"al aire por medio":        {Key: key(t, "por-medio")},
		"al 2 por granaína":        {Key: key(t, "granaina"), Cejilla: 2},
		"al 1 por rondeña":         {Key: key(t, "rondena"), Cejilla: 1},
		"al 3 por sol":             {Key: key(t, "G"), Cejilla: 3},
		"al 4 por fa sostenido":    {Key: key(t, "F#"), Cejilla: 4},
		"al 4 por si bemol menor":  {Key: key(t, "Bbm"), Cejilla: 4},
		"al 5 por re flamenco":     {Key: key(t, "D-phrygian"), Cejilla: 5},
		"al 7 por mi bemol":        {Key: key(t, "Eb"), Cejilla: 7},
		"al aire por do sostenido": {Key: key(t, "C#")},
	} {
		assert.Equal(t, want, f.Sung())
	}
	for _, name := range []string{"por-arriba", "por-medio", "taranta", "granaina", "minera", "rondena"} {
		assert.Equal(t, name, key(t, name).ToqueName())
	}
	assert.Empty(t, key(t, "E").ToqueName())
	assert.Empty(t, key(t, "D-phrygian").ToqueName())
}
