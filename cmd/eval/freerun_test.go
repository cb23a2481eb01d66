package main

import (
	"bytes"
	"encoding/json"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// On the true grid the beats are right, whoever scores them, and the ear hears;
// the report is the same again, however many work at it.
func TestFreeReport(t *testing.T) {
	conds, _ := availableFree(freeConditions())
	cfg := matrixConfig{seed: 2, takes: 1, halves: []half{tunedOn, notTunedOn}, conditions: regexp.MustCompile("^(fast|silence only|random)$")}
	run := func(cfg matrixConfig, workers int) (string, []byte) {
		r := &freeReport{halves: cfg.halves, speed: none, settings: runSettings{Seed: 2, Takes: 1, Weights: "built in"}}
		entries := freeEntries(cfg, conds, fewGuitars())
		var err error
		r.outcomes, err = runFree(entries, givenGrid, ear{}, workers, func(int) {})
		require.NoError(t, err)
		r.by, err = scoreFree(r.outcomes)
		require.NoError(t, err)
		r.worst = worstFree(r.outcomes, 1)
		var text, object bytes.Buffer
		r.text(&text)
		require.NoError(t, r.json(&object))
		return text.String(), object.Bytes()
	}
	text, object := run(cfg, 2)
	few := cfg
	few.conditions, few.halves = regexp.MustCompile("^(fast|silence only)$"), cfg.halves[:1]
	text1, object1 := run(few, 1)
	text2, object2 := run(few, 2)
	require.Equal(t, text1, text2)
	require.Equal(t, string(object1), string(object2))
	for _, want := range []string{"Half of the seeds tuned on", "Half of the seeds not tuned on", "left out of all tuning", "dull", "fast", "worst takes", "silence only"} {
		assert.Contains(t, text, want)
	}
	var v struct {
		Schema string
		Halves []struct {
			All    freeRow
			Kinds  []freeRow
			Others []freeRow `json:"something_else"`
		}
	}
	require.NoError(t, json.Unmarshal(object, &v))
	require.Equal(t, freeSchema, v.Schema)
	require.Len(t, v.Halves, 2)
	for _, h := range v.Halves {
		assert.Len(t, h.Kinds, 2)
		assert.Len(t, h.Others, 1)
		assert.Equal(t, decimal(1), h.All.Figures["beat_f"])
		assert.Equal(t, decimal(1), h.All.Figures["downbeat_f"])
		assert.Equal(t, decimal(0), h.All.Figures["accuracy_lost"])
		assert.Equal(t, decimal(0), h.All.Figures["segments_invented"])
		assert.Greater(t, h.All.Figures["accuracy"], decimal(80), "the ear hears")
		assert.Equal(t, decimal(0), h.Others[0].Figures["refused_rightly"], "the true grid refuses nothing")
	}
}

// Other halves and kinds draw other takes.
func TestFreeEntriesDiffer(t *testing.T) {
	conds, _ := availableFree(freeConditions())
	cfg := matrixConfig{seed: 1, takes: 2, halves: []half{tunedOn, notTunedOn}}
	seeds := map[uint64]string{}
	for _, e := range freeEntries(cfg, conds, fewGuitars()) {
		assert.Empty(t, seeds[e.seed], e.name())
		seeds[e.seed] = e.name()
		assert.True(t, e.half == notTunedOn || !e.guitar.apart, "left out of tuning: %s", e.name())
	}
}
