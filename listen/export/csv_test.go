package export_test

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"strings"
	"testing"

	"bordon/listen"
	"bordon/listen/export"
	"bordon/listen/match"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rows reads CSV with Python's own reader, strictly.
const rows = `
import csv, json, sys
with open(sys.argv[1], newline='', encoding='utf-8') as f:
    print(json.dumps(list(csv.DictReader(f, strict=True))))
`

func readCSV(t *testing.T, b []byte) (all []map[string]string) {
	t.Helper()
	read(t, "csv", rows, file(t, "take.csv", b), &all)
	return all
}

func TestCSVHoldsTheLesson(t *testing.T) {
	s := lesson(t)
	require.NoError(t, s.Overrule(2, "8", match.Right, "it was A", noon))
	b := csvOf(t, pieceOf(t, s))
	assert.Equal(t, strings.Count(string(b), "\n"), strings.Count(string(b), "\r\n"), "RFC 4180 ends lines with CR LF")
	all := readCSV(t, b)
	require.Len(t, all, 17, "16 verdicts and an extra note")
	assert.Equal(t, map[string]string{"take": "2030-01-31T18-05-07-G", "key": "G", "form": "alegrias", "cejilla": "0", "turn": "1", "beat": "10",
		"time_s": "9.1923", "expected": "G2", "expected_midi": "43", "degree": "1", "string": "6", "fret": "3", "heard": "G2", "heard_midi": "43",
		"heard_time_s": "9.2763", "cents": "0", "confidence": "0.97", "pitch": "right", "timing": "late", "offset_ms": "84", "ear": "", "reason": ""}, all[3])
	assert.Equal(t, []string{"right", "out-of-scale", "Bb2"}, []string{all[5]["pitch"], all[5]["ear"], all[5]["heard"]}, "the player's word, and the ear's")
	assert.Equal(t, "-74", all[8]["offset_ms"], "a number is no formula")
	extra := all[13]
	assert.Equal(t, []string{"extra", "4", "", "D3", ""}, []string{extra["pitch"], extra["turn"], extra["beat"], extra["heard"], extra["expected"]})
	assert.Equal(t, []string{"missing", "", ""}, []string{all[14]["pitch"], all[14]["heard"], all[14]["offset_ms"]})
}

// SQLite counts what the score counts.
func TestSQLiteCountsIt(t *testing.T) {
	if _, err := exec.LookPath("sqlite3"); err != nil {
		t.Skip("sqlite3 is not installed (Debian's package sqlite3)")
	}
	path := file(t, "take.csv", csvOf(t, pieceOf(t, lesson(t))))
	out, err := exec.Command("sqlite3", "-json", ":memory:", ".import --csv "+path+" verdicts",
		"SELECT pitch, count(*) AS n, round(avg(nullif(offset_ms, '')), 1) AS mean FROM verdicts GROUP BY pitch ORDER BY pitch").CombinedOutput()
	require.NoError(t, err, string(out))
	var counts []struct {
		Pitch string
		N     int
		Mean  *float64
	}
	require.NoError(t, json.Unmarshal(bytes.TrimSpace(out), &counts), string(out))
	n := map[string]int{}
	for _, c := range counts {
		n[c.Pitch] = c.N
	}
	assert.Equal(t, map[string]int{"right": 11, "out-of-scale": 1, "octave": 1, "in-scale": 1, "unsure": 1, "missing": 1, "extra": 1}, n)
}

// Names and reasons from outside are text in a spreadsheet, whatever they are.
func TestCSVHoldsNoFormula(t *testing.T) {
	for name, cell := range map[string]string{
		"=HYPERLINK(\"x\")": `'=HYPERLINK("x")`,
		"+1+cmd|' /C x'!A0": `'+1+cmd|' /C x'!A0`,
		"-2+3":              "'-2+3",
		"@SUM(A1)":          "'@SUM(A1)",
		" =1+1":             "' =1+1",
		"\t=1+1":            "' =1+1",
		"\r\n=1+1":          "'  =1+1",
		"＝1+1":              "'＝1+1",
		"\ufeff=1":          "'\ufeff=1",
		"a=b":               "a=b",
		"two\nlines, \"q\"": `two lines, "q"`,
		"bad \xff byte\x00": "bad \ufffd byte ",
		"":                  "",
	} {
		p := pieceOf(t, lesson(t))
		p.Name, p.Notes[0].Reason = name, name
		row := readCSV(t, csvOf(t, p))[0]
		assert.Equal(t, []string{cell, cell}, []string{row["take"], row["reason"]}, "%q", name)
	}
}

// The columns that bordon-check/1 has as well are called as they are there.
func TestCSVIsNamedAsTheContractNames(t *testing.T) {
	b, err := json.Marshal(performance(t, listen.TakeSettings{Key: "G", Tempo: 104, FirstBeat: 4}, 1).Check)
	require.NoError(t, err)
	for _, name := range []string{"key", "form", "cejilla", "turn", "beat", "time_s", "expected", "degree", "heard", "cents", "confidence", "pitch", "timing", "offset_ms", "reason"} {
		assert.Contains(t, export.CSVHeader, name)
		assert.Contains(t, string(b), `"`+name+`":`)
	}
}
