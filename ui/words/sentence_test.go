package words_test

import (
	"testing"

	"bordon/listen/practice"
	"bordon/ui/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A plan's sentence in Spanish is one, and comes back as it was.
func TestPracticeInSpanish(t *testing.T) {
	spanish, err := words.In("es")
	require.NoError(t, err)
	known := func(string) bool { return true }
	for said, english := range map[string]string{
		"alegrías en Sol, cejilla 3, a 104, palmas en los acentos":                    "alegrías in G, cejilla 3, at 104, claps on the accents",
		"alegrias en Sib luego Fa#m luego Mi-frigio, 4 vueltas, tonos flojos primero": "alegrias in Bb then F#m then E-phrygian, 4 turns, weak keys first",
		"solea en por-medio, línea 7:3 8:2 9:7 10:1, tiempos 7 a 10, 1 vuelta":        "solea in por-medio, line 7:3 8:2 9:7 10:1, beats 7 to 10, 1 turn",
		"alegrias en Re, sin pulso":                                                                        "alegrias in D, untimed",
		"alegrias en Re, oírla primero, parar también en las atrasadas":                                    "alegrias in D, hear it first, hold late notes too",
		"alegrias en Re, solo escuchar, palmas a contratiempo, una vuelta sí y otra no, contando desde 12": "alegrias in D, listening only, claps between the beats, every other turn silent, counted from 12",
		"alegrias en Re, plan rasgueo; 2 línea; falseta; línea best-2, sonidos":                            "alegrias in D, plan strummed; 2 line; falseta; line best-2, sounds",
		"en Re luego Sol, al azar, sin palmas, parar en las malas":                                         "in D then G, by chance, no claps, hold wrong notes",
	} {
		assert.Equal(t, english, spanish.Practice(said))
		assert.Equal(t, said, spanish.Practised(english))
		assert.Equal(t, english, spanish.Practice(english), "English is understood too")
		assert.Equal(t, said, words.English.Practice(said))
		plan, err := practice.Parse(spanish.Practice(said), known)
		require.NoError(t, err, english)
		again, err := practice.Parse(spanish.Practice(spanish.Practised(plan.String())), known)
		require.NoError(t, err)
		assert.Equal(t, plan, again)
	}
	// As it is typed in a hurry.
	for said, english := range map[string]string{
		"ALEGRIAS EN SOL,SIN PULSO":  "ALEGRIAS in G, untimed",
		"linea usual, oirla primero": "line usual, hear it first",
		"en si bemol luego la menor": "in Bb then Am",
		"en por medio":               "in por-medio",
		"alegrías en F, 2 vueltas":   "alegrías in F, 2 turns",
		"lo que sea":                 "lo que sea",
		"":                           "",
	} {
		assert.Equal(t, english, spanish.Practice(said))
	}
	letters := spanish.WithNotes("letters")
	assert.Equal(t, "alegrias en Bb", letters.Practised("alegrias in Bb"))
}

func FuzzPractice(f *testing.F) {
	f.Add("alegrías en Sol luego Fa, plan rasgueo; 2 línea")
	f.Add("alegrias in Bb then F, at 104")
	f.Add("a {tempo}, $1")
	spanish, err := words.In("es")
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, s string) {
		if len(s) > practice.MaxSentence {
			return
		}
		spanish.Practised(spanish.Practice(s))
		spanish.Problem(s)
	})
}
