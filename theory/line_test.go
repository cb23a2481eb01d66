package theory

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
		{"Em", "alegrias", "7:G3 8:F#3 9:D#3 10:E3"},
		{"por-medio", "solea", "7:D3 8:C3 9:Bb2 10:A2"},
		{"por-arriba", "solea", "7:A2 8:G2 9:F2 10:E2"},
	}
	for _, tt := range tests {
		l, err := DefaultLine(key(t, tt.key), form(t, tt.form), Standard)
		require.NoError(t, err, tt.key)
		assert.Equal(t, tt.want, l.String(), "%s in %s", tt.form, tt.key)
	}
	_, err := DefaultLine(key(t, "G"), Form{Name: "free", Beats: 4}, Standard)
	assert.ErrorContains(t, err, `form "free" has no usual line`)
	_, err = DefaultLine(key(t, "G"), Form{Name: "free", Title: "free", Beats: 4, Walk: "5:1"}, Standard)
	assert.ErrorContains(t, err, `usual line of free: line item 1, "5:1": there is no beat 5; the beats of free are 1 to 4`)
}

// In every key the default line has the same degrees on the same beats, walks
// without a leap and lands.
func TestDefaultLinesMoveTogether(t *testing.T) {
	want := map[Mode][]string{Major: {"3", "2", "7", "1"}, Minor: {"3", "2", "#7", "1"}, Phrygian: {"4", "3", "2", "1"}}
	for _, f := range allForms(t) {
		for _, k := range keys() {
			l, err := DefaultLine(k, f, Standard)
			require.NoError(t, err, "%s in %v", f.Name, k)
			require.Len(t, l.Items, 4)
			assert.Equal(t, 1, l.Turns)
			for i, item := range l.Items {
				note := item.Choices[0].Note
				assert.Equal(t, want[k.Mode][i], k.Degree(note.MIDI()), "%v in %v", l, k)
				assert.Equal(t, k.Spell(note.MIDI()), note)
				if i == 3 {
					assert.Equal(t, Position{Turn: 1, Beat: f.LandsOn, Den: 1}, item.Position)
					assert.Equal(t, k.TonicChord(), item.Chord, "%s lands on its tonic", f.Name)
				}
				if i == 2 {
					assert.Equal(t, k.DominantChord(), item.Chord, "%s comes from its tense chord", f.Name)
				}
				assert.Equal(t, i == 3, item.Landing)
				if i > 0 {
					before := l.Items[i-1].Choices[0].Note.MIDI()
					// From the second degree to the seventh is the widest step: a minor third.
					assert.LessOrEqual(t, distance(before, note.MIDI()), 3, "%v in %v", l, k)
				}
			}
		}
	}
}

func TestAccepts(t *testing.T) {
	l := line(t, "7:B2 8:4|6 9:scale 10:chord 11:chord|C#3", "G")
	accepted := func(i int, name string) bool {
		n, err := ParseNote(name)
		require.NoError(t, err)
		return l.Accepts(l.Items[i], n.MIDI())
	}
	tests := []struct {
		item int
		note string
		want bool
	}{
		{0, "B2", true}, {0, "B3", false}, {0, "Bb2", false},
		{1, "C3", true}, {1, "E3", true}, {1, "D3", false},
		{2, "F#2", true}, {2, "F#4", true}, {2, "F2", false},
		{3, "G2", true}, {3, "D3", true}, {3, "A2", false}, // G from beat 10
		{4, "C#3", true}, {4, "B2", true}, {4, "C3", false},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, accepted(tt.item, tt.note), "item %d, %s", tt.item, tt.note)
	}
}

// Notes are judged one by one while somebody plays.
func TestJudgingANoteDoesNotAllocate(t *testing.T) {
	l := line(t, "7:3 8:scale|chord 9:chord 10:1", "G")
	hits := 0
	allocs := testing.AllocsPerRun(100, func() {
		for _, item := range l.Items {
			for midi := 40; midi < 60; midi++ {
				_, onNeck := l.Tuning.Place(midi)
				if l.Accepts(item, midi) && l.Key.Contains(midi) && item.Chord.Contains(midi) && onNeck {
					hits += len(l.Key.Degree(midi)) + l.Key.Spell(midi).Octave
				}
			}
		}
	})
	assert.Zero(t, allocs)
	assert.NotZero(t, hits)
}

func TestPosition(t *testing.T) {
	tests := []struct {
		p      Position
		text   string
		offset float64
	}{
		{Position{Turn: 1, Beat: 7, Den: 1}, "7", 6},
		{Position{Turn: 1, Beat: 9, Num: 1, Den: 2}, "9+1/2", 8.5},
		{Position{Turn: 2, Beat: 7, Den: 1}, "2/7", 18},
		{Position{Turn: 3, Beat: 1, Num: 2, Den: 3}, "3/1+2/3", 24 + 2.0/3},
	}
	for i, tt := range tests {
		assert.Equal(t, tt.text, tt.p.String())
		assert.Equal(t, tt.offset, tt.p.Offset(12))
		for j, other := range tests {
			assert.Equal(t, i < j, tt.p.Compare(other.p) < 0)
			assert.Equal(t, i > j, tt.p.Compare(other.p) > 0)
		}
	}
	third := Position{Turn: 1, Beat: 1, Num: 1, Den: 3}
	assert.Zero(t, third.Compare(Position{Turn: 1, Beat: 1, Num: 2, Den: 6}))
	assert.Equal(t, 8.0, Position{Turn: 1, Beat: 9}.Offset(12), "a position without a fraction, made by hand")
}
