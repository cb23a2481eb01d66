package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bordon/theory"
)

func TestFingerings(t *testing.T) {
	l := English
	g := theory.Key{Tonic: theory.Name{Letter: 'G'}}
	for want, got := range map[string]string{
		"G major sounds":       l.Sounds(g),
		"as G major":           l.Shapes(g),
		"no cejilla":           l.CejillaAt(0),
		"cejilla 3":            l.CejillaAt(3),
		"104 a minute":         l.TempoIn(104, "beats"),
		"140 eighths a minute": l.TempoIn(140, "eighths"),
		"90 pasos a minute":    l.TempoIn(90, "pasos"),
		"The first 4 are shapes that alegrías is usually played in.": l.Habitual(4, 8, "alegrías"),
		"The first is a shape that soleá is usually played in.":      l.Habitual(1, 8, "soleá"),
		"All are shapes that soleá is usually played in.":            l.Habitual(8, 8, "soleá"),
		"None is a shape that soleá is usually played in.":           l.Habitual(0, 8, "soleá"),
	} {
		assert.Equal(t, want, got)
	}
}
