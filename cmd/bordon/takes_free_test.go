package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures/schema"
	"bordon/listen"
	"bordon/listen/take"
)

// A recording of which no tempo is told becomes a take as check judges it, and
// is judged the same again; what was told of it is kept.
func TestImportFindsTheCompas(t *testing.T) {
	s := newShelf(t)
	played, flags, memo := freeFile(t, "breaths", 1)
	var checked listen.Check
	require.NoError(t, json.Unmarshal([]byte(s.good(append(append([]string{"check", "--format", "json"}, flags...), memo)...)), &checked))
	require.NotEmpty(t, checked.Beats)
	imported := append(append([]string{"takes", "import"}, flags...), memo)
	for _, more := range [][]string{nil, {"--tempo", ftoa(played.Tempo)}} {
		status, out, errOut := s.run(append(imported, more...)...)
		require.Equal(t, done, status, errOut)
		assert.Contains(t, errOut, "The compás was found in the sound")
		described, err := os.ReadFile(filepath.Join(strings.TrimSpace(out), take.JSONName))
		require.NoError(t, err)
		require.NoError(t, schema.Validate(schema.Take, described))
		var got listen.Take
		require.NoError(t, json.Unmarshal(described, &got))
		assert.True(t, got.Settings.Follow)
		assert.Equal(t, len(more) > 0, got.Settings.Given != nil)
		require.NotNil(t, got.Check.Grid)
		assert.Equal(t, checked.Score, got.Check.Score)
		assert.Contains(t, s.good("takes", "check", filepath.Base(strings.TrimSpace(out))), "the same verdicts")
	}
	// Wherever the take is shown it says against what early and late are told.
	const pulse = "Early and late are told against your own pulse."
	assert.Contains(t, strings.Join(strings.Fields(s.good("takes", "show", "last")), " "), pulse)
	report, err := os.ReadFile(strings.TrimSpace(s.good("takes", "report", "last")))
	require.NoError(t, err)
	assert.Contains(t, string(report), pulse)
	// The key is named from the sound, too, if that is asked for.
	status, out, errOut := s.run("takes", "import", "--key", "auto", "--form", played.Form, memo)
	require.Equal(t, done, status, errOut)
	assert.Contains(t, errOut, "sounds in ")
	assert.Contains(t, filepath.Base(out), "-"+played.Key)
}

// What holds no compás becomes no take.
func TestImportOfNoCompas(t *testing.T) {
	s := newShelf(t)
	_, flags, file := freeFile(t, "noodling only", 3)
	status, out, errOut := s.run(append(append([]string{"takes", "import"}, flags...), file)...)
	assert.Equal(t, failed, status)
	assert.Empty(t, out)
	assert.Contains(t, errOut, "no compás was found")
	assert.NotContains(t, s.good("takes", "list", "--format", "json"), "key")
}

// A take that may be counted in two ways says so wherever it is shown.
func TestImportOfTwoWays(t *testing.T) {
	s := newShelf(t)
	flags, memo := twoWaysFile(t)
	status, out, errOut := s.run(append(append([]string{"takes", "import"}, flags...), memo)...)
	require.Equal(t, done, status, errOut)
	assert.Contains(t, errOut, "may be counted in two ways")
	shown := s.good("takes", "show", "last")
	report, err := os.ReadFile(strings.TrimSpace(s.good("takes", "report", "last")))
	require.NoError(t, err)
	for name, said := range map[string]string{"show": shown, "report": string(report)} {
		said = strings.Join(strings.Fields(said), " ")
		assert.Contains(t, said, "may be counted in two ways", name)
		assert.Contains(t, said, "Judged alike in both: ", name)
		assert.Contains(t, said, "is not in A Phrygian", name)
		assert.NotContains(t, said, "Nothing was judged", name)
		assert.NotContains(t, said, "turn 1", name)
	}
	assert.Contains(t, s.good("takes", "check", "last"), "the same verdicts")
	assert.NotEmpty(t, out)
	s.good("takes", "list")
	s.good("takes", "progress")
}
