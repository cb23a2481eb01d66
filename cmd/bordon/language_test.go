package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/ui/words"
)

// TestMain has the programs that tests start speak English on any machine.
func TestMain(m *testing.M) {
	os.Setenv("LC_ALL", "C.UTF-8")
	os.Exit(m.Run())
}

// bordonIn runs a command line where the environment names a locale.
func bordonIn(t *testing.T, env map[string]string, args ...string) result {
	t.Helper()
	t.Cleanup(func() { language = words.English })
	var out, errOut bytes.Buffer
	a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: silent(sound{}), takes: filepath.Join(t.TempDir(), "takes"), state: t.TempDir(), config: t.TempDir() + "/config.toml",
		getenv: func(name string) string { return env[name] }}
	status := a.run(context.Background(), args)
	return result{status, out.String(), errOut.String()}
}

func TestTheLocaleChooses(t *testing.T) {
	for name, tt := range map[string]struct {
		env     map[string]string
		args    []string
		spanish bool
	}{
		"no locale":                       {nil, nil, false},
		"LANG":                            {map[string]string{"LANG": "es_ES.UTF-8"}, nil, true},
		"LC_MESSAGES before LANG":         {map[string]string{"LANG": "es_ES.UTF-8", "LC_MESSAGES": "C"}, nil, false},
		"LC_ALL before both":              {map[string]string{"LANG": "C", "LC_MESSAGES": "en_GB", "LC_ALL": "es_AR@x"}, nil, true},
		"an empty one counts for nothing": {map[string]string{"LC_ALL": "", "LANG": "es"}, nil, true},
		"one that nobody speaks here":     {map[string]string{"LANG": "ja_JP.UTF-8"}, nil, false},
		"none at all":                     {map[string]string{"LANG": "???"}, nil, false},
		"the flag before the locale":      {map[string]string{"LANG": "es_ES.UTF-8"}, []string{"--language", "en"}, false},
		"the flag alone":                  {nil, []string{"--language=es"}, true},
	} {
		t.Run(name, func(t *testing.T) {
			r := bordonIn(t, tt.env, append(tt.args, "--help")...)
			assert.Equal(t, done, r.status)
			assert.Equal(t, tt.spanish, strings.Contains(r.out, "Uso:\n  bordon [opciones]"), r.out)
			assert.Equal(t, !tt.spanish, strings.Contains(r.out, "Usage:\n  bordon [flags]"), r.out)
		})
	}
}

var longFlag = regexp.MustCompile(`--[a-z][a-z-]+`)

// In every language each command and each flag has its help, which names the
// same flags, and the examples are the same commands.
func TestHelpIsComplete(t *testing.T) {
	t.Cleanup(func() { language = words.English })
	a := &app{stdin: strings.NewReader("")}
	helps := func() map[string]*cobra.Command {
		all := map[string]*cobra.Command{}
		var walk func(*cobra.Command)
		walk = func(c *cobra.Command) {
			all[c.CommandPath()] = c
			for _, s := range c.Commands() {
				walk(s)
			}
		}
		walk(a.root())
		return all
	}
	language = words.English
	english := helps()
	require.Greater(t, len(english), 20)
	mentions := func(text string) []string {
		all := longFlag.FindAllString(text, -1)
		slices.Sort(all)
		return slices.Compact(all)
	}
	for _, tag := range words.Tags()[1:] {
		var err error
		language, err = words.In(tag)
		require.NoError(t, err)
		for path, c := range helps() {
			e := english[path]
			for _, part := range [][2]string{{e.Short, c.Short}, {e.Long, c.Long}} {
				if part[0] != "" {
					assert.NotEqual(t, part[0], part[1], "%s %s: its help is missing", tag, path)
					assert.Equal(t, mentions(part[0]), mentions(part[1]), "%s %s", tag, path)
				}
			}
			want, got := strings.Split(e.Example, "\n"), strings.Split(c.Example, "\n")
			require.Len(t, got, len(want))
			for i := range want {
				command, comment, ok := strings.Cut(want[i], "  # ")
				if ok {
					assert.NotContains(t, got[i], comment, "%s %s: what is said of an example", tag, path)
				}
				assert.True(t, strings.HasPrefix(got[i], command), got[i])
			}
			c.LocalFlags().VisitAll(func(f *pflag.Flag) {
				if was := e.LocalFlags().Lookup(f.Name); was != nil && f.Name != "help" {
					assert.NotEqual(t, was.Usage, f.Usage, "%s %s --%s: what it does is missing", tag, path, f.Name)
				}
			})
			for _, l := range strings.Split(c.Long, "\n") {
				assert.LessOrEqual(t, len([]rune(l)), 88, "%s %s: %s", tag, path, l)
			}
		}
	}
}

// What a student is commonly told is wrong is said in Spanish, whole: by far
// most of the words of the English sentence are gone.
func TestProblemsInSpanish(t *testing.T) {
	dir := inFolder(t, map[string][]byte{
		"good.wav": wav16(48000, make([]float32, 4800)), "text.wav": []byte("This is a letter and no sound at all.\n"), "empty.wav": {},
	})
	check := func(args ...string) []string {
		return append([]string{"check", "--key", "D", "--tempo", "96", filepath.Join(dir, "good.wav")}, args...)
	}
	english := regexp.MustCompile(`\b(the|there|is|are|no such|it|must|write|such as|wants|with|of|and)\b`)
	for _, args := range [][]string{
		check("--key", "H"), check("--key", ""), check("--key", "g"), check("--key", "G#"), check("--form", "waltz"), check("--form", "alegrias/x"),
		check("--line", "13:A2"), check("--line", "7:B2 7:A2"), check("--line", "8:B2 7:A2"), check("--line", "7:B7"), check("--line", "7:9"),
		check("--line", "7:Q"), check("--line", ""), check("--line", "nobody"), check("--tempo", "0"), check("--tempo", "fast"),
		check("--first-beat", "Inf"), check("--cejilla", "30"), check("--cejilla", "1.5"), check("--a4", "300"), check("--tolerance", "x"),
		check("--format", "xml"), check("--speed", "3"), check("-x"), check("--delay", "long"), check("--key"),
		{"check", "--key", "D", "--tempo", "96"}, {"check", "-t", "96", "x.wav"}, {"check", "-k", "D", "x.wav"},
		{"check", "-k", "D", "-t", "96", filepath.Join(dir, "gone.wav")}, {"check", "-k", "D", "-t", "96", dir},
		{"check", "-k", "D", "-t", "96", filepath.Join(dir, "text.wav")}, {"check", "-k", "D", "-t", "96", filepath.Join(dir, "empty.wav")},
		{"judge"}, {"takes", "shwo"}, {"completion"}, {"completion", "csh"}, {"listen", "take.wav"}, {"listen", "--tempo", "0"},
		{"listen", "--count-in", "-3"}, {"listen", "--lead", "99"}, {"listen", "--turns", "-1"}, {"listen", "--delay", "60000"},
		{"listen"}, {"listen", "--list-devices"}, {}, {"key"}, {"line"}, {"line", "--from", "D"}, {"line", "-k", "F", "--count", "0"},
		{"takes", "show", "last"}, {"takes", "show"}, {"listen", "--keys", "foo=bar"},
	} {
		r := bordonIn(t, map[string]string{"LANG": "es_ES.UTF-8"}, args...)
		assert.NotEqual(t, done, r.status, args)
		assert.Equal(t, 1, strings.Count(r.errOut, "\n"), r.errOut)
		assert.Empty(t, english.FindAllString(strings.ReplaceAll(r.errOut, dir, ""), -1), r.errOut)
	}
}

// JSON is the same in every language.
func TestJSONIsOfNoLanguage(t *testing.T) {
	demo := func(args ...string) string {
		r := bordonIn(t, nil, append([]string{"demo", "--fast", "--format", "json"}, args...)...)
		require.Equal(t, done, r.status, r.errOut)
		return r.out
	}
	assert.Equal(t, demo(), demo("--language", "es"))
}

func TestDemoInSpanish(t *testing.T) {
	r := bordonIn(t, map[string]string{"LANG": "es_ES.UTF-8"}, "demo", "--fast")
	require.Equal(t, done, r.status, r.errOut)
	for _, said := range []string{"Sol mayor", "vuelta 2, tiempo 8", "fuera de tono", "pedía La2", "Sib2",
		"Si bemol no está en la tonalidad de Sol mayor; la línea baja a La, el segundo grado, quinta cuerda al aire.",
		"sin bajo", "atrasado", "14 de 16 notas bien (88 %), 13 de ellas a tiempo."} {
		assert.Contains(t, r.out, said)
	}
	letters := bordonIn(t, map[string]string{"LANG": "es_ES.UTF-8"}, "demo", "--fast", "--note-names", "letters")
	assert.Contains(t, letters.out, "B bemol no está en la tonalidad de G mayor")
	assert.Contains(t, bordonIn(t, nil, "demo", "--fast", "--note-names", "solfeo").out, "Si flat is not in Sol major")
}

// The file of what was set up may name the language and the names of notes.
func TestTheSetUpLanguage(t *testing.T) {
	t.Cleanup(func() { language = words.English })
	path := filepath.Join(t.TempDir(), "config.toml")
	require.NoError(t, os.WriteFile(path, []byte("version = 1\nlanguage = \"es\"\nnote_names = \"letters\"\n"), 0o644))
	run := func(args ...string) string {
		var out, errOut bytes.Buffer
		a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: silent(sound{}), takes: t.TempDir(), state: t.TempDir(), config: path}
		require.Equal(t, done, a.run(context.Background(), args), errOut.String())
		return out.String()
	}
	assert.Contains(t, run("key", "G"), "G mayor")
	assert.Contains(t, run("key", "G", "--language", "en"), "G major")
	assert.Contains(t, run("key", "G", "--note-names=solfeo"), "Sol mayor")
}
