package main

import (
	"bytes"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"bordon/dsp"

	"github.com/stretchr/testify/require"
)

// What is written of examples is read back, and a file that is not whole is refused.
func TestShardsHoldTheExamples(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, shard(dir, 3, 2, onlyModels, 2, io.Discard))
	examples, _, err := gather(3, 0, 2, onlyModels, 2)
	require.NoError(t, err)
	path := filepath.Join(dir, "3-000000.examples")
	for _, look := range inFiles {
		labels, evidence, n, err := readShard(path, look)
		require.NoError(t, err)
		require.Len(t, examples, n)
		for i, ex := range examples {
			require.Equal(t, ex.appendLabel(nil), labels[i*labelLen:(i+1)*labelLen])
			for k, v := range ex.looks[look] {
				require.Equal(t, v, int8(evidence[i*dsp.EvidenceLen+k]))
			}
		}
	}
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, bad := range [][]byte{nil, b[:len(b)-1], append(bytes.Clone(b), 0), bytes.Repeat([]byte{0xff}, len(b))} {
		require.NoError(t, os.WriteFile(path, bad, 0o644))
		_, _, _, err := readShard(path, short)
		require.Error(t, err)
	}
}

// The wiring gives the features that Gather gives.
func TestWiringIsGather(t *testing.T) {
	w := wires()
	rng := rand.New(rand.NewPCG(1, 1))
	var ev dsp.Evidence
	var values []float32
	for _, part := range ev.Parts() {
		for i := range part {
			part[i] = float32(rng.NormFloat64())
		}
		values = append(values, part...)
	}
	want, around := make([]float32, dsp.Rows*dsp.Features), make([]float32, dsp.AroundN)
	dsp.Gather(want, &ev, 40, 54)
	dsp.Around(around, &ev)
	values = append(values, 0)
	for i, p := range w.places {
		if i%dsp.Features >= dsp.Features-2 {
			continue // where the bass strings end
		}
		// Rounded otherwise.
		require.InDelta(t, want[i], p.base+p.w0*values[p.at]+p.w1*values[p.at+1], 1e-5, "row %d, feature %d", i/dsp.Features, i%dsp.Features)
	}
	for i, at := range w.around {
		require.Equal(t, around[i], values[at])
	}
	for k, part := range []dsp.Part{dsp.Spectra, dsp.Past, dsp.Autocorrelation, dsp.Shape} {
		stripped := ev
		part.Strip(&stripped)
		at := 0
		for _, of := range stripped.Parts() {
			for _, v := range of {
				if w.parts[at]>>k&1 == 1 {
					require.Zero(t, v)
				} else {
					require.Equal(t, values[at], v)
				}
				at++
			}
		}
	}
}
