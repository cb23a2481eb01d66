package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"bordon/dsp"
)

// learn trains net, from the weights it has, on what the examples hold
// of a look. save is called after each epoch.
func learn(net *dsp.Net, examples []*example, look int, p plan, log io.Writer, save func() error) error {
	workers := make([]learner, p.workers)
	for i := range workers {
		workers[i] = newWorker(net, examples, look, p.without, p.batch/p.workers+1, rand.New(rand.NewPCG(p.seed, uint64(2+i))))
	}
	return descend(net.Parts(), workers, len(examples), p, log, save)
}

// measure is what net makes of examples that it has not learned from.
func measure(net *dsp.Net, examples []*example, look, workers int) loss {
	const batch = 256
	parts := make([]loss, workers)
	inParallel(workers, func(i int) {
		w := newWorker(net, examples, look, 0, batch, rand.New(rand.NewPCG(0, 0)))
		which := make([]int, 0, batch)
		from, to := i*len(examples)/workers, (i+1)*len(examples)/workers
		for k := from; k < to; k++ {
			if which = append(which, k); len(which) == batch || k == to-1 {
				w.pass(which)
				parts[i].add(w.loss)
				which = which[:0]
			}
		}
	})
	var sum loss
	for _, l := range parts {
		sum.add(l)
	}
	return sum
}

// loss sums what a pass got wrong.
type loss struct {
	class, strum, sound, late    float64
	n, rightNote, notes, falsely int
}

func (l *loss) add(o loss) {
	l.class += o.class
	l.strum += o.strum
	l.sound += o.sound
	l.late += o.late
	l.n += o.n
	l.rightNote += o.rightNote
	l.notes += o.notes
	l.falsely += o.falsely
}

func (l loss) String() string {
	n := float64(max(l.n, 1))
	return fmt.Sprintf("class %.4f strum %.4f sounding %.4f late %.4f, notes named %.2f %%, none called a note %.2f %%",
		l.class/n, l.strum/n, l.sound/n, l.late/float64(max(l.notes, 1)), 100*float64(l.rightNote)/float64(max(l.notes, 1)),
		100*float64(l.falsely)/float64(max(l.n-l.notes, 1)))
}

// start draws the weights as He et al. (ICCV 2015) do for rectified units.
func start(n *dsp.Net, rng *rand.Rand) {
	draw := func(w []float32, in int) {
		s := math.Sqrt(2 / float64(in))
		for i := range w {
			w[i] = float32(rng.NormFloat64() * s)
		}
	}
	draw(n.W1, dsp.Features)
	draw(n.W2, n.Hidden1)
	draw(n.P, n.Opinion)
	draw(n.W3, n.Compared())
	draw(n.W4, n.Hidden2)
	for i := range n.B2 {
		n.B2[i] = 0.1
	}
}
