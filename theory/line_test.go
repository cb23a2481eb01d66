package theory

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func key(t testing.TB, s string) Key {
	t.Helper()
	k, err := ParseKey(s)
	require.NoError(t, err)
	return k
}

func form(t testing.TB, s string) Form {
	t.Helper()
	f, err := LookupForm(s)
	require.NoError(t, err)
	return f
}

func TestDefaultLine(t *testing.T) {
	tests := []struct{ key, form, want string }{
		{"C", "alegrias", "7:E3 8:D3 9:B2 10:C3"},
		{"Db", "alegrias", "7:F3 8:Eb3 9:C3 10:Db3"},
		{"D", "alegrias", "7:F#3 8:E3 9:C#3 10:D3"},
		{"Eb", "alegrias", "7:G3 8:F3 9:D3 10:Eb3"},
		{"E", "alegrias", "7:G#3 8:F#3 9:D#3 10:E3"}, // D#2 is not on the guitar
		{"F", "alegrias", "7:A2 8:G2 9:E2 10:F2"},
		{"F#", "alegrias", "7:A#2 8:G#2 9:E#2 10:F#2"},
		{"Gb", "alegrias", "7:Bb2 8:Ab2 9:F2 10:Gb2"},
		{"G", "alegrias", "7:B2 8:A2 9:F#2 10:G2"},
		{"Ab", "alegrias", "7:C3 8:Bb2 9:G2 10:Ab2"},
		{"A", "alegrias", "7:C#3 8:B2 9:G#2 10:A2"},
		{"Bb", "alegrias", "7:D3 8:C3 9:A2 10:Bb2"},
		{"B", "alegrias", "7:D#3 8:C#3 9:A#2 10:B2"},
		{"Am", "alegrias", "7:C3 8:B2 9:G#2 10:A2"},
		{"por-medio", "solea", "7:D3 8:C3 9:Bb2 10:A2"},
		{"por-arriba", "solea", "7:A2 8:G2 9:F2 10:E2"},
	}
	for _, tt := range tests {
		t.Run(tt.key+" "+tt.form, func(t *testing.T) {
			l, err := DefaultLine(key(t, tt.key), form(t, tt.form), Standard)
			require.NoError(t, err)
			assert.Equal(t, tt.want, l.String())
			assert.True(t, l.Items[len(l.Items)-1].Landing)
		})
	}
}
