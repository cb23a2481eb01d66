package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"bordon/dsp"

	"github.com/stretchr/testify/require"
)

// The same arguments give the same report, however many work at it; only the
// speed is a measurement.
func TestReportIsTheSameAgain(t *testing.T) {
	conds, _ := available(conditions())
	cfg := matrixConfig{seed: 2, takes: 1, short: true, halves: []half{tunedOn, notTunedOn}, conditions: regexp.MustCompile("^(base|laptop)$")}
	report := func(workers int) (string, map[string]any) {
		r := &report{halves: cfg.halves, speed: none, settings: runSettings{Seed: 2, Takes: 1, Weights: "built in"}}
		heard, err := runAll(matrix(cfg, conds, fewGuitars()), []ear{{}}, workers, func(int) {})
		require.NoError(t, err)
		r.outcomes = heard[0]
		var text, object bytes.Buffer
		r.text(&text)
		require.NoError(t, r.json(&object))
		var v map[string]any
		require.NoError(t, json.Unmarshal(object.Bytes(), &v))
		return text.String(), v
	}
	text, object := report(1)
	text3, object3 := report(3)
	require.Equal(t, text, text3)
	require.Equal(t, object, object3)
	for _, want := range []string{"Half of the seeds tuned on", "Half of the seeds not tuned on", "dull, left out of all tuning", "let off", "laptop", "confidence", "note tracking"} {
		require.Contains(t, text, want)
	}
	require.Equal(t, schema, object["schema"])
	require.Len(t, object["halves"], 2)
	second := object["halves"].([]any)[1].(map[string]any)
	require.Len(t, second["conditions"], 2)
	require.Len(t, second["left_out_of_tuning"], 1)
	all := second["all"].(map[string]any)
	require.Equal(t, 3.0, all["takes"])
	require.Greater(t, all["notes"], 10.0)
	require.Greater(t, all["accuracy"].(map[string]any)["percent"], 80.0, "the ear hears")
}

// Parts switched off, and other weights, reach the ear.
func TestEarsDiffer(t *testing.T) {
	cfg := matrixConfig{seed: 2, takes: 1, short: true, halves: []half{tunedOn}, conditions: regexp.MustCompile("^base$")}
	entries := matrix(cfg, conditions(), fewGuitars())[:1]
	names, ears := variants(ear{})
	ears = append(ears, ear{weights: dsp.NewWeights()})
	heard, err := runAll(entries, ears, 2, func(int) {})
	require.NoError(t, err)
	require.Len(t, heard, len(names)+1)
	same := 0
	for _, h := range heard[1:] {
		if h[0].judged.check.Score == heard[0][0].judged.check.Score {
			same++
		}
	}
	require.Less(t, same, 3)
	require.NotEqual(t, heard[0][0].judged.check.Beats, heard[len(names)][0].judged.check.Beats, "other weights hear otherwise")
}

func TestKeepWorst(t *testing.T) {
	dir := t.TempDir()
	cfg := matrixConfig{seed: 2, takes: 1, short: true, halves: []half{tunedOn}, conditions: regexp.MustCompile("^bare$")}
	e := matrix(cfg, conditions(), fewGuitars())[0]
	require.NoError(t, keep(dir, e))
	files, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	require.Len(t, files, 2)
	data, err := os.ReadFile(files[0])
	require.NoError(t, err)
	var truth struct{ Truth []any }
	require.NoError(t, json.Unmarshal(data, &truth))
	require.NotEmpty(t, truth.Truth)
	data, err = os.ReadFile(files[1])
	require.NoError(t, err)
	require.Equal(t, "RIFF", string(data[:4]))
}

func TestWorst(t *testing.T) {
	all := []outcome{{figures: figures{faults: make([]fault, 1)}}, {}, {figures: figures{faults: make([]fault, 3)}}}
	got := worst(all, 5)
	require.Len(t, got, 2)
	require.Len(t, got[0].figures.faults, 3)
	require.Len(t, worst(all, 1), 1)
}

func TestUsage(t *testing.T) {
	for want, args := range map[string][]string{
		"it must be 1 to 1000":          {"-takes", "0"},
		"must be tuned, not-tuned or":   {"-half", "third"},
		"the ear has no part \"nose\"":  {"-without", "past,nose"},
		"it must be text or json":       {"-format", "xml"},
		"say how many with -worst":      {"-keep", "x"},
		"error parsing regexp":          {"-condition", "("},
		"eval takes nothing else":       {"take.wav"},
		"no such file":                  {"-weights", filepath.Join(t.TempDir(), "none")},
		"flag provided but not defined": {"-nonsense"},
	} {
		require.ErrorContains(t, run(args, io.Discard, io.Discard), want)
	}
	p, err := parseParts("past, shape")
	require.NoError(t, err)
	require.Equal(t, dsp.Past|dsp.Shape, p)
}
