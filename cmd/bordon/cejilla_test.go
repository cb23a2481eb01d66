package main

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The singer needs a key: what to finger, in text and for scripts.
func TestKeySounding(t *testing.T) {
	r := bordon(t, "key", "--sounding", "G", "--form", "alegrias")
	require.Equal(t, done, r.status, r.errOut)
	assert.Regexp(t, `(?m)^ G major sounds   alegrías$`, r.out)
	assert.Regexp(t, `(?m)^  1  as G major +no cejilla +al aire por sol +G 320003  D7 xx0212$`, r.out)
	assert.Regexp(t, `(?m)^  2  as E major +cejilla 3 +al 3 por mi +E 022100  B7 x21202$`, r.out)
	assert.Contains(t, r.out, "The first 4 are shapes that alegrías is usually played in.")

	r = bordon(t, "key", "--sounding", "G-phrygian", "--form", "soleá", "--format", "json")
	require.Equal(t, done, r.status, r.errOut)
	var list []fingering
	require.NoError(t, json.Unmarshal([]byte(r.out), &list))
	require.Len(t, list, 8)
	assert.Equal(t, fingering{1, "E-phrygian", 3, "al 3 por arriba", true, "022100", "133211"}, list[0])

	r = bordon(t, "key", "--sounding", "G", "--form", "alegrias/silencio")
	require.Equal(t, done, r.status, r.errOut)
	assert.Contains(t, r.out, "G minor sounds")
}

func TestKeySoundingWrongUsage(t *testing.T) {
	for want, args := range map[string][]string{
		"write a key such as":                           {"--sounding", "H"},
		"there is none of this name":                    {"--sounding", "G", "--form", "waltz"},
		`--sounding names the key that sounds, and "F"`: {"--sounding", "G", "F"},
		"it names 2 strings":                            {"--sounding", "G", "--tuning", "E2 A2"},
		"it wants text or json":                         {"--sounding", "G", "--format", "xml"},
		"--format goes with --sounding":                 {"F", "--format", "json"},
	} {
		r := bordon(t, append([]string{"key"}, args...)...)
		assert.Equal(t, wrong, r.status, args)
		assert.Contains(t, r.errOut, want)
		assert.Empty(t, r.out)
	}
}
