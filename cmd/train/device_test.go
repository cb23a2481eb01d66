//go:build cuda

package main

import (
	"math"
	"math/rand/v2"
	"testing"

	"bordon/dsp"

	"github.com/stretchr/testify/require"
)

// The card finds the slopes that the processor finds.
func TestCardAgreesWithTheProcessor(t *testing.T) {
	examples, _, err := gather(3, 0, 2, onlyModels, 8)
	require.NoError(t, err)
	d, err := newDevice(len(examples))
	require.NoError(t, err)
	for look := range looks {
		var labels, evidence []byte
		for _, ex := range examples {
			labels = ex.appendLabel(labels)
			for _, v := range ex.looks[look] {
				evidence = append(evidence, byte(v))
			}
		}
		d.clear()
		require.NoError(t, d.add(labels, evidence, len(examples)))
		net := dsp.NewNet(dsp.Widths{Hidden1: 40, Opinion: 9, Hidden2: 50})
		start(net, rand.New(rand.NewPCG(uint64(look), 100)))
		which, ids := make([]int, len(examples)), make([]int32, len(examples))
		for i := range which {
			which[i], ids[i] = i, int32(i)
		}
		w := newWorker(net, examples, look, 0, len(examples), rand.New(rand.NewPCG(0, 0)))
		w.pass(which)
		require.NoError(t, d.take(net, len(ids)))
		require.NoError(t, d.pass(ids, 1, 0))
		got := dsp.NewNet(net.Widths)
		require.NoError(t, d.fetch(got, "bordon_slopes"))
		for k, part := range got.Parts() {
			var off, size float64
			for i, v := range part {
				want := float64(w.grads[k][i])
				off += (float64(v) - want) * (float64(v) - want)
				size += want * want
			}
			// TF32 keeps ten bits of what it multiplies.
			require.Less(t, math.Sqrt(off), 0.01*math.Sqrt(size)+1e-6, "look %d, tensor %d", look, k)
		}
		l, err := d.lost(len(ids))
		require.NoError(t, err)
		require.InEpsilon(t, w.loss.class, l.class, 0.01)
		require.InEpsilon(t, w.loss.sound, l.sound, 0.01)
		require.Equal(t, w.loss.notes, l.notes)
	}
}
