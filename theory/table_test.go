package theory

import (
	"bufio"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// table reads the rows of a table in testdata; its first line says which
// program of others' made it, and with which command.
func table(t *testing.T, name string) [][]string {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer file.Close()
	var rows [][]string
	for lines := bufio.NewScanner(file); lines.Scan(); {
		if !strings.HasPrefix(lines.Text(), "# ") {
			rows = append(rows, strings.Split(lines.Text(), "\t"))
		}
	}
	return rows
}

func names(t *testing.T, cells []string) []Name {
	t.Helper()
	list := make([]Name, len(cells))
	for i, s := range cells {
		n, err := ParseName(s)
		require.NoError(t, err)
		list[i] = n
	}
	return list
}

// TestKeysAgainstTonal compares signature, membership, degrees and chords of
// every key, and the shapes of every chord, with the @tonaljs packages (npm).
func TestKeysAgainstTonal(t *testing.T) {
	agree, ours := map[string]int{}, map[string]int{}
	for _, cells := range table(t, "keys.tsv") {
		kind, values := cells[0], cells[2:]
		same := false
		switch kind {
		case "signature":
			same = assert.Equal(t, values[0], signed(key(t, cells[1]).Signature()), cells[1])
		case "within":
			k, in := key(t, cells[1]), map[int]bool{}
			for _, n := range names(t, values) {
				in[n.PitchClass()] = true
				assert.Equal(t, n, k.Spell(n.PitchClass()).Name, "%s in %v", n, k)
			}
			same = true
			for midi := range 12 {
				same = assert.Equal(t, in[midi], k.Contains(midi), "%d in %v", midi, k) && same
			}
		case "degree":
			k, n := key(t, cells[1]), names(t, values[1:])[0]
			require.Equal(t, values[0], k.Degree(n.PitchClass()), "%s in %v", n, k)
			if (n.Alter < -1 || n.Alter > 1) && !k.Contains(n.PitchClass()) {
				ours[kind]++ // a foreign note is spelled without double accidentals
				continue
			}
			same = assert.Equal(t, n, k.Spell(n.PitchClass()).Name, "%s in %v", values[0], k)
		case "triad", "seventh":
			k := key(t, cells[1])
			number := int(values[0][0] - '0')
			raised := strings.HasSuffix(values[0], "#")
			if played := k.Mode == Minor && number == 5 || k.Mode == Phrygian && number == 1; played != raised {
				ours[kind]++ // the chord as it is played, with the leading note or the major third, has a row of its own
				continue
			}
			same = assert.Equal(t, strings.Join(values[1:], " "), join(k.Chord(number, kind == "seventh").Tones), "%s of %v", values[0], k)
		case "chord":
			same = true
			c := Chord{names(t, values)}
			assert.Equal(t, cells[1], c.String())
			for _, tuning := range []Tuning{Standard, SixthInD} {
				s, ok := ShapeOf(c, tuning)
				require.True(t, ok, cells[1])
				same = sounds(t, s, values) && same
			}
		default:
			t.Errorf("row of an unknown kind: %s", kind)
		}
		if same {
			agree[kind]++
		}
	}
	t.Logf("agree: %v; ours by intent: %v", agree, ours)
	// Whole tables: fifteen keys of three modes, twelve degrees, seven chords
	// and the played one; what differs by intent is counted too.
	assert.Equal(t, map[string]int{"signature": 45, "within": 45, "degree": 514, "triad": 315, "seventh": 315, "chord": 57}, agree)
	assert.Equal(t, map[string]int{"degree": 26, "triad": 30, "seventh": 30}, ours)
}

func signed(n int) string { return numbers([]int{n}) }

// sounds checks a shape note by note against the tones of its chord: nothing
// else sounds, the root is the lowest, and all are there but the fifth of a
// seventh chord.
func sounds(t *testing.T, s Shape, tones []string) bool {
	t.Helper()
	of, there := map[int]string{}, map[string]bool{}
	for i, n := range names(t, tones) {
		of[n.PitchClass()] = tones[i]
	}
	for i, midi := range s.Notes() {
		name := of[midi%12]
		if !assert.NotEmpty(t, name, "%v of %v sounds %d", s, s.Chord, midi) || i == 0 && !assert.Equal(t, tones[0], name, "bass of %v", s) {
			return false
		}
		there[name] = true
	}
	for i, tone := range tones {
		if !there[tone] && !(i == 2 && len(tones) == 4) {
			return assert.True(t, false, "%v of %v lacks %s", s, s.Chord, tone)
		}
	}
	return true
}

// TestTranspositionsAgainstLilyPond moves the scale of every key, by degree, to
// every other key of its mode, and compares with what LilyPond's \transpose
// made of it.
func TestTranspositionsAgainstLilyPond(t *testing.T) {
	degrees := map[Mode][]string{
		Major:    strings.Fields("1 2 3 4 5 6 7"),
		Minor:    strings.Fields("1 2 3 4 5 6 #6 7 #7"),
		Phrygian: strings.Fields("1 2 3 #3 4 5 6 7"),
	}
	agree := 0
	for _, cells := range table(t, "transpose.tsv") {
		from, to := key(t, cells[0]), key(t, cells[1])
		require.Equal(t, from.Mode, to.Mode)
		want := names(t, cells[2:])
		list := degrees[to.Mode]
		require.Len(t, want, len(list))
		items := make([]string, len(list))
		for i, d := range list {
			items[i] = numbers([]int{i + 1}) + ":" + d
		}
		home, err := ParseLine(strings.Join(items, " "), from, form(t, "alegrias"), Standard)
		require.NoError(t, err)
		// By the degrees that the notes have at home, not by those written.
		for i, item := range home.Items {
			items[i] = numbers([]int{i + 1}) + ":" + from.Degree(item.Choices[0].Note.MIDI())
		}
		moved, err := ParseLine(strings.Join(items, " "), to, form(t, "alegrias"), Standard)
		require.NoError(t, err)
		got := make([]Name, len(moved.Items))
		for i, item := range moved.Items {
			got[i] = item.Choices[0].Note.Name
		}
		if assert.Equal(t, want, got, "%v to %v", from, to) {
			agree++
		}
	}
	t.Logf("agree: %d", agree)
	assert.Equal(t, 675, agree, "fifteen keys into fifteen, in three modes")
}
