package sheet

import (
	"bufio"
	"os"
	"strconv"
	"strings"
	"testing"

	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// majors are the keys by their signature, seven flats first.
var majors = strings.Fields("Cb Gb Db Ab Eb Bb F C G D A E B F# C#")

func keyOf(t testing.TB, name string) theory.Key {
	t.Helper()
	k, err := theory.ParseKey(name)
	require.NoError(t, err)
	return k
}

// Notes, accidentals and stems are where LilyPond puts them, in bars of every
// signature (testdata/staff.ly).
func TestStaffIsLilyPonds(t *testing.T) {
	f, err := os.Open("testdata/staff.tsv")
	require.NoError(t, err)
	defer f.Close()
	var b *bar
	last, n, printed := "", 0, map[string]int{}
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		cells := strings.Split(lines.Text(), "\t")
		require.Len(t, cells, 9)
		number := func(i int) int {
			v, err := strconv.Atoi(cells[i])
			require.NoError(t, err, lines.Text())
			return v
		}
		if cells[0] != last {
			last, b = cells[0], newBar(keyOf(t, majors[number(1)+7]))
			require.Equal(t, number(1), b.key.Signature())
		}
		note := theory.Note{Name: theory.Name{Letter: cells[2][0], Alter: number(3)}, Octave: number(4)}
		place := placeOf(note)
		assert.Equal(t, number(5), place, lines.Text())
		sign := ""
		if cells[6] != "none" {
			sign = accidentalNames[number(6)+2]
		}
		assert.Equal(t, sign, b.accidental(note), "%s: %v", lines.Text(), note)
		printed[sign]++
		assert.Equal(t, number(7) > 0, stemsUp(place), lines.Text())
		assert.Equal(t, number(8), stemEnd(place, number(7) > 0), lines.Text())
		n++
	}
	assert.Equal(t, 30*56, n)
	for _, sign := range []string{"", "accidentalFlat", "accidentalNatural", "accidentalSharp"} {
		assert.Greater(t, printed[sign], 100, sign)
	}
}

// The middle line of the treble clef is B4, and middle C is on the first ledger
// line under it; the guitar is written an octave above its sound (common
// practice, no source).
func TestPlaces(t *testing.T) {
	for name, want := range map[string]int{
		"B3": 4, "C3": -2, "E3": 0, "F4": 8, // written B4, C4, E4, F5
		"E2": -7, "A2": -4, "D3": -1, "G3": 2, "E4": 7, // the open strings
	} {
		n, err := theory.ParseNote(name)
		require.NoError(t, err)
		assert.Equal(t, want, placeOf(n), name)
	}
	assert.Equal(t, []int{-2, -4, -6}, ledgers(-7), "open sixth string")
	assert.Equal(t, []int{10}, ledgers(11))
	for _, none := range []int{-1, 0, 4, 8, 9} {
		assert.Empty(t, ledgers(none))
	}
}

// The signs of a signature stand in the treble clef as everywhere, F5 C5 G5 D5
// A4 E5 B4 and B4 E5 A4 D5 G4 C5 F4 (common practice, no source).
func TestSignatures(t *testing.T) {
	for i, want := range map[int]string{7: "", 9: "F5 C5", 14: "F5 C5 G5 D5 A4 E5 B4", 6: "B4", 0: "B4 E5 A4 D5 G4 C5 F4"} {
		sign, at := signature(keyOf(t, majors[i]))
		if i > 7 {
			assert.Equal(t, "accidentalSharp", sign)
		}
		if i < 7 {
			assert.Equal(t, "accidentalFlat", sign)
		}
		var written []int
		for _, name := range strings.Fields(want) {
			n, err := theory.ParseNote(name)
			require.NoError(t, err)
			n.Octave-- // as it sounds on a guitar
			written = append(written, placeOf(n))
		}
		assert.Equal(t, written, append([]int(nil), at...), majors[i])
	}
	_, at := signature(keyOf(t, "por-medio"))
	assert.Len(t, at, 1, "A Phrygian has one flat")
}
