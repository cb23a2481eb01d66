package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bordon/listen/match"
)

// A key gives one verdict, in every language, and none of them ends the
// program or lists the keys.
func TestLettersOfVerdicts(t *testing.T) {
	for _, l := range all(t) {
		seen := map[string]bool{"q": true, "?": true}
		for _, letter := range l.Letters() {
			assert.Len(t, []rune(letter.Key), 1, "%s %q", l.Tag, letter.Word)
			assert.False(t, seen[letter.Key], "%s: %s is taken", l.Tag, letter.Key)
			assert.NotEmpty(t, letter.Says)
			seen[letter.Key] = true
		}
	}
}

func TestOverruling(t *testing.T) {
	assert.Equal(t, "turn 2, beat 8: the ear said not in key. What was it?", English.Overruling(2, "8", English.Pitch(match.OutOfScale), ""))
	assert.Equal(t, "turn 2, beat 8: you say right; the ear said not in key.",
		English.Overruling(2, "8", English.Pitch(match.OutOfScale), English.Pitch(match.Right)))
}
