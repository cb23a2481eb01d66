package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"
	"bordon/theory"
)

// checkedTake is what check says of a take, with flags beside the take's own.
func checkedTake(t *testing.T, spec fixtures.Spec, flags ...string) (fixtures.Take, listen.Check, string) {
	t.Helper()
	spec.Guitar = pluck.Classic()
	take, err := fixtures.Generate(spec)
	require.NoError(t, err)
	file := filepath.Join(inFolder(t, map[string][]byte{"take.wav": rendered(t, take)}), "take.wav")
	args := append(append([]string{"check"}, flagsOf(take)...), flags...)
	text := bordon(t, append(args, file)...)
	require.Equal(t, done, text.status, text.errOut)
	r := bordon(t, append(args, "--format", "json", file)...)
	require.Equal(t, done, r.status, r.errOut)
	var c listen.Check
	require.NoError(t, json.Unmarshal([]byte(r.out), &c))
	return take, c, text.out
}

// The five unequal counts of seguiriyas, from the recording to the page: the
// verdicts stand where the counts fall and are those that were played.
func TestCheckSeguiriyas(t *testing.T) {
	take, c, text := checkedTake(t, fixtures.Spec{
		Name: "seguiriyas", Key: "por-medio", Form: "seguiriyas", Tempo: 132, FirstBeat: 1.5, Turns: 4,
		Texture: fixtures.Rolled, Hand: fixtures.Steady, Seed: 7,
		Mistakes: []fixtures.Planted{
			{Turn: 2, Beat: "2", What: fixtures.OutOfScale, Note: "B2"},
			{Turn: 3, Beat: "3", What: fixtures.Late, Offset: 0.12},
		},
	})
	assert.Equal(t, "seguiriyas", c.Form)
	require.Len(t, c.Beats, 16, "four notes in four turns")
	const eighth = 60.0 / 132
	after := map[string]float64{"1": 0, "2": 2, "3": 4, "4": 7}
	for i, b := range c.Beats {
		n := take.Truth[i]
		// Times are written to a tenth of a millisecond.
		assert.InDelta(t, 1.5+(12*float64(b.Turn-1)+after[b.Beat])*eighth, b.Time, 1e-4, "turn %d, count %s", b.Turn, b.Beat)
		assert.Equal(t, wordOf(n), b.Pitch, "turn %d, count %s", b.Turn, b.Beat)
		if b.Timing != nil && b.Pitch == match.Right {
			want := match.OnTime
			if n.Mistake == fixtures.Late {
				want = match.Late
			}
			assert.Equal(t, want, *b.Timing, "turn %d, count %s", b.Turn, b.Beat)
		}
	}
	assert.Regexp(t, `(?m)^ +1 +2 +3 +4$`, text, "a column for each count of the line")
	assert.Regexp(t, `(?m)^  turn 2 +D3 +B2`, text)
	assert.Contains(t, text, "seguiriyas 2+2+3+3+2   132 eighths a minute")
}

// A section in the parallel minor is judged there; the key is the whole's.
func TestCheckSilencio(t *testing.T) {
	_, c, _ := checkedTake(t, fixtures.Spec{
		Name: "silencio", Key: "Gm", Form: "alegrias/silencio", Tempo: 80, FirstBeat: 1, Turns: 2, Hand: fixtures.Steady, Seed: 3,
	}, "--key", "G")
	assert.Equal(t, "Gm", c.Key)
	assert.Equal(t, "alegrias/silencio", c.Form)
	require.Len(t, c.Beats, 8)
	for _, b := range c.Beats {
		assert.Equal(t, match.Right, b.Pitch, "turn %d, beat %s", b.Turn, b.Beat)
	}
}

// With the sixth string in D a line may go a tone lower.
func TestCheckSixthInD(t *testing.T) {
	spec := fixtures.Spec{Name: "sixth in D", Key: "D", Tempo: 96, FirstBeat: 1, Turns: 2, Line: "7:F#2 8:E2 9:C#3 10:D2",
		DropD: true, Hand: fixtures.Steady, Seed: 5}
	take, c, _ := checkedTake(t, spec, "--tuning", "drop-d")
	require.Len(t, c.Beats, 8)
	for i, b := range c.Beats {
		assert.Equal(t, take.Truth[i].Asked, b.Expected.MIDI)
		if b.Beat != "10" {
			assert.Equal(t, match.Right, b.Pitch, "turn %d, beat %s", b.Turn, b.Beat)
			continue
		}
		// Of this guitar's open D2 the second partial is 20 dB above the
		// first and 14 above the third: its octave may be heard.
		if assert.NotNil(t, b.Heard) {
			assert.Equal(t, "D", b.Heard.Name[:1])
		}
	}
	assert.Equal(t, 38, c.Beats[3].Expected.MIDI)
	r := bordon(t, "check", "--key", "D", "--tempo", "96", "--line", "10:D2", "take.wav")
	assert.Equal(t, wrong, r.status)
	assert.Contains(t, r.errOut, "below the open sixth string")
	r = bordon(t, "check", "--key", "D", "--tempo", "96", "--tuning", "D2 A2", "take.wav")
	assert.Equal(t, wrong, r.status)
	assert.Contains(t, r.errOut, "it names 2 strings and a guitar has 6")
}

// A form of the player's own is a file in the configuration folder.
func TestOwnForm(t *testing.T) {
	home := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", home)
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	dir := filepath.Join(home, "bordon", "forms")
	require.NoError(t, os.MkdirAll(dir, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "rumba.form"), []byte("form rumba\nbeats 4\nchords 1:5+7 3:1\nline 1:3 2:7 3:1\ntempo 120\n"), 0o600))
	f := musicFlags{}
	f.defaults()
	f.key, f.form, f.tempo = "G", "rumba", 100
	set, err := f.settings()
	require.NoError(t, err)
	assert.Equal(t, "1:B2 2:F#2 3:G2", set.Line.String())
	assert.Equal(t, theory.Standard, set.Line.Tuning)
	r := bordon(t, "check", "--key", "G", "--tempo", "96", "--form", "waltz", "take.wav")
	assert.Equal(t, wrong, r.status)
	assert.Contains(t, r.errOut, "your own are rumba")
}
