package lines

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"bordon/fixtures/schema"
	"bordon/theory"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// files makes a folder of lines the player's own for this test.
func files(t *testing.T, texts map[string]string) {
	t.Helper()
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	require.NoError(t, os.MkdirAll(Folder(), 0o755))
	for name, text := range texts {
		require.NoError(t, os.WriteFile(filepath.Join(Folder(), name), []byte(text), 0o644))
	}
}

func in(t *testing.T, keyName string) (theory.Key, theory.Form, theory.Tuning) {
	t.Helper()
	k, err := theory.ParseKey(keyName)
	require.NoError(t, err)
	f, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	return k, f, theory.Standard
}

func TestNamed(t *testing.T) {
	files(t, map[string]string{
		"evening.lines": "line first\nkey G\nplay 7:B2 8:A2 9:F#2 10:G2\n\nline second\nplay 7:5 8:4 9:2 10:1\nexact",
		"notes.txt":     "no line at all",
	})
	for name, want := range map[string]string{
		"best":             "7:A2 8:G2 9:E2 10:F2",
		"usual":            "7:A2 8:G2 9:E2 10:F2",
		"first":            "7:A2 8:G2 9:E2 10:F2",
		"second":           "7:C3 8:Bb2 9:G2 10:F2",
		"7:scale 10:1":     "7:scale 10:F2",
		" First ":          "7:A2 8:G2 9:E2 10:F2",
		"7:3 8:2 9:7 10:1": "7:A2 8:G2 9:E2 10:F2",
	} {
		k, f, tuning := in(t, "F")
		l, err := Named(name, k, f, tuning)
		require.NoError(t, err, name)
		assert.Equal(t, want, l.String(), name)
		assert.Equal(t, name == "second", l.Exact)
	}
	k, f, tuning := in(t, "G")
	walks, err := theory.Find(k, f, tuning, 4)
	require.NoError(t, err)
	l, err := Named("best-4", k, f, tuning)
	require.NoError(t, err)
	assert.Equal(t, walks[3].Line(), l)

	_, err = Named("third", k, f, tuning)
	assert.EqualError(t, err, `line "third": there is none of this name; write a line such as 7:3 8:2 9:7 10:1, or name one of best, best-2, best-3, best-4, best-5, usual, first, second`)
	_, err = Named("", k, f, tuning)
	assert.ErrorContains(t, err, "the line is empty")
	_, err = Named(filepath.Join(Folder(), "evening.lines"), k, f, tuning)
	assert.ErrorContains(t, err, "has 2 lines")
}

func TestAWrongFileIsNamed(t *testing.T) {
	files(t, map[string]string{"good.lines": "line good\nplay 10:1", "bad.lines": "line bad\nplay 13:1"})
	k, f, tuning := in(t, "G")
	_, err := Named("good", k, f, tuning)
	assert.NoError(t, err)
	_, err = Named("bad", k, f, tuning)
	assert.ErrorContains(t, err, `bad.lines", line 2, column 6: there is no beat 13; the beats of alegrías are 1 to 12`)
	assert.Contains(t, Names(), "good")
	_, err = Named(Folder()+string(os.PathSeparator), k, f, tuning)
	assert.ErrorContains(t, err, "is no file")
}

func TestRankedIsAsPublished(t *testing.T) {
	k, f, tuning := in(t, "G")
	walks, err := theory.Find(k, f, tuning, 5)
	require.NoError(t, err)
	b, err := json.Marshal(Rank(walks, func(theory.Walk) string { return "By step." }))
	require.NoError(t, err)
	assert.NoError(t, schema.Validate(schema.Line, b))
	assert.Contains(t, string(b), `"beats":["7","8","9","10"],"notes":["B2","A2","F#2","G2"],"degrees":["3","2","7","1"],"strings":[5,5,6,6],"frets":[2,0,2,3]`)
}
