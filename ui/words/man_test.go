package words

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/theory"
)

// shown is the file that a manual's text shows: it begins with a comment and is
// indented by two, empty lines aside.
func shown(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		inside := b.Len() > 0
		switch own, indented := strings.CutPrefix(line, "  "); {
		case indented && (inside || strings.HasPrefix(own, "#")):
			b.WriteString(own)
		case inside && strings.TrimSpace(line) != "":
			return b.String()
		case inside:
			b.WriteString(line)
		}
	}
	return b.String()
}

// What the manual shows of a file of lines, and of a form, is one.
func TestManualShowsFilesAsTheyAreRead(t *testing.T) {
	for _, tag := range Tags() {
		l, err := In(tag)
		require.NoError(t, err)

		written, err := theory.ParseLines(shown(l.Man().LinesText), nil)
		require.NoError(t, err, tag)
		require.Len(t, written, 1)
		k, err := theory.ParseKey("F")
		require.NoError(t, err)
		form, err := theory.LookupForm("alegrias")
		require.NoError(t, err)
		line, err := written[0].In(k, form, theory.Standard)
		require.NoError(t, err, tag)
		assert.Equal(t, "7:A2 8:G2 9:E2 10:F2", line.String(), tag)
		assert.True(t, line.Exact)

		f, err := theory.ParseForm(shown(l.Man().FormsText))
		require.NoError(t, err, tag)
		own, err := theory.ParseForm(theory.FormatForm(f))
		require.NoError(t, err)
		assert.Equal(t, f, own)
		cierre, err := f.Section("cierre")
		require.NoError(t, err)
		assert.True(t, cierre.ToMinor)
		assert.Nil(t, cierre.Accents)
		assert.Equal(t, f.Walk, cierre.Walk)
	}
}
