package words

import (
	"fmt"
	"reflect"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var languages = []*Language{English}

var placeholder = regexp.MustCompile(`\{[^}]*\}`)

// Every language has every message of English, with the same things to fill in.
func TestLanguagesAreComplete(t *testing.T) {
	want := messages(t, English)
	assert.Greater(t, len(want), 100)
	for _, l := range languages {
		got := messages(t, l)
		for path, message := range want {
			assert.ElementsMatch(t, placeholder.FindAllString(message, -1), placeholder.FindAllString(got[path], -1), "%s %s", l.Tag, path)
			if !empty[path] {
				assert.NotEmpty(t, got[path], "%s %s", l.Tag, path)
			}
		}
	}
}

// empty are the messages that say nothing: no accidental, a level that is not
// known, and what is counted from 1.
var empty = map[string]bool{".accidentals[2]": true, ".degrees[0]": true, ".strings[0]": true, ".frets[0]": true,
	".sheet.levels[0]": true}

func messages(t *testing.T, l *Language) map[string]string {
	t.Helper()
	all := map[string]string{}
	var walk func(path string, v reflect.Value)
	walk = func(path string, v reflect.Value) {
		switch v.Kind() {
		case reflect.String:
			all[path] = v.String()
		case reflect.Struct:
			for i := range v.NumField() {
				walk(path+"."+v.Type().Field(i).Name, v.Field(i))
			}
		case reflect.Array, reflect.Slice:
			for i := range v.Len() {
				walk(path+fmt.Sprintf("[%d]", i), v.Index(i))
			}
		default:
			require.Failf(t, "a message of an unknown kind", "%s is a %s", path, v.Kind())
		}
	}
	walk("", reflect.ValueOf(l).Elem())
	return all
}

func TestCountedUsesTheSingular(t *testing.T) {
	c := counted{"{n} note", "{n} notes"}
	assert.Equal(t, "0 notes", c.of(0))
	assert.Equal(t, "1 note", c.of(1))
	assert.Equal(t, "2 notes", c.of(2))
}
