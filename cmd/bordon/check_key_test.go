package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures/schema"
	"bordon/listen"
)

// Where another key was played than the one given that is said, in the text, in
// JSON, and where no compás was found in the one given; the verdicts are given
// all the same. In the key that was played nothing is said.
func TestAnotherKeyIsTold(t *testing.T) {
	for _, kind := range []string{"constant", "breaths"} {
		take, flags, file := freeFile(t, kind, 1)
		for _, given := range []string{take.Key, "F", "C#m", "B"} {
			args := []string{"check", "--key", given, "--form", take.Form, "--line", "usual", file}
			if given == take.Key {
				args = append(append([]string{"check"}, flags...), file)
			}
			r := bordon(t, args...)
			told := strings.Contains(r.out+r.errOut, "sounds like")
			assert.Equal(t, given != take.Key, told, "%s, %s given: %s%s", take.Key, given, r.out, r.errOut)
			if r.status != done { // no compás was found, or it may be counted in two ways
				assert.Contains(t, r.errOut, "it sounds like "+take.Key+", and --key "+given+" was given")
				continue
			}
			r = bordon(t, append([]string{args[0], "--format", "json"}, args[1:]...)...)
			require.Equal(t, done, r.status, r.errOut)
			require.NoError(t, schema.Validate(schema.Check, []byte(r.out)))
			var got listen.Check
			require.NoError(t, json.Unmarshal([]byte(r.out), &got))
			if given == take.Key {
				assert.Nil(t, got.OtherKey)
				continue
			}
			require.NotNil(t, got.OtherKey)
			assert.Equal(t, take.Key, got.OtherKey.Key)
			spanish := bordon(t, append([]string{args[0], "--language", "es"}, args[1:]...)...)
			assert.Contains(t, spanish.out, "Esto suena a ")
		}
	}
}
