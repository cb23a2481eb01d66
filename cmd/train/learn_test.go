package main

import (
	"bytes"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bordon/dsp"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var onlyModels = cast{draw: func(*rand.Rand) instrument { return model{} }}

// The gradient of every layer against the slope of the loss itself.
func TestGradientIsTheSlope(t *testing.T) {
	ex, _, err := gather(3, 0, 1, onlyModels, 1)
	require.NoError(t, err)
	var few []*example
	notes := 0
	for _, e := range ex {
		// The place in time is learned by a clipped error, which the loss
		// that is reported does not show, nor does it show weights: keep both out.
		e.late, e.weight = 0, 1
		if e.class > 0 && notes < 8 || e.class == 0 && len(few)-notes < 8 {
			if e.class > 0 {
				notes++
			}
			few = append(few, e)
		}
	}
	require.Positive(t, notes)
	which := make([]int, len(few))
	for i := range which {
		which[i] = i
	}
	rng := rand.New(rand.NewPCG(1, 1))
	net := dsp.NewNet(usual)
	start(net, rng)
	for h := range net.Hidden2 {
		net.W4[h*dsp.Outputs+dsp.Outputs-1] = 0
	}
	w := newWorker(net, few, short, 0, len(few), rng)
	objective := func() float64 {
		w.pass(which)
		return w.loss.class + 0.3*w.loss.strum + 2*w.loss.sound
	}
	objective()
	var grads [][]float32
	for _, g := range w.grads {
		grads = append(grads, append([]float32(nil), g...))
	}
	for k, part := range net.Parts() {
		for range 6 {
			i := rng.IntN(len(part))
			if len(part) == net.Hidden2*dsp.Outputs && i%dsp.Outputs == dsp.Outputs-1 {
				continue
			}
			const step = 2e-3
			was := part[i]
			part[i] = was + step
			up := objective()
			part[i] = was - step
			down := objective()
			part[i] = was
			slope := (up - down) / (2 * step)
			// Single precision, and kinks of the rectified units within a step.
			assert.InDelta(t, slope, float64(grads[k][i]), 0.03+0.05*max(slope, -slope), "part %d, weight %d", k, i)
		}
	}
}

// A tiny training learns something about takes that it has not seen.
func TestTrainingLearns(t *testing.T) {
	if testing.Short() {
		t.Skip("renders and learns for some seconds")
	}
	ex, tally, err := gather(1, 0, 28, onlyModels, 2)
	require.NoError(t, err)
	unseen, _, err := gather(2, 0, 6, onlyModels, 2)
	require.NoError(t, err)
	assert.Less(t, float64(tally.unheard), 0.1*float64(tally.bass), "the gate lets bass notes through, all but those under loud noise")
	fresh := func() *dsp.Net {
		net := dsp.NewNet(usual)
		start(net, rand.New(rand.NewPCG(1, 1)))
		return net
	}
	net := fresh()
	p := plan{epochs: 3, batch: 64, rate: 1e-3, workers: 2, seed: 1}
	var log bytes.Buffer
	require.NoError(t, learn(net, ex, short, p, &log, func() error { return nil }))
	got := measure(net, unseen, short, 2)
	// Whoever knew only how often each pitch begins would lose the entropy of
	// that; what the evidence tells must take a tenth off it at least.
	t.Logf("%.3f of an entropy of %.3f", got.class/float64(got.n), entropy(unseen))
	assert.Less(t, got.class/float64(got.n), 0.9*entropy(unseen), log.String())
	assert.Less(t, share(got.falsely, got.n-got.notes), 0.2)

	gate := dsp.NewGate()
	said, err := learnGate(gate, ex, unseen, p)
	require.NoError(t, err)
	t.Log(said)
	w := newPorter(gate, unseen, 1)
	var began, others []float64
	for i := range unseen {
		w.look([]int{i})
		if unseen[i].began() {
			began = append(began, sigmoid(w.out[0]))
		} else {
			others = append(others, sigmoid(w.out[0]))
		}
	}
	// A gate that knew nothing would refuse as many of both.
	assert.Less(t, 2*below(began, 0.05), below(others, 0.05))

	again := fresh()
	require.NoError(t, learn(again, ex, short, p, io.Discard, func() error { return nil }))
	assert.Equal(t, net, again, "the same seed gives the same weights")
}

func share(n, of int) float64 { return float64(n) / float64(max(of, 1)) }

// entropy of the classes of examples, nats.
func entropy(examples []*example) float64 {
	var count [1 + dsp.Pitches]float64
	for _, e := range examples {
		count[e.class]++
	}
	h := 0.0
	for _, c := range count {
		if p := c / float64(len(examples)); p > 0 {
			h -= p * math.Log(p)
		}
	}
	return h
}

// usual are the widths of the nets that are tested on.
var usual = dsp.NewWeights().Short.Widths

func TestWidths(t *testing.T) {
	for _, tt := range []struct {
		text string
		want dsp.Widths
		err  string
	}{
		{"", usual, ""},
		{"144,24,320", dsp.Widths{Hidden1: 144, Opinion: 24, Hidden2: 320}, ""},
		{"144,24", usual, "three are needed"},
		{"144,24,320x", usual, `"320x" is no number`},
		{"80,24,320", usual, "80 lies outside 96, which it is now, to 1024"},
		{"144,24,99999", usual, "99999 lies outside 192"},
	} {
		got, err := widths(tt.text, usual)
		assert.Equal(t, tt.want, got, tt.text)
		if tt.err == "" {
			assert.NoError(t, err, tt.text)
		} else {
			assert.ErrorContains(t, err, tt.err, tt.text)
		}
	}
}

// A net that was widened answers as before, and learns with what is new.
func TestWiden(t *testing.T) {
	ex, _, err := gather(3, 0, 1, onlyModels, 1)
	require.NoError(t, err)
	ex = ex[:min(len(ex), 50)]
	rng := rand.New(rand.NewPCG(1, 1))
	net := dsp.NewNet(usual)
	start(net, rng)
	wide := widen(net, dsp.Widths{Hidden1: 120, Opinion: 20, Hidden2: 200}, rng)
	before, after := measure(net, ex, long, 2), measure(wide, ex, long, 2)
	// Single precision, and sums of another length.
	assert.InDelta(t, before.class, after.class, 1e-3)
	assert.InDelta(t, before.strum, after.strum, 1e-3)
	assert.InDelta(t, before.sound, after.sound, 1e-3)
	assert.Equal(t, net, widen(net, usual, nil))

	w := newWorker(wide, ex, long, 0, len(ex), rng)
	which := make([]int, len(ex))
	for i := range which {
		which[i] = i
	}
	w.pass(which)
	some := func(g []float32) bool { return slices.ContainsFunc(g, func(v float32) bool { return v != 0 }) }
	assert.True(t, some(w.g.W2[usual.Hidden1*wide.Opinion:]), "new units of a pitch begin to be heard")
	assert.True(t, some(w.g.W4[usual.Hidden2*dsp.Outputs:]), "so do new units of all")
}

func TestAverage(t *testing.T) {
	a, b := dsp.NewNet(usual), dsp.NewNet(usual)
	a.W1[3], b.W1[3], b.PB[0] = 1, 2, -4
	average(a, b)
	assert.Equal(t, []float32{0, 1.5}, a.W1[2:4])
	assert.Equal(t, float32(-2), a.PB[0])
	assert.Equal(t, float32(2), b.W1[3])
}
