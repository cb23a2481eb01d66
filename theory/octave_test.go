package theory

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The rule, checked by its own words on lines at random: the last note is the
// lowest playable, no other octave of an earlier note lies nearer to the note
// after it, and of two that lie equally near the lower is taken.
func TestOctaveRule(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 2))
	f := form(t, "alegrias")
	for _, tuning := range []Tuning{Standard, {64, 59, 55, 50, 45, 38}} {
		playable := func(midi int) bool { return midi >= tuning[5] && midi <= tuning[0]+19 }
		for _, k := range keys() {
			for range 20 {
				items := make([]string, 6)
				for i := range items {
					items[i] = fmt.Sprintf("%d:%s%d", i+1, []string{"", "", "#", "b"}[random.IntN(4)], 1+random.IntN(7))
				}
				text := strings.Join(items, " ")
				l, err := ParseLine(text, k, f, tuning)
				require.NoError(t, err, "%s in %v", text, k)
				next := 0
				for i := len(l.Items) - 1; i >= 0; i-- {
					m := l.Items[i].Choices[0].Note.MIDI()
					require.True(t, playable(m), "%s in %v: %v", text, k, l)
					if i == len(l.Items)-1 {
						assert.False(t, playable(m-12), "%s in %v: %v", text, k, l)
					} else {
						if playable(m + 12) {
							assert.LessOrEqual(t, distance(m, next), distance(m+12, next), "%s in %v: %v", text, k, l)
						}
						if playable(m - 12) {
							assert.Less(t, distance(m, next), distance(m-12, next), "%s in %v: %v", text, k, l)
						}
					}
					next = m
				}
			}
		}
	}
}

func TestTunedDownSixthString(t *testing.T) {
	sixthInD := Tuning{64, 59, 55, 50, 45, 38}
	l, err := ParseLine("7:3 8:2 9:7 10:1", key(t, "D"), form(t, "alegrias"), sixthInD)
	require.NoError(t, err)
	assert.Equal(t, "7:F#3 8:E3 9:C#3 10:D2", l.String())
	l, err = ParseLine("7:3 8:2 9:7 10:1", key(t, "E"), form(t, "alegrias"), sixthInD)
	require.NoError(t, err)
	assert.Equal(t, "7:G#2 8:F#2 9:D#2 10:E2", l.String())
}
