package theory

import (
	"bufio"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestAgainstTonal compares every key with the @tonaljs packages (npm); the
// table's first line gives their versions and the command that made it.
func TestAgainstTonal(t *testing.T) {
	file, err := os.Open("testdata/scales.tsv")
	require.NoError(t, err)
	defer file.Close()
	rows := map[string]int{}
	for lines := bufio.NewScanner(file); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "# ") {
			continue
		}
		cells := strings.Split(lines.Text(), "\t")
		kind, name, values := cells[0], cells[1], strings.Join(cells[2:], " ")
		rows[kind]++
		if kind == "note" {
			checkNote(t, name, cells[2], cells[3])
			continue
		}
		k := key(t, name)
		assert.Equal(t, name, k.String())
		scale := k.Scale()
		switch kind {
		case "scale":
			assert.Equal(t, values, join(scale[:]), name)
		case "raised":
			for _, s := range cells[2:] {
				n, err := ParseName(s)
				require.NoError(t, err)
				assert.True(t, k.Contains(n.PitchClass()), "%s in %s", s, name)
				assert.Equal(t, n, k.Spell(n.PitchClass()).Name, name)
			}
		case "tonic":
			assert.Equal(t, values, join(k.Chord(1, false).Tones), name)
		case "dominant":
			assert.Equal(t, values, join(k.Chord(5, true).Tones), name)
			assert.Equal(t, values, join(form(t, "alegrias").ChordAt(k, 3).Tones), name)
		case "second":
			assert.Equal(t, values, join(k.Chord(2, false).Tones), name)
			assert.Equal(t, values, join(form(t, "solea").ChordAt(k, 3).Tones), name)
		case "foreign":
			for _, s := range cells[2:] {
				n, err := ParseName(s)
				require.NoError(t, err)
				assert.False(t, k.Contains(n.PitchClass()), "%s in %s", s, name)
				if n.Alter >= -1 && n.Alter <= 1 { // ours avoids double accidentals here
					assert.Equal(t, n, k.Spell(n.PitchClass()).Name, name)
				}
			}
		default:
			t.Errorf("row of an unknown kind: %s", kind)
		}
	}
	// Fifteen keys of three modes; a table cut short must not pass.
	assert.Equal(t, 45, rows["scale"])
	assert.Equal(t, 45, rows["tonic"])
	assert.Equal(t, 30, rows["dominant"])
	assert.Equal(t, 15, rows["second"])
	assert.Equal(t, 30, rows["raised"])
	assert.Equal(t, 15, rows["foreign"])
	assert.Greater(t, rows["note"], 150)
}

func checkNote(t *testing.T, name, midiText, hzText string) {
	n, err := ParseNote(name)
	require.NoError(t, err)
	midi, err := strconv.Atoi(midiText)
	require.NoError(t, err)
	hz, err := strconv.ParseFloat(hzText, 64)
	require.NoError(t, err)
	assert.Equal(t, midi, n.MIDI(), name)
	// Both compute in float64; only the last digits may differ.
	assert.InEpsilon(t, hz, Frequency(float64(n.MIDI()), 440), 1e-12, name)
}

func join(names []Name) string {
	var s []string
	for _, n := range names {
		s = append(s, n.String())
	}
	return strings.Join(s, " ")
}
