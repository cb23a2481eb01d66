package main

import (
	"fmt"

	"bordon/fixtures"
	"bordon/listen/grid"
	"bordon/listen/tonality"
	"bordon/theory"
)

// keyNamed is the key that is named from a take's sound by check --key auto,
// as it is fingered with the cejilla that the take has; "" where none is clear.
func keyNamed(t fixtures.FreeTake, x []float32) (string, error) {
	fail := func(err error) (string, error) { return "", fmt.Errorf("name the key of take %q: %w", t.Name, err) }
	form, err := theory.LookupForm(t.Form)
	if err != nil {
		return fail(err)
	}
	l, err := tonality.Listen(freeRate, t.A4)
	if err != nil {
		return fail(err)
	}
	l.Write(x)
	keys := tonality.NameFree(l.Close(), form, grid.Options{})
	if len(keys) == 0 || keys[0].Confidence < tonality.Clear {
		return "", nil
	}
	return keys[0].Key.Transpose(-t.Cejilla).String(), nil
}

// usualKey reports whether a take's form is usually played in its key.
func usualKey(t fixtures.FreeTake) bool {
	key, err := theory.ParseKey(t.Key)
	if err != nil {
		return false
	}
	for _, f := range theory.Fingerings(key.Transpose(t.Cejilla), t.Form) {
		if f.Habitual {
			return true
		}
	}
	return false
}
