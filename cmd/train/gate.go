package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"

	"bordon/dsp"
)

// porter holds one goroutine's share of a batch of the gate's.
type porter struct {
	gate       *dsp.Gate
	examples   []*example
	in, h, out []float32
	dh, dout   []float32
	g          *dsp.Gate
	grads      [][]float32
	loss       loss
}

func newPorter(gate *dsp.Gate, examples []*example, batch int) *porter {
	f := func(n int) []float32 { return make([]float32, batch*n) }
	w := &porter{gate: gate, examples: examples, in: f(dsp.GateIn), h: f(dsp.GateHidden), out: f(1), dh: f(dsp.GateHidden), dout: f(1), g: dsp.NewGate()}
	w.grads = w.g.Parts()
	return w
}

func (w *porter) slopes() [][]float32 { return w.grads }
func (w *porter) lost() loss          { return w.loss }

// began reports whether a note or a strum began at the example's moment.
func (e *example) began() bool { return e.class > 0 || e.strum }

// look fills w.out with what the gate makes of the examples, log odds.
func (w *porter) look(which []int) {
	var ev dsp.Evidence
	for i, id := range which {
		w.examples[id].looks[short].unpack(&ev)
		dsp.Outline(w.in[i*dsp.GateIn:(i+1)*dsp.GateIn], &ev)
	}
	n := len(which)
	forward(w.h, w.in, w.gate.W1, w.gate.B1, n, dsp.GateIn, dsp.GateHidden, true)
	forward(w.out, w.h, w.gate.W2, w.gate.B2, n, dsp.GateHidden, 1, false)
}

func (w *porter) pass(which []int) {
	n := len(which)
	w.loss = loss{n: n}
	for _, g := range w.grads {
		clear(g)
	}
	w.look(which)
	for i, id := range which {
		ex := w.examples[id]
		y := 0.0
		if ex.began() {
			y = 1
		}
		p := sigmoid(w.out[i])
		w.loss.strum -= math.Log(max(1e-9, 1-math.Abs(y-p)))
		w.dout[i] = ex.weight * float32(p-y)
	}
	dout, dh := w.dout[:n], w.dh[:n*dsp.GateHidden]
	backward(dh, w.g.W2, w.g.B2, dout, w.h, w.gate.W2, n, dsp.GateHidden, 1)
	unrelu(dh, w.h)
	backward(nil, w.g.W1, w.g.B1, dh, w.in, w.gate.W1, n, dsp.GateIn, dsp.GateHidden)
}

// learnGate trains the gate on the examples and says what it would refuse of
// the unseen ones.
func learnGate(g *dsp.Gate, examples, unseen []*example, p plan) (string, error) {
	rng := rand.New(rand.NewPCG(p.seed, 99))
	for _, l := range []struct {
		w  []float32
		in int
	}{{g.W1, dsp.GateIn}, {g.W2, dsp.GateHidden}} {
		for i := range l.w {
			l.w[i] = float32(rng.NormFloat64() * math.Sqrt(2/float64(l.in)))
		}
	}
	porters := make([]learner, p.workers)
	for i := range porters {
		porters[i] = newPorter(g, examples, p.batch/p.workers+1)
	}
	if err := descend(g.Parts(), porters, len(examples), p, io.Discard, func() error { return nil }); err != nil {
		return "", err
	}
	const batch = 256
	w := newPorter(g, unseen, batch)
	which := make([]int, 0, batch)
	var began, others []float64
	for i := range unseen {
		if which = append(which, i); len(which) == batch || i == len(unseen)-1 {
			w.look(which)
			for k, id := range which {
				if ex := unseen[id]; ex.began() {
					began = append(began, sigmoid(w.out[k]))
				} else {
					others = append(others, sigmoid(w.out[k]))
				}
			}
			which = which[:0]
		}
	}
	out := ""
	for _, least := range []float64{0.003, 0.01, 0.03} {
		out += fmt.Sprintf(" below %g: %.2f %% of the moments at which something began, %.1f %% of the others;", least, 100*below(began, least), 100*below(others, least))
	}
	return out, nil
}

func below(of []float64, least float64) float64 {
	slices.Sort(of)
	i, _ := slices.BinarySearch(of, least)
	return float64(i) / float64(max(1, len(of)))
}
