package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/match"
	"bordon/ui/words"
)

// inSpanish is the scenario of inG in Spanish, with a verdict of every kind that
// has a label.
func inSpanish(t *testing.T, cejilla int) Page {
	t.Helper()
	spanish, err := words.In("es")
	require.NoError(t, err)
	k := inG(t, cejilla)
	k.w.words, k.w.page.Words = spanish, spanish
	set := k.set
	k.w = NewWriter(spanish, set, rate)
	k.right(1, "7", "8", "9", "10")
	k.right(2, "7")
	k.final(2, "8", match.OutOfScale, set.Key.Spell(46+cejilla).String(), 12, match.OnTime)
	k.final(2, "9", match.Missing, "", 0, "")
	k.final(2, "10", match.InScale, set.Key.Spell(48+cejilla).String(), 74, match.Late)
	k.final(3, "7", match.Octave, set.Key.Spell(59+cejilla).String(), -91, match.Early)
	k.right(3, "8", "9")
	k.w.Meter(TooQuiet)
	k.w.Tune(-4.2)
	k.w.Hear(k.at(3, 9.4))
	return k.w.Page()
}

// Spanish says more than English does, and at 80 by 24 nothing of it is cut.
func TestSpanishPage(t *testing.T) {
	for name, cejilla := range map[string]int{"80x24-es": 0, "80x24-es-cejilla": 3} {
		p := inSpanish(t, cejilla)
		count := func(width, height int) map[string]int {
			all := map[string]int{}
			for _, l := range Draw(p, width, height) {
				require.LessOrEqual(t, runes(l.String()), width)
				for _, w := range strings.Fields(l.String()) {
					all[w]++
				}
			}
			return all
		}
		// Below 92 columns neither tells where what was asked lies.
		assert.Equal(t, count(91, 0), count(80, 24))
		assert.Equal(t, count(91, 0), count(76, 24))
		var b strings.Builder
		for _, l := range Draw(p, 80, 24) {
			b.WriteString(l.String() + "\n")
		}
		golden(t, name, b.String())
	}
}

// In letters for the wall every label of every language fits 80 columns.
func TestLabelsFitTheWall(t *testing.T) {
	for _, tag := range words.Tags() {
		l, err := words.In(tag)
		require.NoError(t, err)
		for _, said := range []string{
			l.Label(match.Verdict{Pitch: match.Octave}), l.Label(match.Verdict{Pitch: match.InScale}), l.Label(match.Verdict{Pitch: match.OutOfScale}),
			l.Label(match.Verdict{Pitch: match.Missing}), l.Label(match.Verdict{Pitch: match.Strummed}), l.RightNote(),
			l.TimingLarge(match.Verdict{Timing: match.Late, Offset: rate / 9}, rate), l.TimingLarge(match.Verdict{Timing: match.Early, Offset: rate / 9}, rate),
		} {
			_, ok := band{text: said}.draw(80, [2]int{1, 1})
			assert.True(t, ok, "%s: %s", tag, said)
		}
	}
}
