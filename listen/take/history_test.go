package take

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bordon/listen"
	"bordon/listen/match"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// kept writes a take whose verdicts are words, a turn of the walk for four.
func kept(t testing.TB, root string, at time.Time, key string, tempo float64, pitches ...match.Word) string {
	t.Helper()
	dir, err := NewFolder(root, at, key)
	require.NoError(t, err)
	onTime, offset := match.OnTime, 4.0
	c := listen.Check{Schema: listen.CheckSchema, File: WAVName, Key: key, Form: "alegrias", Line: "7:3 8:2 9:7 10:1", Tempo: tempo,
		A4: 440, Tolerance: "learning", Beats: []listen.Beat{}, Extra: listen.Extras{}}
	for i, p := range pitches {
		b := listen.Beat{Turn: i/4 + 1, Beat: []string{"7", "8", "9", "10"}[i%4], Time: float64(i), Pitch: p,
			Expected: listen.Expected{MIDI: 45, Name: "A2", Degree: "2"}}
		if p.Sworn() {
			b.Heard = &listen.Note{MIDI: 45, Name: "A2", Time: float64(i)}
			b.Timing, b.Offset = &onTime, &offset
		}
		c.Beats = append(c.Beats, b)
	}
	d := listen.Take{Schema: listen.TakeSchema, Started: at.Format(time.RFC3339), Settings: listen.TakeSettings{Key: key, Form: c.Form,
		Line: c.Line, Tempo: tempo, A4: 440, Tolerance: "learning", Rate: 48000}, Gaps: []listen.TakeGap{}, Check: c}
	s := Stored{Take: d, Player: Player{Rulings: []Ruling{{Turn: -1}}}}
	d.Check.Score = s.Score()
	b, err := json.Marshal(d)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, JSONName), b, 0o644))
	return filepath.Base(dir)
}

// The folders are the truth, whatever the index says or if there is none.
func TestHistoryFollowsTheFolders(t *testing.T) {
	root := t.TempDir()
	none, _, err := History(filepath.Join(root, "none"))
	require.NoError(t, err)
	assert.Empty(t, none)
	a := kept(t, root, started, "G", 104, match.Right, match.OutOfScale, match.Right, match.Right)
	b := kept(t, root, started.AddDate(0, 0, 1), "D", 96, match.Right)
	require.NoError(t, os.Mkdir(filepath.Join(root, "no take"), 0o755))
	require.NoError(t, os.Symlink(root, filepath.Join(root, "link")))
	ids := func() (ids []string) {
		entries, problems, err := History(root)
		require.NoError(t, err)
		assert.Empty(t, problems)
		for _, e := range entries {
			ids = append(ids, e.ID)
		}
		return ids
	}
	assert.Equal(t, []string{a, b}, ids())
	assert.FileExists(t, filepath.Join(root, indexName))
	assert.Equal(t, []string{a, b}, ids())

	s, err := Pick(root, a)
	require.NoError(t, err)
	require.NoError(t, s.Overrule(1, "8", match.Right, "the ear mistook it", started))
	entries, _, err := History(root)
	require.NoError(t, err)
	assert.Equal(t, 4, entries[0].Score.Right, "a ruling counts")
	assert.Equal(t, Count{Beat: "8", Right: 1}, entries[0].Beats[1])

	for _, damage := range []string{"", "{", `{"schema":"bordon-index/0"}`, `{"schema":"bordon-index/1","takes":[{"id":"../x"},{"id":"` + a + `"}]}`} {
		require.NoError(t, os.WriteFile(filepath.Join(root, indexName), []byte(damage), 0o644))
		assert.Equal(t, []string{a, b}, ids(), damage)
	}
	require.NoError(t, Delete(root, a))
	assert.Equal(t, []string{b}, ids())
	require.NoError(t, os.WriteFile(filepath.Join(root, b, JSONName), []byte("{"), 0o644))
	entries, problems, err := History(root)
	require.NoError(t, err)
	assert.Empty(t, entries)
	require.Len(t, problems, 1)
	assert.ErrorContains(t, problems[0], "damaged")
}

func TestFilter(t *testing.T) {
	e := []Entry{{Key: "G", Form: "alegrias", Line: "7:3 8:2", Tempo: 104, Started: "2030-01-01T10:00:00Z"},
		{Key: "D", Form: "solea", Line: "7:F#3", Tempo: 76, Cejilla: 3, Started: "2030-02-01T10:00:00Z"}}
	day := time.Date(2030, 2, 1, 0, 0, 0, 0, time.UTC)
	for name, c := range map[string]struct {
		f    Filter
		want []Entry
	}{
		"all":     {Filter{Cejilla: -1}, e},
		"key":     {Filter{Cejilla: -1, Key: "G"}, e[:1]},
		"form":    {Filter{Cejilla: -1, Form: "solea"}, e[1:]},
		"line":    {Filter{Cejilla: -1, Line: "8:2"}, e[:1]},
		"cejilla": {Filter{Cejilla: 3}, e[1:]},
		"slowest": {Filter{Cejilla: -1, Slowest: 90}, e[:1]},
		"fastest": {Filter{Cejilla: -1, Fastest: 90}, e[1:]},
		"since":   {Filter{Cejilla: -1, Since: day}, e[1:]},
		"until":   {Filter{Cejilla: -1, Until: day}, e[:1]},
		"none":    {Filter{Cejilla: -1, Key: "F"}, nil},
	} {
		assert.Equal(t, c.want, c.f.Chosen(e), name)
	}
}

// Worked examples of the score interval without correction: R. G. Newcombe,
// Statistics in Medicine 17 (1998), table I, method 3 (from memory).
func TestWilson(t *testing.T) {
	for _, c := range []struct {
		right, n  int
		low, high float64
	}{{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}, {0, 0, 0, 1}} {
		low, high := Wilson(c.right, c.n)
		assert.InDelta(t, c.low, low, 5e-5, "as printed: %d of %d", c.right, c.n)
		assert.InDelta(t, c.high, high, 5e-5, "as printed: %d of %d", c.right, c.n)
	}
	for _, c := range [][2]int{{0, 0}, {3, 4}, {5, 5}, {33, 34}, {1, 9}} {
		more := Needed(c[0], c[1])
		require.GreaterOrEqual(t, more, 0)
		share := 0.5
		if c[1] > 0 {
			share = float64(c[0]) / float64(c[1])
		}
		low, high := wilson(share, float64(c[1]+more))
		assert.True(t, low >= Secure || high < Secure)
		if n := c[1] + more - 1; more > 0 && n > 0 {
			low, high = wilson(share, float64(n))
			assert.False(t, low >= Secure || high < Secure, "one less is too few")
		}
	}
	assert.Equal(t, 30, Needed(5, 5), "n/(n+z2) reaches 0.9 at 35 of 35")
	assert.Equal(t, -1, Needed(9, 10))
}

func TestProgress(t *testing.T) {
	r, x, m := match.Right, match.OutOfScale, match.Missing
	root := t.TempDir()
	week := 7 * 24 * time.Hour
	old := started.Add(-10 * week)
	for i := range 12 { // long ago beat 9 went wrong in G, and all was well slowly
		kept(t, root, old.Add(time.Duration(i)*time.Minute), "G", 104, r, r, x, r)
		kept(t, root, old.Add(time.Duration(i)*time.Minute), "G", 90, r, r, r, r)
	}
	for i := range 12 { // of late beat 8 goes wrong
		kept(t, root, started.Add(time.Duration(i)*time.Minute), "G", 104, r, x, r, r, r, m, r, r)
		kept(t, root, started.Add(time.Duration(i)*time.Minute), "D", 96, r, r, r, r, r, r, r, r)
	}
	kept(t, root, started, "F", 92, x, r, r, r) // once is noise
	entries, _, err := History(root)
	require.NoError(t, err)
	p := ProgressOf(entries)
	assert.Equal(t, 49, p.Takes)
	require.Len(t, p.Weakest, 1)
	w := p.Weakest[0]
	assert.Equal(t, []any{"G", "8", 0, 24}, []any{w.Key, w.Beat, w.Right, w.Of})
	assert.Equal(t, Weak, w.State)
	assert.Equal(t, "worse", w.Trend)
	require.Len(t, w.Weeks, 2)
	assert.Equal(t, "2025-03-03", w.Weeks[1].Monday, "9 March 2025 was a Sunday")
	require.Len(t, p.Plan, 1)
	assert.Equal(t, Exercise{Spot: w, Tempos: []float64{90, 97, 104}, Turns: 8, Held: true, Usual: 104}, p.Plan[0])
	spots := map[string]Spot{}
	for _, s := range p.Spots {
		spots[s.Key+s.Beat] = s
	}
	assert.Equal(t, "better", spots["G9"].Trend)
	assert.Equal(t, Open, spots["D7"].State)
	assert.Equal(t, 11, spots["D7"].Needed, "24 of 24; 35 of 35 would do")
	assert.Equal(t, 6, spots["D7"].Takes, "two notes a take")
	assert.Equal(t, Open, spots["F7"].State, "no conclusion from noise")
	assert.Positive(t, spots["F7"].Needed)
	assert.Equal(t, Progress{Schema: ProgressSchema, Spots: []Spot{}, Weakest: []Spot{}, Plan: []Exercise{}}, ProgressOf(nil))
}

func TestOverrule(t *testing.T) {
	root := t.TempDir()
	id := kept(t, root, started, "G", 104, match.Right, match.Missing, match.Right, match.Right)
	s, err := Pick(root, id)
	require.NoError(t, err)
	assert.ErrorContains(t, s.Overrule(1, "8", match.OutOfScale, "", started), "nothing was heard")
	assert.ErrorContains(t, s.Overrule(1, "11", match.Right, "", started), "it asks on 7, 8, 9, 10")
	assert.ErrorContains(t, s.Overrule(2, "8", match.Right, "", started), "its last turn is 1")
	assert.ErrorContains(t, s.Overrule(1, "8", "good", "", started), "no verdict")
	require.NoError(t, s.Overrule(1, "9", match.Missing, "", started))
	require.NoError(t, s.Overrule(1, "8", match.Strummed, "", started))
	require.NoError(t, s.Overrule(1, "8", match.Right, "I played it", started))
	s, err = Pick(root, id)
	require.NoError(t, err)
	require.Len(t, s.Player.Rulings, 2)
	assert.Equal(t, Ruling{1, "8", match.Right, match.Missing, "I played it", "2025-03-09T18:05:07Z"}, s.Player.Rulings[0])
	assert.Equal(t, match.Right, s.Beats()[1].Pitch)
	assert.Nil(t, s.Beats()[2].Heard)
	assert.Equal(t, match.Right, s.Take.Check.Beats[2].Pitch, "the ear's verdict stays")
	assert.Equal(t, []int{3, 1}, []int{s.Score().Right, s.Score().Missing})
	require.NoError(t, s.Uphold(1, "8"))
	assert.ErrorContains(t, s.Uphold(1, "8"), "was not overruled")
	require.NoError(t, s.SetNote("soleá after the break"))
	s, err = Pick(root, Last)
	require.NoError(t, err)
	assert.Equal(t, "soleá after the break", s.Player.Note)
	assert.Len(t, s.Player.Rulings, 1)
}

func TestPick(t *testing.T) {
	root := t.TempDir()
	_, err := Pick(root, "last")
	assert.ErrorContains(t, err, "no takes yet")
	a := kept(t, root, started, "G", 104, match.Right)
	b := kept(t, root, started.Add(time.Hour), "D", 96, match.Right)
	outside := t.TempDir()
	c := kept(t, outside, started, "F", 92, match.Right)
	require.NoError(t, os.Symlink(filepath.Join(outside, c), filepath.Join(root, "2025-03-10T00-00-00-F")))
	for name, want := range map[string]string{a: a, "last": b, b[:15]: b, filepath.Join(root, a): a, filepath.Join(outside, c): c} {
		s, err := Pick(root, name)
		if assert.NoError(t, err, name) {
			assert.Equal(t, want, s.ID)
		}
	}
	for name, says := range map[string]string{
		"2025-03-09T18-05-07-H": "the nearest is " + a, "2025": "2 takes begin with", "": "there is no take", "..": "there is no take",
		"../../etc": "there is no take in", filepath.Join(root, "2025-03-10T00-00-00-F"): "not the folder of a take", outside: "has no take.json",
	} {
		_, err := Pick(root, name)
		assert.ErrorContains(t, err, says, name)
	}
	for _, id := range []string{"", ".", "..", "../" + filepath.Base(outside), a + "/" + JSONName} {
		assert.Error(t, Delete(root, id), id)
	}
	assert.DirExists(t, filepath.Join(outside, c))
}

// Listing and progress over ten thousand takes, with the index there.
func BenchmarkHistory10000(b *testing.B) {
	root := b.TempDir()
	many(b, root, 10000)
	if _, _, err := History(root); err != nil { // makes the index
		b.Fatal(err)
	}
	b.Run("list", func(b *testing.B) {
		for b.Loop() {
			if entries, _, err := History(root); err != nil || len(entries) != 10000 {
				b.Fatal(len(entries), err)
			}
		}
	})
	b.Run("progress", func(b *testing.B) {
		for b.Loop() {
			entries, _, _ := History(root)
			if p := ProgressOf(entries); p.Takes != 10000 {
				b.Fatal(p.Takes)
			}
		}
	})
	b.Run("rebuild", func(b *testing.B) {
		for b.Loop() {
			os.Remove(filepath.Join(root, indexName))
			if _, _, err := History(root); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func many(b *testing.B, root string, n int) {
	keys := []string{"D", "G", "F", "A", "E"}
	for i := range n {
		w := make([]match.Word, 32)
		for j := range w {
			w[j] = match.Right
			if (i*7+j*3)%11 == 0 {
				w[j] = match.OutOfScale
			}
		}
		kept(b, root, started.Add(time.Duration(i)*time.Hour), keys[i%len(keys)], float64(76+i%4*8), w...)
	}
}
