package theory

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestKeysInSpanish(t *testing.T) {
	for text, want := range map[string]string{
		"sib": "Bb", "Si♭": "Bb", "si bemol": "Bb", "Si bemol mayor": "Bb", "sol": "G", "Sol mayor": "G", "fa#m": "F#m",
		"fa sostenido menor": "F#m", "la menor": "Am", "mi frigio": "E-phrygian", "re": "D", "do": "C",
		// M is major and m minor (common practice, no source).
		"SolM": "G", "sol M": "G", "solm": "Gm", "Fa#M": "F#", "SibM": "Bb", "LA MENOR": "Am", "LA MAYOR": "A",
	} {
		k, err := ParseKey(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, k.String(), text)
	}
	for _, text := range []string{"solea", "sibb", "mi mi", "fado", "SOLM", "FA#M"} {
		_, err := ParseKey(text)
		assert.Error(t, err, text)
	}
	_, err := ParseKey("sol#")
	assert.EqualError(t, err, `key "sol#": G# major would take 8 sharps, and a signature holds 7; write Ab`)
}
