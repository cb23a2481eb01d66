package export_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bordon/listen"
	"bordon/listen/export"
	"bordon/listen/match"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// valid holds a score against the schema of MusicXML 4.0 that the environment
// names, with the catalog beside it.
func valid(t *testing.T, score []byte) {
	t.Helper()
	schema := os.Getenv("BORDON_MUSICXML_XSD")
	if schema == "" {
		t.Skip("BORDON_MUSICXML_XSD names no schema of MusicXML")
	}
	lint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("xmllint is not installed (Debian's package libxml2-utils)")
	}
	cmd := exec.Command(lint, "--nonet", "--noout", "--schema", schema, file(t, "take.musicxml", score))
	cmd.Env = append(os.Environ(), "XML_CATALOG_FILES="+filepath.Join(filepath.Dir(schema), "catalog.xml"))
	out, err := cmd.CombinedOutput()
	assert.NoError(t, err, string(out))
}

// scores are pieces of every kind.
func scores(t *testing.T) map[string]export.Piece {
	t.Helper()
	of := func(w listen.TakeSettings, turns int, all ...planted) export.Piece {
		return pieceOf(t, stored(t, "take", performance(t, w, turns, all...)))
	}
	strummed := []planted{{turn: 1, note: 0, pitch: match.Strummed}, {turn: 1, note: 1, pitch: match.Strummed},
		{turn: 1, note: 2, pitch: match.Strummed}, {turn: 1, note: 3, pitch: match.Strummed}}
	return map[string]export.Piece{
		"lesson":       pieceOf(t, lesson(t)),
		"cejilla":      of(listen.TakeSettings{Key: "G", Tempo: 108, FirstBeat: 1, Cejilla: 3}, 2, planted{turn: 1, note: 1, pitch: match.OutOfScale, midi: 49}),
		"seguiriyas":   of(listen.TakeSettings{Key: "por-medio", Form: "seguiriyas", Tempo: 140, FirstBeat: 1.5, Line: "1:4 2:3 3:2 3+1/3:1 4:1 5+1/2:2"}, 3),
		"soleá":        of(listen.TakeSettings{Key: "por-medio", Form: "solea", Tempo: 76, FirstBeat: 1}, 2),
		"rises":        of(listen.TakeSettings{Key: "G", Tempo: 92, FirstBeat: 2, Tempos: []listen.TempoChange{{Turn: 3, Tempo: 96}}}, 4),
		"strummed":     of(listen.TakeSettings{Key: "G", Tempo: 104, FirstBeat: 4}, 2, strummed...),
		"two turns":    of(listen.TakeSettings{Key: "G", Tempo: 104, FirstBeat: 4, Line: "7:3 10:1 2/7:5 2/10:1"}, 4),
		"other tuning": of(listen.TakeSettings{Key: "D", Tempo: 96, FirstBeat: 1, Strings: "sixth-in-d", Line: "7:D2 8:E2 9:C#3 10:D3"}, 2),
		"tuplets":      asked(t, "F", "alegrias", "1+1/5:1 2:3 7:3 8:2 8+1/3:3 8+2/3:4 9:7|5 9+3/4:scale 10:chord 11+5/6:1 12+94/96:1 12+95/96:2", 0),
		"silencio":     asked(t, "Em", "alegrias/silencio", "7:b6 8:#4 9:#7 10:1", 2),
		"seven sharps": asked(t, "C#", "tangos", "1:3 2:b3 3:7 4:1", 12),
		"free":         asked(t, "Bb", "free:7", "4:3 5:2 6:7 7:1", 0),
	}
}

func TestMusicXMLIsValid(t *testing.T) {
	for name, p := range scores(t) {
		t.Run(name, func(t *testing.T) { valid(t, musicXMLOf(t, p)) })
	}
}

// The schema refuses what is not MusicXML, so that the test above means
// something.
func TestTheSchemaRefuses(t *testing.T) {
	score := musicXMLOf(t, asked(t, "F", "alegrias", "7:3 8:2", 0))
	valid(t, score)
	schema := os.Getenv("BORDON_MUSICXML_XSD")
	cmd := exec.Command("xmllint", "--nonet", "--noout", "--schema", schema,
		file(t, "take.musicxml", []byte(strings.Replace(string(score), "<fret>", "<fret>x", 1))))
	cmd.Env = append(os.Environ(), "XML_CATALOG_FILES="+filepath.Join(filepath.Dir(schema), "catalog.xml"))
	assert.Error(t, cmd.Run())
}

// tree reads a score with Python's own reader and tells its parts.
const tree = `
import json, sys
import xml.etree.ElementTree as E
root = E.parse(sys.argv[1]).getroot()
steps = {'C': 0, 'D': 2, 'E': 4, 'F': 5, 'G': 7, 'A': 9, 'B': 11}
def number(e, step, alter, octave):
    return steps[e.findtext(step)] + int(e.findtext(alter) or 0) + 12 * (int(e.findtext(octave)) + 1)
out = {'version': root.get('version'), 'title': root.findtext('work/work-title'), 'parts': []}
names = {p.get('id'): p.findtext('part-name') for p in root.findall('part-list/score-part')}
for part in root.findall('part'):
    p = {'id': part.get('id'), 'name': names[part.get('id')], 'bars': [], 'tuning': {}, 'capo': part.findtext('.//capo') or '', 'transpose': part.findtext('.//chromatic') or ''}
    for s in part.findall('.//staff-tuning'):
        p['tuning'][7 - int(s.get('line'))] = number(s, 'tuning-step', 'tuning-alter', 'tuning-octave')
    for bar in part.findall('measure'):
        divisions = int(bar.findtext('attributes/divisions') or 0) or divisions
        if bar.find('attributes/time') is not None:
            beats, unit = sum(int(b) for b in bar.findtext('attributes/time/beats').split('+')), int(bar.findtext('attributes/time/beat-type'))
        units, notes, said, at = 0, [], [], 0
        for e in bar:
            if e.tag == 'direction':
                said += [(e.get('placement'), w.text) for w in e.findall('direction-type/words')]
            if e.tag == 'note':
                length = int(e.findtext('duration')) * unit / 4 / divisions
                if e.find('pitch') is not None:
                    t = e.find('notations/technical')
                    notes.append({'at': at, 'length': length, 'midi': number(e.find('pitch'), 'step', 'alter', 'octave'),
                        'string': int(t.findtext('string')) if t is not None else 0, 'fret': int(t.findtext('fret')) if t is not None else 0,
                        'below': [w for place, w in said if place == 'below'], 'accidental': e.findtext('accidental') or ''})
                elif [w for place, w in said if place == 'below']: notes.append({'at': at, 'length': length, 'midi': 0, 'string': 0, 'fret': 0, 'below': [w for place, w in said if place == 'below'], 'accidental': ''})
                at += length
                said = []
        p['bars'].append({'length': at, 'whole': beats, 'notes': notes})
    out['parts'].append(p)
print(json.dumps(out))
`

type scoreRead struct {
	Version, Title string
	Parts          []struct {
		ID, Name        string
		Tuning          map[string]int
		Capo, Transpose string
		Bars            []struct {
			Length, Whole float64
			Notes         []noteRead
		}
	}
}

type noteRead struct {
	At, Length         float64
	MIDI, String, Fret int
	Below              []string
	Accidental         string
}

func readScore(t *testing.T, p export.Piece) scoreRead {
	t.Helper()
	var s scoreRead
	read(t, "xml.etree", tree, file(t, "take.musicxml", musicXMLOf(t, p)), &s)
	return s
}

// Every bar is as long as its signature says, and every note lies where its
// string and fret are.
func TestMusicXMLAddsUp(t *testing.T) {
	for name, p := range scores(t) {
		t.Run(name, func(t *testing.T) {
			s := readScore(t, p)
			assert.Equal(t, "4.0", s.Version)
			require.NotEmpty(t, s.Parts)
			tuning := s.Parts[len(s.Parts)-1].Tuning
			require.Len(t, tuning, 6)
			for _, part := range s.Parts {
				assert.Len(t, part.Bars, p.Turns)
				for i, bar := range part.Bars {
					assert.InDelta(t, bar.Whole, bar.Length, 1e-6, "%s, bar %d; thirds are no binary numbers", part.ID, i+1)
					for _, n := range bar.Notes {
						if n.String > 0 {
							assert.Equal(t, n.MIDI, tuning[string(rune('0'+n.String))]+n.Fret, "%s, bar %d", part.ID, i+1)
						}
					}
				}
			}
		})
	}
}

func TestMusicXMLMarksTheMistakes(t *testing.T) {
	s := readScore(t, pieceOf(t, lesson(t)))
	require.Len(t, s.Parts, 3)
	assert.Equal(t, "alegrías, G major", s.Title)
	heard, wanted := s.Parts[0], s.Parts[1]
	assert.Equal(t, []string{"heard", "asked"}, []string{heard.Name, wanted.Name})
	type at struct {
		bar  int
		beat float64
	}
	said := map[at][]string{}
	for i, bar := range heard.Bars {
		for _, n := range bar.Notes {
			if len(n.Below) > 0 {
				said[at{i + 1, n.At + 1}] = n.Below
			}
		}
	}
	assert.Equal(t, map[at][]string{
		{1, 10}:  {"late"},
		{2, 8}:   {"not in key"},
		{2, 10}:  {"octave"},
		{3, 7}:   {"wrong", "early"},
		{3, 9}:   {"?"},
		{4, 7.5}: {"extra"},
		{4, 8}:   {"no bass"},
	}, said)
	flat := heard.Bars[1].Notes[1]
	assert.Equal(t, noteRead{At: 7, Length: 1, MIDI: 46, String: 5, Fret: 1, Below: []string{"not in key"}, Accidental: "flat"}, flat)
	assert.Zero(t, heard.Bars[3].Notes[2].MIDI, "a rest where nothing was heard")
	var counted []string
	for _, n := range wanted.Bars[0].Notes {
		if n.MIDI > 0 {
			counted = append(counted, n.Below...)
		}
	}
	assert.Equal(t, []string{"7", "8", "9", "10"}, counted)
}

// With a cejilla all is written as fingered; what sounds is told.
func TestMusicXMLWithACejilla(t *testing.T) {
	s := readScore(t, scores(t)["cejilla"])
	tab := s.Parts[2]
	assert.Equal(t, []string{"3", "3", "3"}, []string{tab.Capo, tab.Transpose, s.Parts[0].Transpose})
	assert.Equal(t, []noteRead{{At: 6, Length: 1, MIDI: 47, String: 5, Fret: 2, Below: []string{}}, {At: 7, Length: 1, MIDI: 45, String: 5, Below: []string{}},
		{At: 8, Length: 1, MIDI: 42, String: 6, Fret: 2, Below: []string{}}, {At: 9, Length: 1, MIDI: 43, String: 6, Fret: 3, Below: []string{}}}, tab.Bars[0].Notes)
	assert.Equal(t, 46, s.Parts[0].Bars[0].Notes[1].MIDI, "49 sounds, B flat is fingered")
	assert.Contains(t, string(musicXMLOf(t, scores(t)["cejilla"])), "<words>cejilla 3</words>")
}

// LilyPond reads the scores and draws them without a complaint; every bar comes
// out even, or it would complain.
func TestLilyPondDrawsIt(t *testing.T) {
	for _, program := range []string{"musicxml2ly", "lilypond"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skipf("%s is not installed (Debian's package lilypond)", program)
		}
	}
	all := scores(t)
	for _, name := range []string{"lesson", "seguiriyas", "tuplets"} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			in := file(t, "take.musicxml", musicXMLOf(t, all[name]))
			out, err := exec.Command("musicxml2ly", "-o", filepath.Join(dir, "take.ly"), in).CombinedOutput()
			require.NoError(t, err, string(out))
			assert.NotRegexp(t, `(?i)warning|error`, string(out))
			out, err = exec.Command("lilypond", "--png", "-o", filepath.Join(dir, "take"), filepath.Join(dir, "take.ly")).CombinedOutput()
			require.NoError(t, err, string(out))
			assert.NotRegexp(t, `(?i)warning|error`, string(out))
			pages, err := filepath.Glob(filepath.Join(dir, "take*.png"))
			require.NoError(t, err)
			assert.NotEmpty(t, pages)
			if *shots != "" {
				for _, page := range pages {
					b, err := os.ReadFile(page)
					require.NoError(t, err)
					require.NoError(t, os.WriteFile(filepath.Join(*shots, name+"-"+filepath.Base(page)), b, 0o644))
				}
			}
		})
	}
}
