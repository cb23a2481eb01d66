package sheet

import (
	"fmt"
	"strings"
	"testing"

	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// written is a beat's rhythm in words: notes and rests (r) by their value.
func written(r rhythm) string {
	var all []string
	for _, e := range r.events {
		s := ""
		if e.item == rest {
			s = "r"
		}
		var tied []string
		for _, v := range e.values {
			one := fmt.Sprint(1 << v.halvings)
			if v.dotted {
				one += "."
			}
			tied = append(tied, one)
		}
		all = append(all, s+strings.Join(tied, "~"))
	}
	if r.tuplet > 0 {
		all = append(all, fmt.Sprintf("(%d)", r.tuplet))
	}
	return strings.Join(all, " ")
}

func itemsAt(t *testing.T, positions string) []theory.Item {
	t.Helper()
	form, err := theory.FreeForm(4)
	require.NoError(t, err)
	var text []string
	for _, p := range strings.Fields(positions) {
		text = append(text, p+":A2")
	}
	if len(text) == 0 {
		return nil
	}
	line, err := theory.ParseLine(strings.Join(text, " "), keyOf(t, "G"), form, theory.Standard)
	require.NoError(t, err)
	return line.Items
}

// Values by the rules of notation (common practice, no source): a triplet is
// three eighths in the time of a quarter, a quintuplet five sixteenths.
func TestRhythm(t *testing.T) {
	for _, c := range []struct {
		eighths   int
		positions string
		want      string
	}{
		{2, "", "r4"},
		{2, "1", "4"},
		{3, "1", "4."},
		{3, "", "r4."},
		{4, "1", "2"},
		{5, "1", "2~8"},
		{8, "1", "1"},
		{2, "1 1+1/2", "8 8"},
		{2, "1+1/2", "r8 8"},
		{2, "1 1+3/4", "8. 16"},
		{2, "1 1+1/4", "16 8."},
		{2, "1 1+2/4", "8 8"},
		{2, "1 1+1/4 1+1/2 1+3/4", "16 16 16 16"},
		{2, "1 1+1/3 1+2/3", "8 8 8 (3)"},
		{2, "1 1+2/3", "4 8 (3)"},
		{2, "1+1/3", "r8 4 (3)"},
		{2, "1 1+1/6", "16 4~16 (6)"},
		{2, "1 1+1/5 1+3/5", "16 8 8 (5)"},
		{3, "1 1+1/3 1+2/3", "8 8 8"},
		{3, "1 1+1/2", "8. 8."},
		{3, "1 1+1/5", "8 2 (5)"},
		{2, "1 1+5/8", "8~32 16."},
	} {
		r, err := beatRhythm(c.eighths, itemsAt(t, c.positions), 0)
		require.NoError(t, err, c.positions)
		assert.Equal(t, c.want, written(r), "%d eighths, %s", c.eighths, c.positions)
	}
}

// Whatever the fractions, the values fill the beat.
func TestRhythmFillsItsBeat(t *testing.T) {
	for eighths := 1; eighths <= 8; eighths++ {
		for den := 2; den <= 96; den++ {
			for _, num := range []int{1, den / 2, den - 1} {
				if num == 0 {
					continue
				}
				r, err := beatRhythm(eighths, itemsAt(t, fmt.Sprintf("1 1+%d/%d", num, den)), 0)
				require.NoError(t, err)
				sum := 0
				for _, e := range r.events {
					length := 0
					for _, v := range e.values {
						require.LessOrEqual(t, v.halvings, 8, "there is a sign for it")
						n := wholeNote >> v.halvings
						length += n
						if v.dotted {
							length += n / 2
						}
					}
					sum += length
				}
				if r.tuplet == 0 {
					assert.Equal(t, eighths*eighthNote, sum, "%d eighths, %d/%d", eighths, num, den)
					continue
				}
				// Too many of a value for the beat, and they are as many as the
				// number says.
				assert.Greater(t, sum, eighths*eighthNote-1)
				assert.Zero(t, sum%r.tuplet, "%d eighths, %d/%d", eighths, num, den)
			}
		}
	}
}

func TestTooFineABeatIsToldOf(t *testing.T) {
	for _, positions := range []string{"1+1/95 1+1/2", "1+1/89 1+1/7"} {
		_, err := beatRhythm(2, itemsAt(t, positions), 0)
		assert.ErrorContains(t, err, "more notes than a sheet can show")
	}
	var many []string
	for i := 1; i < 30; i++ {
		many = append(many, fmt.Sprintf("1+%d/32", i))
	}
	_, err := beatRhythm(2, itemsAt(t, strings.Join(many, " ")), 0)
	assert.ErrorContains(t, err, "beat 1+1/32 has more notes")
}
