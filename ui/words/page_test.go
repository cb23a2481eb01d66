package words_test

import (
	"reflect"
	"testing"

	"bordon/ui/words"

	"github.com/stretchr/testify/assert"
)

func TestWordsOnThePage(t *testing.T) {
	l := words.English
	for want, got := range map[string]string{
		"cejilla 3, sounds B flat":          l.Cejilla(3, "B flat"),
		"104 a minute":                      l.Tempo(104),
		"92.5 a minute":                     l.Tempo(92.5),
		"level low":                         l.Level(2),
		"":                                  l.Level(0) + l.Level(-1) + l.Level(99),
		"guitar in tune":                    l.Tuning(-0.4),
		"guitar 1 cent flat":                l.Tuning(-0.6),
		"guitar 35 cents flat":              l.Tuning(-35.2),
		"guitar 1 cent sharp":               l.Tuning(1.4),
		"guitar 4 cents sharp":              l.Tuning(3.5),
		"10 ms of sound lost":               l.Lost(10.2),
		"turn 12":                           l.Turn(12),
		"turn 2, beat 9+1/2":                l.At(2, "9+1/2"),
		"turn 2, beat 8: No bass.":          l.Sentence(2, "8", "No bass."),
		"asked A2":                          l.Asked("A2", ""),
		"asked A2, (5) open":                l.Asked("A2", "(5) open"),
		"any note of G major":               l.AnyOf("G major"),
		"C3 or E3":                          l.Or([]string{"C3", "E3"}),
		"also heard: B2 after beat 8, G2":   l.Also([]string{l.After("B2", "8"), "G2"}),
		"beat 1 of the first turn":          l.CountIn(0),
		"count-in: beat 1 comes next":       l.CountIn(1),
		"count-in: beat 1 comes in 6 beats": l.CountIn(6),
		"listening to {dir}":                l.Listening("{dir}"),
		"the take is in takes/2030-01-01-G": l.Kept("takes/2030-01-01-G"),
		"Turn 3 was cut off by the end, so it is not judged.":           l.CutOff(3, 3),
		"Turns 3 to 4 were cut off by the end, so they are not judged.": l.CutOff(3, 4),
	} {
		assert.Equal(t, want, got)
	}
}

// What a language says without being told anything is there, and whole.
func TestFixedWords(t *testing.T) {
	l := reflect.ValueOf(words.English)
	n := 0
	for i := range l.NumMethod() {
		m := l.Method(i)
		if m.Type().NumIn() > 0 || m.Type().Out(0).Kind() != reflect.String {
			continue
		}
		n++
		said := m.Call(nil)[0].String()
		assert.NotEmpty(t, said, l.Type().Method(i).Name)
		assert.NotContains(t, said, "{", l.Type().Method(i).Name)
	}
	assert.GreaterOrEqual(t, n, 12)
}
