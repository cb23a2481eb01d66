package theory

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func FuzzParseNote(f *testing.F) {
	for _, s := range []string{"Bb2", "F♯3", "C-1", "B##9", "A𝄫4", "H", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n, err := ParseNote(s)
		if err != nil {
			return
		}
		back, err := ParseNote(n.String())
		require.NoError(t, err)
		assert.Equal(t, n, back)
		assert.GreaterOrEqual(t, n.MIDI(), 0)
		assert.LessOrEqual(t, n.MIDI(), 127)
	})
}

func FuzzParseKey(f *testing.F) {
	for _, s := range []string{"Bb", "F#m", "E-phrygian", "por medio", "granaína", "G# major", "B flat minor", "dm", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		k, err := ParseKey(s)
		if err != nil {
			return
		}
		back, err := ParseKey(k.String())
		require.NoError(t, err)
		assert.Equal(t, k, back)
		require.True(t, k.valid())
		_, err = DefaultLine(k, Forms()[0], Standard)
		require.NoError(t, err)
	})
}

func FuzzParseLine(f *testing.F) {
	for _, s := range []string{"7:B2 8:A2 9:F#2 10:G2", "7:3 8:2 9:7 10:1", "8:4|6 2/7:#5'", "9+1/2:C#3", "7:scale 8:chord|b7,", "13:B2", "1/7:3 2/7:3", ""} {
		for _, k := range []string{"G", "F#m", "por-medio"} {
			f.Add(s, k)
		}
	}
	f.Fuzz(func(t *testing.T, text, keyText string) {
		k, err := ParseKey(keyText)
		if err != nil {
			return
		}
		l, err := ParseLine(text, k, Forms()[0], Standard)
		if err != nil {
			return
		}
		back, err := ParseLine(l.String(), k, Forms()[0], Standard)
		require.NoError(t, err)
		require.Equal(t, l.String(), back.String())
		require.Len(t, back.Items, len(l.Items))
		last := -1.0
		for i, item := range l.Items {
			// Only the text differs: degrees come back as notes.
			assert.Equal(t, item.Position, back.Items[i].Position)
			assert.Equal(t, item.Landing, back.Items[i].Landing)
			offset := item.Position.Offset(l.Form.Beats)
			assert.Greater(t, offset, last)
			assert.Less(t, offset, float64(l.Turns*l.Form.Beats))
			last = offset
			for j, c := range item.Choices {
				assert.Equal(t, c.Note, back.Items[i].Choices[j].Note)
				if c.Kind == ExactNote {
					assert.True(t, l.Accepts(item, c.Note.MIDI()))
					_, onNeck := l.Tuning.Place(c.Note.MIDI())
					assert.True(t, onNeck)
				}
			}
		}
	})
}
