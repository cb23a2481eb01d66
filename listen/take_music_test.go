package listen

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures/schema"
	"bordon/theory"
)

// What a take says of its music is read again to the same: another tuning, and
// a form of the player's own, even a section of it, whose file may be gone.
func TestTakeKeepsItsMusic(t *testing.T) {
	key, err := theory.ParseKey("G")
	require.NoError(t, err)
	own, err := theory.ParseForm("form rumba\nbeats 4\nchords 1:5+7 3:1\nline 1:3 2:7 3:1\nsection lenta\nlengths 2 2 3 3\nunit eighths")
	require.NoError(t, err)
	lenta, err := own.Section("lenta")
	require.NoError(t, err)
	seguiriyas, err := theory.LookupForm("seguiriyas")
	require.NoError(t, err)
	silencio, err := theory.LookupForm("alegrias/silencio")
	require.NoError(t, err)
	for _, form := range []theory.Form{own, lenta, seguiriyas, silencio} {
		for _, tuning := range []theory.Tuning{theory.Standard, theory.SixthInD, {62, 57, 54, 50, 45, 38}} {
			set := scenario(t)
			set.Key, set.Form, set.LineText = key, form, ""
			set.Line, err = theory.DefaultLine(key, form, tuning)
			require.NoError(t, err)
			s, err := newSession(set, testRate, &fakeEar{})
			require.NoError(t, err)
			s.Close()
			text, err := json.Marshal(s.Take(time.Unix(0, 0), Devices{}, "take.wav"))
			require.NoError(t, err)
			require.NoError(t, schema.Validate(schema.Take, text))
			var back Take
			require.NoError(t, json.Unmarshal(text, &back))
			k, f, line, err := back.Settings.Music()
			require.NoError(t, err)
			assert.Equal(t, key, k)
			assert.Equal(t, form.Name, f.Name)
			assert.Equal(t, form.Lengths, f.Lengths)
			assert.Equal(t, form.Changes, f.Changes)
			assert.Equal(t, tuning, line.Tuning)
			assert.Equal(t, set.Line.String(), line.String())
			_, builtIn := theory.LookupForm(form.Name)
			assert.Equal(t, builtIn != nil, back.Settings.FormText != "")
			assert.Equal(t, tuning != theory.Standard, back.Settings.Strings != "")
		}
	}
	for _, bad := range []TakeSettings{{Key: "H"}, {Key: "G", Form: "waltz"}, {Key: "G", Form: "x", FormText: "form"},
		{Key: "G", Form: "solea", Strings: "E2"}, {Key: "G", Form: "solea", Line: "13:1"}} {
		_, _, _, err := bad.Music()
		assert.Error(t, err)
	}
}
