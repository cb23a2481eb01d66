package report

import (
	"bytes"
	"regexp"
	"testing"

	"bordon/ui/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// In Spanish the report says so, and writes numbers with a decimal comma.
func TestSpanishReport(t *testing.T) {
	spanish, err := words.In("es")
	require.NoError(t, err)
	s := demoTake(t)
	var b bytes.Buffer
	require.NoError(t, Take(&b, spanish, s))
	html := b.String()
	for _, said := range []string{`<html lang="es">`, "La página", "Sib2", "pedía La2, (5) aire", "fuera de tono", "93,8 %",
		"No se ha oído ningún bajo; la línea baja a La, el segundo grado, quinta cuerda al aire.", "tú dices: bien", "Adelantado o atrasado, por tiempos"} {
		assert.Contains(t, html, said)
	}
	assert.Regexp(t, `vuelta 3, tiempo 10: &#43;\d+,\d ms`, html)
	text := regexp.MustCompile(`(?s)<(style|script|code)[^>]*>.*?</|<[^>]*>`).ReplaceAllString(html, " ")
	assert.Empty(t, regexp.MustCompile(`\b(the|and|turn|beat|asked|right|late|early|key|of)\b`).FindAllString(text, -1), "no English is left")
}
