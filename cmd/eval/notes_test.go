package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"

	"bordon/fixtures"

	"github.com/stretchr/testify/require"
)

func TestScoreNotes(t *testing.T) {
	a := func(at, hz float64) note { return note{at, hz} }
	for name, tt := range map[string]struct {
		reference, estimated []note
		matched              int
	}{
		"nothing":              {nil, nil, 0},
		"nothing heard":        {[]note{a(1, 110)}, nil, 0},
		"right":                {[]note{a(1, 110)}, []note{a(1.03, 110)}, 1},
		"50 ms late":           {[]note{a(1, 110)}, []note{a(1.05, 110)}, 1},
		"51 ms late":           {[]note{a(1, 110)}, []note{a(1.051, 110)}, 0},
		"a quarter tone off":   {[]note{a(1, 110)}, []note{a(1, 110*math.Exp2(0.499/12))}, 1},
		"more than that":       {[]note{a(1, 110)}, []note{a(1, 110*math.Exp2(0.501/12))}, 0},
		"an octave off":        {[]note{a(1, 110)}, []note{a(1, 220)}, 0},
		"one heard twice":      {[]note{a(1, 110)}, []note{a(1, 110), a(1.02, 110)}, 1},
		"two close, one heard": {[]note{a(1, 110), a(1.02, 110)}, []note{a(1.01, 110)}, 1},
		// The nearest first would leave the last two alone.
		"as many as can be": {[]note{a(1, 110), a(1.04, 110)}, []note{a(0.96, 110), a(1.01, 110)}, 2},
	} {
		s := scoreNotes(tt.reference, tt.estimated)
		require.Equal(t, noteScore{len(tt.reference), len(tt.estimated), tt.matched}, s, name)
	}
	s := noteScore{reference: 4, estimated: 2, matched: 1}
	require.Equal(t, []float64{0.5, 0.25, 1.0 / 3}, []float64{s.precision(), s.recall(), s.fMeasure()})
	require.Zero(t, noteScore{}.fMeasure())
}

// python is Debian's, which has its packages.
const python = "/usr/bin/python3"

// python3-mir-eval gives the same numbers on the same lists: random ones,
// crowded so that matching matters, and those of a judged take.
func TestScoresAreThoseOfMirEval(t *testing.T) {
	if err := exec.Command(python, "-c", "import mir_eval").Run(); err != nil {
		t.Skipf("%s has no mir_eval (Debian's package python3-mir-eval): %v", python, err)
	}
	type lists struct{ reference, estimated []note }
	var cases []lists
	r := rand.New(rand.NewPCG(3, 4))
	for n := range 60 {
		draw := func(off float64) []note {
			var out []note
			for range r.IntN(3 + n/2) {
				midi := 40 + float64(r.IntN(3)) + 0.01*float64(r.IntN(101)) + off
				out = append(out, note{0.01 * float64(r.IntN(80)), 440 * math.Exp2((midi-69)/12)})
			}
			return out
		}
		// No two lie a quarter tone apart to the last bit, where rounding tells.
		cases = append(cases, lists{draw(0), draw(0.003)})
	}
	takes, err := fixtures.Scenario()
	require.NoError(t, err)
	for _, take := range takes[1:2] {
		x, err := take.Render(44100)
		require.NoError(t, err)
		j, err := judge(take, x, 44100, ear{})
		require.NoError(t, err)
		ref, est := noteLists(j)
		require.NotEmpty(t, ref)
		require.NotEmpty(t, est)
		cases = append(cases, lists{ref, est})
	}
	var in bytes.Buffer
	plain := func(notes []note) [][2]float64 {
		out := [][2]float64{}
		for _, n := range notes {
			out = append(out, [2]float64{n.at, n.hz})
		}
		return out
	}
	for _, c := range cases {
		require.NoError(t, json.NewEncoder(&in).Encode(map[string]any{"reference": plain(c.reference), "estimated": plain(c.estimated)}))
	}
	cmd := exec.Command(python, "testdata/notes.py")
	cmd.Stdin = &in
	var said bytes.Buffer
	cmd.Stderr = &said
	out, err := cmd.Output()
	require.NoError(t, err, said.String())
	lines := bytes.Split(bytes.TrimSpace(out), []byte("\n"))
	require.Len(t, lines, len(cases))
	for i, c := range cases {
		var p, recall, f float64
		_, err := fmt.Sscan(string(lines[i]), &p, &recall, &f)
		require.NoError(t, err)
		s := scoreNotes(c.reference, c.estimated)
		require.InDelta(t, p, s.precision(), 1e-9, "precision of list %d", i)
		require.InDelta(t, recall, s.recall(), 1e-9, "recall of list %d", i)
		require.InDelta(t, f, s.fMeasure(), 1e-9, "F of list %d", i)
	}
}
