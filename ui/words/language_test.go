package words

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	placeholder = regexp.MustCompile(`\{[^}]*\}`)
	verb        = regexp.MustCompile(`%[-+#0-9.]*[a-z]`)
)

// filled is what is filled into a message: each {name}, in any order, and the
// verbs of fmt in theirs.
func filled(message string) []string {
	names := placeholder.FindAllString(message, -1)
	slices.Sort(names)
	return append(names, verb.FindAllString(message, -1)...)
}

// mayBeEmpty are the messages that say nothing: no accidental, a level that is
// not known, and what is counted from 1.
var mayBeEmpty = map[string]bool{"accidentals.2": true, "degrees.0": true, "strings.0": true, "frets.0": true,
	"sheet.levels.0": true, "numbers.0": true}

// all the languages there are.
func all(t *testing.T) (languages []*Language) {
	t.Helper()
	for _, tag := range Tags() {
		l, err := In(tag)
		require.NoError(t, err)
		languages = append(languages, l)
	}
	return languages
}

// Every language has every message of English and none beside it, with the same
// things to fill in.
func TestLanguagesAreComplete(t *testing.T) {
	english := map[string]any{}
	lang := *English
	lang.each(func(id string, message any) {
		english[id] = message
		if s, ok := message.(*string); ok {
			assert.Equal(t, mayBeEmpty[id], *s == "", id)
		}
	})
	require.Greater(t, len(english), 400)
	require.Contains(t, Tags(), "es")
	for _, tag := range Tags()[1:] {
		file, err := files.ReadFile("active." + tag + ".toml")
		require.NoError(t, err)
		for _, fault := range faults(t, tag, file, english) {
			t.Error(fault)
		}
	}
}

// faults are what a language's file lacks or has too many of.
func faults(t *testing.T, tag string, file []byte, english map[string]any) (all []string) {
	t.Helper()
	_, messages, err := read(tag, file)
	require.NoError(t, err)
	find := func(id, what string) { all = append(all, tag+" "+id+": "+what) }
	for id, message := range english {
		m := messages[id]
		switch e := message.(type) {
		case *string:
			switch {
			case m == nil || m.Other == "" && !mayBeEmpty[id]:
				find(id, "it is missing")
			case m.One != "":
				find(id, "nothing is counted")
			case !slices.Equal(filled(*e), filled(m.Other)):
				find(id, "it fills in "+strings.Join(filled(m.Other), " ")+" and not "+strings.Join(filled(*e), " "))
			}
		case *counted:
			if m == nil || m.One == "" || m.Other == "" {
				find(id, "a form is missing")
				continue
			}
			for _, form := range []string{m.Zero, m.Two, m.Few, m.Many, m.Other} {
				if form != "" && !slices.Equal(filled(e.other), filled(form)) {
					find(id, "it does not fill in "+strings.Join(filled(e.other), " "))
				}
			}
			// One thing may be said in a word.
			if rest := slices.DeleteFunc(filled(m.One), func(s string) bool { return s == "{n}" }); !slices.Equal(rest, slices.DeleteFunc(filled(e.one), func(s string) bool { return s == "{n}" })) {
				find(id, "one thing does not fill in what English does")
			}
		}
	}
	for id := range messages {
		table, _, _ := strings.Cut(id, ".")
		if english[id] == nil && !furtherTables[table] {
			find(id, "English has no such message")
		}
	}
	slices.Sort(all)
	return all
}

func TestFaultsAreFound(t *testing.T) {
	english := map[string]any{"a.b": &[]string{"{x} and {y}"}[0], "c": &counted{one: "{n} note", other: "{n} notes"}}
	for file, want := range map[string][]string{
		"a.b = \"{y} y {x}\"\nc = {one = \"una\", other = \"{n}\"}":         nil,
		"a.b = \"{y}\"\nc = {one = \"una\", other = \"{n}\"}":               {"es a.b: it fills in {y} and not {x} {y}"},
		"a.b = \"{x} {y} {z}\"\nc = {one = \"una\", other = \"{n}\"}":       {"es a.b: it fills in {x} {y} {z} and not {x} {y}"},
		"c = {one = \"una\", other = \"{n}\"}":                              {"es a.b: it is missing"},
		"a.b = \"%d {x} {y} %s\"\nc = {one = \"una\", other = \"{n}\"}":     {"es a.b: it fills in {x} {y} %d %s and not {x} {y}"},
		"a.b = \"{x} {y}\"\nc = \"{n}\"":                                    {"es c: a form is missing"},
		"a.b = \"{x} {y}\"\nd = \"\"\nc = {one = \"una\", other = \"{n}\"}": {"es d: English has no such message"},
		"a.b = \"{x} {y}\"\nc = {one = \"una\", other = \"muchas\"}":        {"es c: it does not fill in {n}"},
	} {
		assert.Equal(t, want, faults(t, "es", []byte(file), english), file)
	}
}

func TestWhatIsMissingStaysEnglish(t *testing.T) {
	l, _, err := read("es", []byte("[labels]\nmissing = \"sin bajo\""))
	require.NoError(t, err)
	assert.Equal(t, "sin bajo", l.labels.missing)
	assert.Equal(t, English.labels.strummed, l.labels.strummed)
	assert.Equal(t, "3 tries", l.Tries(3))
	_, _, err = read("es", []byte("labels = 3"))
	assert.Error(t, err)
}

// The forms of one and of other are English's own, and a language's where it
// has been read: in Polish two to four are few (Unicode CLDR, cardinal rules).
func TestCounted(t *testing.T) {
	c := counted{one: "{n} note", other: "{n} notes"}
	for n, want := range []string{"0 notes", "1 note", "2 notes"} {
		assert.Equal(t, want, c.of(n))
	}
	l, _, err := read("pl", []byte("[practice]\ntries = {one = \"{n} próba\", few = \"{n} próby\", many = \"{n} prób\", other = \"{n} próby\"}"))
	require.NoError(t, err)
	for n, want := range map[int]string{1: "1 próba", 2: "2 próby", 5: "5 prób", 12: "12 prób", 22: "22 próby"} {
		assert.Equal(t, want, l.Tries(n))
	}
	spanish, err := In("es")
	require.NoError(t, err)
	assert.Equal(t, []string{"1 intento", "3 intentos", "1000000 intentos"},
		[]string{spanish.Tries(1), spanish.Tries(3), spanish.Tries(1000000)}, "many falls back on other")
}

// What a language says of a problem fills in what the English one has, and a
// part of the English one is said in the program: else nobody hears it.
func TestProblemsAreCurrent(t *testing.T) {
	said := sources(t, "../..")
	for _, l := range all(t)[1:] {
		seen := 0
		for id, text := range l.more {
			english, ok := strings.CutPrefix(id, "problems.")
			if !ok {
				continue
			}
			seen++
			assert.Equal(t, filled(english), filled(text), "%s %s", l.Tag, id)
			current := len(placeholder.ReplaceAllString(english, "")) < 12 // only joins others
			for _, part := range strings.FieldsFunc(placeholder.ReplaceAllString(english, "\x00"), func(r rune) bool { return r == 0 || r == ';' }) {
				current = current || len(part) > 5 && strings.Contains(said, strings.TrimSpace(part))
			}
			assert.True(t, current, "%s: nothing says %q any more", l.Tag, english)
		}
		assert.Greater(t, seen, 50)
	}
}

// sources are the texts of the program's own files, with what cobra, pflag and
// the system say.
func sources(t *testing.T, root string) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("unknown flag: unknown shorthand flag: flag needs an argument: invalid argument permission denied no space left on device")
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		b.WriteString(strings.NewReplacer(`\"`, `"`, "%%", "%").Replace(string(text)))
		return err
	}))
	return b.String()
}

func TestProblem(t *testing.T) {
	spanish, err := In("es")
	require.NoError(t, err)
	for english, want := range map[string]string{
		`cannot read "gone.wav": there is no such file`:                                     `no se puede leer "gone.wav": no hay tal archivo`,
		`judging "a.wav": it has 7 channels; mono and stereo can be read`:                   `juzgando "a.wav": tiene 7 canales; se leen mono y estéreo`,
		`invalid argument "x" for "-t, --tempo" flag: it wants beats a minute, such as 104`: `"x" no vale para "-t, --tempo": pide tiempos por minuto, como 104`,
		"cannot read \"{why}\": {why}":                                                      "no se puede leer \"{why}\": {why}",
		"something that nobody foresaw":                                                     "something that nobody foresaw",
		"":                                                                                  "",
	} {
		assert.Equal(t, want, spanish.Problem(english))
		assert.Equal(t, english, English.Problem(english))
	}
}
