package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures"
	"bordon/fixtures/schema"
	"bordon/listen"
	"bordon/listen/class"
)

// hostileName is a name as nobody's is.
const hostileName = "<script>alert('x')<\u2044script>\n\u202eb\t.wav"

// hostileStudent likewise.
const hostileStudent = "</script><script>alert(1)</script>\u202e\u200f=1+1"

// classTake is a take of the scenario and its sound, rendered once.
func classTake(t *testing.T, name string) (fixtures.Take, []byte) {
	t.Helper()
	type rendering struct {
		take  fixtures.Take
		sound []byte
	}
	if r, ok := classTakes.Load(name); ok {
		return r.(rendering).take, r.(rendering).sound
	}
	take, sound := scenarioTake(t, name)
	classTakes.Store(name, rendering{take, sound})
	return take, sound
}

var classTakes sync.Map

// classFolder is a folder of recordings of invented students: what is said of
// some stands in their names, of others in the manifest; one is broken, of one
// too little is said, one was played with a cejilla that nobody speaks of. took
// are the flags of each that can be judged.
func classFolder(t *testing.T) (dir string, took map[string][]string) {
	t.Helper()
	took = map[string][]string{}
	files := map[string][]byte{
		"broken-G-104-first1.wav": []byte("This is a letter and no sound at all.\n"),
		"VID_20300131_180507.wav": wav16(48000, make([]float32, 48000)),
		"list.txt":                []byte("who comes when\n"),
	}
	manifest := "file,student,key,tempo,first-beat,line\n"
	for name, named := range map[string]string{
		"d-right":         "lucia-D-96-first%g.wav",
		"g-mistakes":      "",
		"b-flat-right":    "carlos-G-cejilla3-108-first%g.wav",
		"b-flat-mistakes": "ines-G-108-first%g.wav",
	} {
		take, sound := classTake(t, name)
		file := hostileName
		if named != "" {
			file = fmt.Sprintf(named, take.FirstBeat)
		} else {
			manifest += fmt.Sprintf("\"%s\",\"%s\",G,%g,%g,usual\n", hostileName, hostileStudent, take.Tempo, take.FirstBeat)
		}
		files[file] = sound
		took[file] = append(flagsOf(take), "--line", "usual")
		if name == "b-flat-mistakes" {
			delete(took, file)
		}
	}
	files[class.ManifestName] = []byte(manifest + "gone.wav,nobody,G,104,1,\n../outside.wav,nobody,G,104,1,\n")
	return inFolder(t, files), took
}

func sheetOf(t *testing.T, out string) class.Sheet {
	t.Helper()
	require.NoError(t, schema.Validate(schema.Class, []byte(out)))
	var s class.Sheet
	require.NoError(t, json.Unmarshal([]byte(out), &s))
	return s
}

func rowsByFile(s class.Sheet) map[string]class.Row {
	rows := map[string]class.Row{}
	for _, r := range s.Rows {
		rows[r.File] = r
	}
	return rows
}

func TestClass(t *testing.T) {
	dir, took := classFolder(t)
	args := []string{"check", "--summary", "--line", "usual"}
	r := bordon(t, append(args, "--format", "json", dir)...)
	assert.Equal(t, failed, r.status)
	assert.Contains(t, r.errOut, "5 of 8 recordings were not judged")
	assert.Contains(t, r.errOut, "list.txt is no recording")
	rows := rowsByFile(sheetOf(t, r.out))
	require.Len(t, rows, 8)

	// A row is what check says of the file with the same settings.
	for file, flags := range took {
		row := rows[file]
		require.NotNil(t, row.Score, file)
		alone := bordon(t, append(append([]string{"check", "--format", "json"}, flags...), filepath.Join(dir, file))...)
		require.Equal(t, done, alone.status, alone.errOut)
		var c listen.Check
		require.NoError(t, json.Unmarshal([]byte(alone.out), &c))
		assert.Equal(t, c.Score, *row.Score, file)
		assert.Equal(t, []any{c.Key, c.Form, c.Tempo, c.FirstBeat, c.Cejilla}, []any{row.Key, row.Form, *row.Tempo, *row.FirstBeat, *row.Cejilla})
	}
	assert.Equal(t, "carlos", rows["carlos-G-cejilla3-108-first1.72.wav"].Student)
	// Beat 8 has two of the mistakes that were planted, the others one at most.
	worst := rows[hostileName].Worst
	require.NotEmpty(t, worst)
	assert.Equal(t, "8", worst[0].Beat)
	assert.Equal(t, 2, worst[0].Wrong)

	// The others ask, or say why.
	assert.Contains(t, rows["broken-G-104-first1.wav"].Error, "not a sound file")
	assert.NotContains(t, rows["broken-G-104-first1.wav"].Error, dir, "where the folder lies is nobody's business")
	assert.Contains(t, rows["gone.wav"].Error, "no such file")
	assert.Contains(t, rows["../outside.wav"].Error, "does not lie in the folder")
	var asked []string
	for _, a := range rows["VID_20300131_180507.wav"].Asks {
		asked = append(asked, a.What)
	}
	assert.Equal(t, []string{"key"}, asked)
	// The cejilla at the third fret sounds three semitones higher.
	shifted := rows["ines-G-108-first1.2.wav"]
	assert.Equal(t, 3, shifted.Shift)
	assert.Equal(t, []class.Ask{{What: "cejilla", Says: []string{}}}, shifted.Asks)

	text := bordon(t, append(args, dir)...)
	assert.Equal(t, failed, text.status)
	for _, s := range []string{"student", "worst beats", "16 of 16", "100 %", "Was the cejilla at fret 3", "There is no such file"} {
		assert.Contains(t, text.out, s)
	}
	assert.NotContains(t, text.out, "\u202e")
	for line := range strings.Lines(text.out) {
		assert.LessOrEqual(t, len([]rune(line)), usualWidth+1, "%q", line)
	}
}

// A row is the same alone, in the folder, and whatever stands before it.
func TestClassRowsDependOnNothingElse(t *testing.T) {
	dir, _ := classFolder(t)
	args := []string{"check", "--summary", "--line", "usual", "--format", "json"}
	whole := rowsByFile(sheetOf(t, bordon(t, append(args, dir)...).out))
	var files []string
	for file := range whole {
		if file != "../outside.wav" { // the shell's own path to it leads elsewhere
			files = append(files, file)
		}
	}
	slices.Sort(files)
	slices.Reverse(files)
	var paths []string
	for _, file := range files {
		paths = append(paths, filepath.Join(dir, file))
		alone := sheetOf(t, bordon(t, append(args, filepath.Join(dir, file))...).out)
		require.Len(t, alone.Rows, 1)
		assert.Equal(t, whole[file], alone.Rows[0], file)
	}
	backwards := rowsByFile(sheetOf(t, bordon(t, append(args, paths...)...).out))
	delete(whole, "../outside.wav")
	assert.Equal(t, whole, backwards)
}

// Two machines that judge half of a class each give what one does. GNU
// parallel, where it is installed, deals the recordings out.
func TestClassInShards(t *testing.T) {
	dir, _ := classFolder(t)
	require.NoError(t, os.Remove(filepath.Join(dir, class.ManifestName)))
	require.NoError(t, os.Remove(filepath.Join(dir, hostileName))) // a line feed ends an argument of parallel
	files, err := filepath.Glob(filepath.Join(dir, "*.wav"))
	require.NoError(t, err)
	require.Len(t, files, 5)
	args := []string{"check", "--summary", "--line", "usual"}
	whole := map[string]string{}
	for _, format := range checkFormats {
		whole[format] = bordon(t, append(args, "--format", format, dir)...).out
		require.NotEmpty(t, whole[format])
	}
	merge := func(t *testing.T, parts string) {
		file := filepath.Join(t.TempDir(), "parts.json")
		require.NoError(t, os.WriteFile(file, []byte(parts), 0o644))
		for _, format := range checkFormats {
			merged := bordon(t, "check", "--summary", "--merge", "--format", format, file)
			assert.Equal(t, whole[format], merged.out, format)
			assert.Equal(t, failed, merged.status)
			assert.Contains(t, merged.errOut, "3 of 5 recordings were not judged")
		}
	}
	t.Run("by hand", func(t *testing.T) {
		one := bordon(t, append(args, append([]string{"--format", "json"}, files[:2]...)...)...)
		two := bordon(t, append(args, append([]string{"--format", "json"}, files[2:]...)...)...)
		merge(t, two.out+one.out)
	})
	t.Run("by GNU parallel", func(t *testing.T) {
		parallel, err := exec.LookPath("parallel")
		if err != nil {
			t.Skip("GNU parallel is not installed")
		}
		if testing.Short() {
			t.Skip("it builds the program")
		}
		cmd := exec.Command(parallel, append([]string{"--will-cite", "-j2", "-n3", built(t), "check", "--summary", "--line", "usual", "--format", "json", "{}", ":::"}, files...)...)
		cmd.Env = append(os.Environ(), "HOME="+t.TempDir())
		out, err := cmd.Output()
		var exit *exec.ExitError
		require.ErrorAs(t, err, &exit)
		assert.Equal(t, 2, exit.ExitCode(), "GNU parallel exits with how many of its jobs failed: both have a bad recording")
		assert.Equal(t, 2, strings.Count(string(out), class.Schema), "two parts")
		merge(t, string(out))
	})
}

// Phones record AAC, and video: the sound is what counts.
func TestClassOfPhones(t *testing.T) {
	ffmpeg, err := exec.LookPath("ffmpeg")
	if err != nil {
		t.Skip("ffmpeg is not installed")
	}
	take, sound := classTake(t, "g-right")
	dir := t.TempDir()
	wav := filepath.Join(t.TempDir(), "take.wav")
	require.NoError(t, os.WriteFile(wav, sound, 0o644))
	for _, args := range [][]string{
		{"-i", wav, "-c:a", "aac", fmt.Sprintf("lucia-G-cejilla0-%g-first%g.m4a", take.Tempo, take.FirstBeat)},
		{"-f", "lavfi", "-i", "color=c=gray:s=64x64:r=5", "-i", wav, "-shortest", "-c:v", "mpeg4", "-c:a", "aac", fmt.Sprintf("ines-G-cejilla0-%g-first%g.mp4", take.Tempo, take.FirstBeat)},
		{"-i", wav, fmt.Sprintf("carlos-G-cejilla0-%g-first%g.flac", take.Tempo, take.FirstBeat)},
	} {
		cmd := exec.Command(ffmpeg, append([]string{"-v", "error"}, args...)...)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	r := bordon(t, "check", "--summary", "--line", "usual", "--format", "json", dir)
	require.Equal(t, done, r.status, r.errOut)
	s := sheetOf(t, r.out)
	require.Len(t, s.Rows, 3)
	for _, row := range s.Rows {
		// AAC takes something away: a note may become one that cannot be told.
		assert.Equal(t, row.Score.Judged-row.Score.Unsure, row.Score.Right, row.File)
		assert.GreaterOrEqual(t, row.Score.Right, 14, row.File)
	}
}

// What is wrong with what a row says is told in the row.
// The README shows what such a folder gives.
func TestReadmeShowsAClass(t *testing.T) {
	files := map[string][]byte{
		class.ManifestName:        []byte("file,student,key,tempo,first-beat\npablo.flac,Pablo,F,92,1.46\n"),
		"carlos-G-104-first1.m4a": []byte("This is a letter and no sound at all.\n"),
	}
	// What a file is, its first bytes tell.
	for name, file := range map[string]string{"b-flat-mistakes": "ines-G-108-first1.2.m4a", "d-right": "lucia-D-96-first1.2.mp4", "f-mistakes": "pablo.flac"} {
		_, files[file] = classTake(t, name)
	}
	r := bordon(t, "check", "--summary", "--line", "usual", inFolder(t, files))
	assert.Equal(t, failed, r.status)
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	assert.True(t, strings.Contains(string(readme), "\n```\n"+r.out+"```\n"), "%s", r.out)
}

// Where nobody says the tempo or the first beat the compás is found, as check
// finds it; where it is not found the row asks.
func TestClassFindsTheBeats(t *testing.T) {
	take, sound := classTake(t, "g-mistakes")
	dir := inFolder(t, map[string][]byte{
		"lucia-G-cejilla0.wav":     sound,
		"ines-G-cejilla0-104.wav":  sound,
		"pablo-G.wav":              rendered(t, other(t)),
		"carlos-G-cejilla0-92.wav": wav16(48000, make([]float32, 96000)),
	})
	out := filepath.Join(t.TempDir(), "pages")
	r := bordon(t, "check", "--summary", "--line", "usual", "--format", "json", "--out", out, dir)
	rows := rowsByFile(sheetOf(t, r.out))
	for file, flags := range map[string][]string{"lucia-G-cejilla0.wav": nil, "ines-G-cejilla0-104.wav": {"-t", "104"}} {
		row := rows[file]
		require.NotNil(t, row.Score, row.Error)
		assert.True(t, row.Found)
		alone := bordon(t, append(append([]string{"check", "-k", "G", "--line", "usual", "--format", "json"}, flags...), filepath.Join(dir, file))...)
		var c listen.Check
		require.NoError(t, json.Unmarshal([]byte(alone.out), &c))
		assert.Equal(t, c.Score, *row.Score)
		// The onsets that planted mistakes move take the pulse along a little.
		assert.InDelta(t, take.Tempo, *row.Tempo, 0.02*take.Tempo)
		assert.InDelta(t, take.FirstBeat, *row.FirstBeat, 0.15*60/take.Tempo, "nearer than timing is judged")
		page, err := os.ReadFile(filepath.Join(out, pageName(file)))
		require.NoError(t, err)
		assert.True(t, strings.Contains(string(page), `"clips":{`))
	}
	row := rows["pablo-G.wav"]
	assert.Contains(t, row.Error, "no compás was found")
	assert.NotContains(t, row.Error, "pablo", "the row itself says which")
	assert.Equal(t, []class.Ask{{What: "cejilla", Says: []string{}}, {What: "tempo", Says: []string{}}, {What: "first-beat", Says: []string{}}}, row.Asks)
	assert.Contains(t, rows["carlos-G-cejilla0-92.wav"].Error, "next to no sound")
}

// other is the line a tritone away from the scenario's in G.
func other(t *testing.T) fixtures.Take {
	t.Helper()
	s := fixtures.Specs()[0]
	s.Key, s.Cejilla, s.Turns, s.Tempo = "G", 6, 4, 104
	s.Mistakes, s.Name = nil, "a tritone up"
	take, err := fixtures.Generate(s)
	require.NoError(t, err)
	return take
}

// A line that is not the one asked for is no question about the cejilla: the
// usual line, heard for the finder's best, lies nine semitones off.
func TestClassTakesNoLineForACejilla(t *testing.T) {
	take, sound := classTake(t, "g-mistakes")
	name := fmt.Sprintf("lucia-G-%g-first%g.wav", take.Tempo, take.FirstBeat)
	r := bordon(t, "check", "--summary", "--format", "json", inFolder(t, map[string][]byte{name: sound}))
	row := rowsByFile(sheetOf(t, r.out))[name]
	assert.Empty(t, row.Asks)
	assert.NotNil(t, row.Score, row.Error)
}

// The sound names the key, sounding; how that was fingered it does not tell.
func TestClassNamesKeys(t *testing.T) {
	_, sound := classTake(t, "b-flat-right")
	dir := inFolder(t, map[string][]byte{
		"lucia-cejilla3-108-first1.72.wav":     sound,
		"ines-auto-cejilla3-108-first1.72.wav": sound,
		"pablo-auto-108-first1.72.wav":         sound,
		"marta-108-first1.72.wav":              sound,
		"carlos-cejilla3-108-first1.wav":       wav16(48000, make([]float32, 96000)),
	})
	rows := rowsByFile(sheetOf(t, bordon(t, "check", "--summary", "--line", "usual", "--format", "json", dir).out))
	for _, file := range []string{"lucia-cejilla3-108-first1.72.wav", "ines-auto-cejilla3-108-first1.72.wav"} {
		row := rows[file]
		require.NotNil(t, row.Score, row.Error)
		assert.Equal(t, "G", row.Key, "B flat sounds, G shapes are fingered")
		assert.True(t, row.KeyHeard)
		assert.Equal(t, 16, row.Score.Right)
	}
	assert.Equal(t, []class.Ask{{What: "cejilla", Says: []string{}}}, rows["pablo-auto-108-first1.72.wav"].Asks)
	assert.Equal(t, []class.Ask{{What: "key", Says: []string{}}}, rows["marta-108-first1.72.wav"].Asks)
	assert.Contains(t, rows["carlos-cejilla3-108-first1.wav"].Error, "nothing that tells a key was heard")
	assert.NotContains(t, rows["carlos-cejilla3-108-first1.wav"].Error, dir)
}

// In Spanish the table, its notes and its pages are Spanish; JSON stays as it is.
func TestClassInSpanish(t *testing.T) {
	_, sound := classTake(t, "g-mistakes")
	dir := inFolder(t, map[string][]byte{
		"lucia-G-cejilla0-104-first1.59.wav": sound,
		"pablo.wav":                          wav16(48000, make([]float32, 4800)),
		"ines-G-104-first1.wav":              []byte("This is a letter and no sound at all.\n"),
	})
	out := t.TempDir()
	spanish := map[string]string{"LANG": "es_ES.UTF-8"}
	r := bordonIn(t, spanish, "check", "--summary", "--line", "usual", "--out", out, dir)
	assert.Equal(t, failed, r.status)
	for _, said := range []string{"alumno", "peores tiempos: 8", "Sol mayor", "No es un archivo de sonido"} {
		assert.Contains(t, r.out, said)
	}
	assert.Contains(t, r.errOut, "La grabación de un alumno es suya")
	for file, said := range map[string]string{"index.html": "Una clase: 3 grabaciones", "lucia-G-cejilla0-104-first1.59.wav.html": "la línea baja a La"} {
		html, err := os.ReadFile(filepath.Join(out, file))
		require.NoError(t, err)
		assert.True(t, strings.Contains(string(html), `<html lang="es">`) && strings.Contains(string(html), said), file)
	}
	args := []string{"check", "--summary", "--line", "usual", "--format", "json", dir}
	assert.Equal(t, bordonIn(t, nil, args...).out, bordonIn(t, spanish, args...).out)
}
