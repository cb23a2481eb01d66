package keys

import (
	"strings"
	"testing"

	"bordon/theory"
	"bordon/ui/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// In Spanish, too, a key opens on 80 by 24, and on any width nothing of it is
// cut off.
func TestSpanishOpening(t *testing.T) {
	spanish, err := words.In("es")
	require.NoError(t, err)
	for _, name := range []string{"C", "G", "D", "A", "E", "B", "F#", "F", "Bb", "Eb", "Ab", "Db", "Gb", "Am", "G#m", "Ebm", "por-arriba", "por-medio"} {
		o := opening(t, name, "D")
		o.Words = spanish
		wide := strings.Fields(Text(o.Draw(100)))
		for _, width := range []int{100, 80, 60, 40} {
			lines := o.Draw(width)
			seen := map[string]int{}
			for _, l := range lines {
				assert.LessOrEqual(t, cells(l.String()), width, "%s at %d: %s", name, width, l)
				for _, w := range strings.Fields(l.String()) {
					seen[w]++
				}
			}
			for _, w := range wide {
				assert.Positive(t, seen[w], "%s at %d: %q is gone", name, width, w)
			}
			if width == 80 {
				assert.LessOrEqual(t, len(lines), 24, name)
			}
		}
	}
	text := Text(func() Opening { o := opening(t, "F", "D"); o.Words = spanish; return o }().Draw(80))
	for _, said := range []string{"Fa mayor   alegrías   tu tono Re mayor", "notas       Fa  Sol  La  Sib  Do  Re  Mi", "Do7", "aire 1   2   3   4",
		"mejor paseo 7", "(5) aire", "Notas nuevas: Fa, Si bemol y Do. Ya no: Fa sostenido, Si y Do sostenido."} {
		assert.Contains(t, text, said)
	}
	medio, err := theory.ParseKey("por-medio")
	require.NoError(t, err)
	assert.Equal(t, "La frigio (por medio)", spanish.Key(medio))
}
