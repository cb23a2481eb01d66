package theory

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func key(t testing.TB, s string) Key {
	t.Helper()
	k, err := ParseKey(s)
	require.NoError(t, err)
	return k
}

func form(t testing.TB, s string) Form {
	t.Helper()
	f, err := LookupForm(s)
	require.NoError(t, err)
	return f
}

func line(t testing.TB, text, keyName string) Line {
	t.Helper()
	l, err := ParseLine(text, key(t, keyName), form(t, "alegrias"), Standard)
	require.NoError(t, err)
	return l
}

// keys are all the keys there are: fifteen of each mode.
func keys() []Key {
	var all []Key
	for _, mode := range []Mode{Major, Minor, Phrygian} {
		for _, letter := range letters {
			for alter := -1; alter <= 1; alter++ {
				if k := (Key{Name{byte(letter), alter}, mode}); k.valid() {
					all = append(all, k)
				}
			}
		}
	}
	return all
}
