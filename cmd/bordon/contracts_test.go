package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures"
	"bordon/fixtures/schema"
	"bordon/listen/take"
)

// debianPython has Debian's python3-jsonschema.
const debianPython = "/usr/bin/python3"

// outsideValidator holds documents against the published schemas by another's
// implementation: a folder with the schemas, then pairs of an $id and a file.
const outsideValidator = `
import glob, json, sys, urllib.parse, warnings
warnings.simplefilter('ignore')
import jsonschema
urllib.parse.uses_relative.append('urn') # or "#/$defs" would be looked for elsewhere
store = {}
for path in glob.glob(sys.argv[1] + '/*.json'):
    with open(path, encoding='utf-8') as f:
        s = json.load(f)
        store[s['$id']] = s
for id, path in zip(sys.argv[2::2], sys.argv[3::2]):
    jsonschema.Draft202012Validator.check_schema(store[id])
    v = jsonschema.Draft202012Validator(store[id], resolver=jsonschema.RefResolver(id, store[id], store))
    with open(path, encoding='utf-8') as f:
        for e in v.iter_errors(json.load(f)):
            print(id, path, list(e.absolute_path), e.message[:300])
print('done', len(sys.argv[2::2]))
`

// What the built program writes is what its published schemas say, by two
// implementations of JSON Schema.
func TestTheProgramKeepsItsContracts(t *testing.T) {
	program, dir := built(t), t.TempDir()
	run := func(args ...string) []byte {
		t.Helper()
		cmd := exec.Command(program, args...)
		cmd.Env, cmd.Dir = own(dir), dir
		var out, errs bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &errs
		err := cmd.Run()
		if exit := (*exec.ExitError)(nil); err != nil && !assert.ErrorAs(t, err, &exit) {
			t.FailNow()
		}
		require.NotContains(t, errs.String(), "panic", "%v", args)
		return out.Bytes()
	}
	type document struct {
		name schema.Name
		text []byte
	}
	var documents []document
	keep := func(name schema.Name, text []byte) {
		t.Helper()
		require.NotEmpty(t, text, "%s", name)
		assert.NoError(t, schema.Validate(name, text), "%s", name)
		documents = append(documents, document{name, text})
	}

	spec := fixtures.Specs()[3] // G, a mistake of every kind
	require.Equal(t, "g-mistakes", spec.Name)
	played, err := fixtures.Generate(spec)
	require.NoError(t, err)
	flags := flagsOf(played)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "take.wav"), rendered(t, played), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "none.wav"), []byte("no sound"), 0o644))

	check := func(more ...string) []byte {
		return run(append(append([]string{"check", "--format", "json"}, flags...), more...)...)
	}
	keep(schema.Check, check("take.wav"))
	keep(schema.Check, check("take.wav", "none.wav"))
	ways, memo := twoWaysFile(t)
	keep(schema.Check, run(append(append([]string{"check", "--format", "json"}, ways...), memo)...))
	for _, line := range bytes.Split(bytes.TrimSpace(run("demo", "--fast", "--format", "json")), []byte("\n")) {
		keep(schema.Listen, line)
	}
	keep(schema.Line, run("line", "-k", "F", "--format", "json"))
	keep(schema.Line, run("line", "--from", "D", "--to", "F", "7:3 8:2 9:7 10:1", "--format", "json"))
	keep(schema.Fingerings, run("key", "--sounding", "Bb", "--form", "alegrias", "--format", "json"))
	keep(schema.Takes, run("takes", "list", "--format", "json"))

	at := strings.TrimSpace(string(run(append(append([]string{"takes", "import", "--started", "2030-01-31T18:05:07"}, flags...), "take.wav")...)))
	read := func(name string) []byte {
		b, err := os.ReadFile(filepath.Join(at, name))
		require.NoError(t, err)
		return b
	}
	keep(schema.Take, read(take.JSONName))
	// One that the tempo alone is said of, and that may be counted in two ways.
	found := strings.TrimSpace(string(run(append(append([]string{"takes", "import", "--started", "2030-01-30T18:05:07", "--tempo", "140"}, ways...), memo)...)))
	described, err := os.ReadFile(filepath.Join(found, take.JSONName))
	require.NoError(t, err)
	keep(schema.Take, described)
	keep(schema.Takes, run("takes", "list", "--format", "json"))
	keep(schema.Show, run("takes", "show", "last", "--format", "json"))
	keep(schema.Progress, run("takes", "progress", "--format", "json"))
	for _, line := range bytes.Split(bytes.TrimSpace(run("takes", "again", "last", "--fast", "--format", "json")), []byte("\n")) {
		keep(schema.Listen, line)
	}
	run("takes", "overrule", "last", "2", "7", "missing", "--why", "=not me")
	keep(schema.Player, read(take.PlayerName))
	for path := range strings.Lines(string(run("takes", "cases", "cases"))) {
		b, err := os.ReadFile(filepath.Join(dir, strings.TrimSpace(path)))
		require.NoError(t, err)
		keep(schema.Case, b)
	}
	keep(schema.Show, run("takes", "export", "last", "--format", "json", "--out", "-"))
	// Lists of devices depend on the machine; there may be none at all.
	for name, args := range map[schema.Name][]string{schema.Microphones: {"listen", "--list-devices"}, schema.Devices: {"setup", "--list"}} {
		if out := run(append(args, "--format", "json")...); len(out) > 0 {
			keep(name, out)
		}
	}

	seen := map[schema.Name]bool{schema.Microphones: true, schema.Devices: true}
	for _, d := range documents {
		seen[d.name] = true
	}
	for _, name := range schema.Names() {
		if name != schema.Class { // a class has a test of its own
			assert.True(t, seen[name], "nothing was held against %s", name)
		}
	}

	if err := exec.Command(debianPython, "-c", "import jsonschema").Run(); err != nil {
		t.Skipf("%s has no jsonschema (Debian's package python3-jsonschema)", debianPython)
	}
	published, files := filepath.Join(dir, "published"), []string{}
	require.NoError(t, os.CopyFS(published, schema.Files))
	for i, d := range documents {
		path := filepath.Join(dir, string(rune('a'+i%26))+ftoa(float64(i))+".document")
		require.NoError(t, os.WriteFile(path, d.text, 0o644))
		files = append(files, schema.ID(d.name), path)
	}
	out, err := exec.Command(debianPython, append([]string{"-c", outsideValidator, published}, files...)...).CombinedOutput()
	require.NoError(t, err, "%s", out)
	assert.Equal(t, "done "+ftoa(float64(len(documents)))+"\n", string(out))

	// The outside implementation refuses as well, or it would say nothing.
	var wrong map[string]any
	require.NoError(t, json.Unmarshal(documents[0].text, &wrong))
	wrong["tempo_bpm"] = "fast"
	b, err := json.Marshal(wrong)
	require.NoError(t, err)
	path := filepath.Join(dir, "wrong.document")
	require.NoError(t, os.WriteFile(path, b, 0o644))
	out, err = exec.Command(debianPython, "-c", outsideValidator, published, schema.ID(schema.Check), path).CombinedOutput()
	require.NoError(t, err, "%s", out)
	assert.Contains(t, string(out), "urn:bordon:check:1")
}
