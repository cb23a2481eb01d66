package class

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen"
	"bordon/listen/match"
)

func ptr[T any](v T) *T { return &v }

// judged is a check of a line on beats 7 and 8 with the words given, a turn
// each two; shift is how much higher what was heard lies.
func judged(shift int, words ...match.Word) listen.Check {
	c := listen.Check{Key: "G", Form: "alegrias", Line: "7:3 8:2", Tempo: 104, FirstBeat: 1.84}
	for i, w := range words {
		b := listen.Beat{Turn: i/2 + 1, Beat: []string{"7", "8"}[i%2], Pitch: w, Expected: listen.Expected{MIDI: 47}}
		if w != match.Missing {
			b.Heard = &listen.Note{MIDI: 47 + shift}
		}
		c.Beats = append(c.Beats, b)
		c.Score.Judged++
		if w == match.Right {
			c.Score.Right++
		}
	}
	return c
}

func TestJudge(t *testing.T) {
	g := FromName("lucia-G-104.wav")
	r := NewRow(&g)
	late := match.Late
	c := judged(0, match.Right, match.Missing, match.Right, match.OutOfScale, match.Right, match.Missing, match.Right, match.Right)
	c.Beats[4].Timing = &late
	r.Judge(c, true)
	require.True(t, r.Judged())
	assert.Equal(t, []Beat{{"8", 3, 4, "missing"}, {"7", 1, 4, "late"}}, r.Worst)
	assert.Equal(t, 0, r.Shift)
	assert.Equal(t, ptr(0), r.Cejilla)

	r = NewRow(&g)
	r.Judge(judged(0, match.Right, match.Right), true)
	assert.Empty(t, r.Worst)
}

// Where nobody says where the cejilla was and all sounds three semitones
// higher, that is asked and nobody is accused; where somebody does, it is told.
func TestJudgeAsksForTheCejilla(t *testing.T) {
	g := FromName("lucia-G-104.wav")
	wrong := []match.Word{match.OutOfScale, match.InScale, match.OutOfScale, match.InScale, match.OutOfScale, match.InScale, match.Missing, match.Unsure}
	tests := []struct {
		shift int
		want  int
		asks  bool
	}{{3, 3, true}, {15, 3, true}, {1, 1, true}, {7, 7, true}, {8, 8, false}, {-2, 10, false}, {12, 0, false}, {0, 0, false}}
	for _, tt := range tests {
		r := NewRow(&g)
		r.Judge(judged(tt.shift, wrong...), false)
		assert.Equal(t, tt.want, r.Shift, "%d", tt.shift)
		assert.Equal(t, !tt.asks, r.Judged())
		if tt.asks {
			assert.Equal(t, []Ask{{"cejilla", []string{}}}, r.Asks)
		}
		r = NewRow(&g)
		r.Judge(judged(tt.shift, wrong...), true)
		assert.True(t, r.Judged())
		assert.Equal(t, tt.want, r.Shift)
	}
	r := NewRow(&g)
	r.Judge(judged(3, wrong[:5]...), false)
	assert.True(t, r.Judged(), "five notes are too few to tell")
}

// Another line of the same key may lie the same distance off on most beats; a
// cejilla lifts every one. The notes are those of four turns of 3 2 7 1 in G.
func TestAnotherLineIsNoCejilla(t *testing.T) {
	played := []int{47, 45, 42, 43}
	tests := []struct {
		name  string
		asked [4]int
		wrong map[int]int // what was played instead, by the note's place
		asks  bool
	}{
		{"the same line", played4(0), nil, false},
		{"cejilla 3", played4(-3), nil, true},
		{"cejilla 3 and three mistakes on different beats", played4(-3), map[int]int{1: 46, 6: 43, 11: 45}, true},
		{"a third above on three beats of four", [4]int{44, 42, 39, 43}, nil, false},
		{"5 4 2 3, nine semitones below", [4]int{50, 48, 45, 46}, nil, false},
		{"1 7 5 6, of which no two lie alike", [4]int{43, 42, 38, 40}, nil, false},
	}
	for _, tt := range tests {
		var c listen.Check
		for i := range 16 {
			midi := played[i%4]
			if w, ok := tt.wrong[i]; ok {
				midi = w
			}
			c.Beats = append(c.Beats, listen.Beat{Turn: i/4 + 1, Beat: []string{"7", "8", "9", "10"}[i%4], Pitch: match.OutOfScale,
				Expected: listen.Expected{MIDI: tt.asked[i%4]}, Heard: &listen.Note{MIDI: midi}})
		}
		g := FromName("lucia-G-104.wav")
		r := NewRow(&g)
		r.Judge(c, false)
		assert.Equal(t, !tt.asks, r.Judged(), tt.name)
	}
}

// played4 is 3 2 7 1 in G some semitones away.
func played4(off int) [4]int { return [4]int{47 + off, 45 + off, 42 + off, 43 + off} }

func rowOf(file string, mean float64) Row {
	g := FromName(file)
	r := NewRow(&g)
	c := judged(0, match.Right, match.Missing)
	c.Score.OffsetMean = &mean
	r.Judge(c, true)
	return r
}

func written(t *testing.T, s Sheet) string {
	t.Helper()
	b, err := json.Marshal(s)
	require.NoError(t, err)
	return string(b)
}

// What was written in parts reads as what was written at once.
func TestRead(t *testing.T) {
	rows := []Row{rowOf("b-G-104.wav", 12.5), rowOf("a-G-104.wav", -3), rowOf("c-G.wav", 0)}
	whole := NewSheet(rows)
	assert.Equal(t, "a-G-104.wav", whole.Rows[0].File)
	parts := written(t, NewSheet(rows[2:])) + "\n" + written(t, NewSheet(rows[:2])) + written(t, NewSheet(rows[1:2]))
	got, err := Read(strings.NewReader(parts))
	require.NoError(t, err)
	assert.Equal(t, written(t, whole), written(t, got))

	for _, tt := range []struct{ name, text, says string }{
		{"nothing", "", "no class in it"},
		{"other JSON", `{"schema": "bordon-check/1"}`, "bordon-check/1"},
		{"no JSON", "student,file\n", "not what --summary"},
		{"cut off", written(t, whole)[:200], "not what --summary"},
		{"two that differ", written(t, whole) + strings.ReplaceAll(written(t, whole), "12.5", "13"), `"b-G-104.wav" do not agree`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Read(strings.NewReader(tt.text))
			require.Error(t, err)
			assert.Contains(t, err.Error(), tt.says)
		})
	}
}

func FuzzRead(f *testing.F) {
	f.Add(`{"schema":"bordon-class/1","rows":[{"file":"a.wav","score":{"judged":1}}]}`)
	f.Add(`{"schema":"bordon-class/1","rows":[{"file":"a.wav","asks":[{"what":"key","says":["G","F"]}]}]}{"schema":"bordon-class/1"}`)
	f.Fuzz(func(t *testing.T, text string) {
		s, err := Read(strings.NewReader(text))
		if err != nil {
			return
		}
		again, err := Read(strings.NewReader(written(t, s)))
		require.NoError(t, err)
		assert.Equal(t, written(t, s), written(t, again))
	})
}

var hostile = []string{"=HYPERLINK(\"x\")", "+1", "-2+3", "@SUM(A1)", "\t=1", "\uff1d1", "<script>", "a\"b", "a,b", "a;b", "a\nb", "a\u202eb", strings.Repeat("x", 10000)}

// The reader of CSV that Python has reads what was written, and no cell of a
// text begins as a formula does.
func TestCSVInPython(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("python3 is not installed")
	}
	var rows []Row
	for _, h := range hostile {
		r := rowOf("lucia.wav", -12.5)
		r.Student, r.File, r.Key = h, h+".wav", h
		rows = append(rows, r)
	}
	failed := NewRow(&Given{})
	failed.File, failed.Error = "broken.wav", "=it is no sound"
	s := NewSheet(append(rows, failed))
	var out bytes.Buffer
	require.NoError(t, WriteCSV(&out, s, func(r Row) []string { return []string{r.Error, "and more."} }))
	cmd := exec.Command(python, "-c", `import csv, io, json, sys
text = io.TextIOWrapper(sys.stdin.buffer, "utf-8", newline="")
print(json.dumps(list(csv.DictReader(text, strict=True))))`)
	cmd.Stdin = &out
	b, err := cmd.Output()
	require.NoError(t, err)
	var got []map[string]string
	require.NoError(t, json.Unmarshal(b, &got))
	require.Len(t, got, len(s.Rows))
	for i, cells := range got {
		require.Len(t, cells, len(heads), "as many cells as heads")
		r := s.Rows[i]
		assert.Equal(t, plain(r.File), strings.TrimPrefix(cells["file"], "'"))
		assert.Equal(t, Shown(r.Student), strings.TrimPrefix(cells["student"], "'"))
		if r.Judged() {
			assert.Equal(t, "-12.5", cells["offset_mean_ms"], "a number stays one")
			assert.Equal(t, "2", cells["judged"])
		}
		for head, cell := range cells {
			if head != "offset_mean_ms" && cell != "" {
				assert.NotContains(t, "=+-@\t\r\n\uff1d", string([]rune(cell)[:1]), "%s: %q", head, cell)
			}
		}
	}
	assert.Equal(t, "'=it is no sound and more.", got[0]["notes"])
}
