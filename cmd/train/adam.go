package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"sync"
)

// plan says how a net is trained.
type plan struct {
	epochs  int
	batch   int
	rate    float64 // of Adam's steps at the start; it falls along a cosine
	decay   float64 // of the weights, each step
	without float64 // chance that an ingredient is blanked, so that none is leant on alone
	workers int
	seed    uint64
}

// A learner computes the gradients of its share of a batch.
type learner interface {
	// pass leaves the gradients of the loss on the examples named by which,
	// summed, in the slices of slopes.
	pass(which []int)
	slopes() [][]float32
	lost() loss
}

// descend moves params down the slopes that the learners find on n examples, by
// Adam (Kingma & Ba, ICLR 2015). saved is called after each epoch.
func descend(params [][]float32, learners []learner, n int, p plan, log io.Writer, saved func() error) error {
	rng := rand.New(rand.NewPCG(p.seed, 1))
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	a := adam{params: params, m: zeros(params), v: zeros(params), learners: learners, decay: p.decay, scale: float32(1 / float64(p.batch))}
	steps := p.epochs * (n / p.batch)
	for epoch := range p.epochs {
		rng.Shuffle(n, func(i, j int) { order[i], order[j] = order[j], order[i] })
		var sum loss
		for at := 0; at+p.batch <= n; at += p.batch {
			inParallel(len(learners), func(i int) {
				learners[i].pass(order[at+i*p.batch/len(learners) : at+(i+1)*p.batch/len(learners)])
			})
			a.step++
			a.rate = p.rate * (0.5 + 0.5*math.Cos(math.Pi*float64(a.step)/float64(steps)))
			a.rate = max(a.rate, p.rate/200)
			inParallel(len(learners), a.update)
			for _, l := range learners {
				sum.add(l.lost())
			}
		}
		fmt.Fprintf(log, "epoch %d: %s\n", epoch+1, sum)
		if err := saved(); err != nil {
			return err
		}
	}
	return nil
}

func inParallel(n int, do func(i int)) {
	var wg sync.WaitGroup
	for i := range n {
		wg.Go(func() { do(i) })
	}
	wg.Wait()
}

// adam holds the moments of the slopes.
type adam struct {
	params, m, v [][]float32
	learners     []learner
	decay        float64
	scale        float32
	step         int
	rate         float64
}

// update moves the i-th share of every tensor. Each number is summed over the
// learners in the same order whoever does it.
func (a *adam) update(i int) {
	c1, c2 := 1-math.Pow(0.9, float64(a.step)), 1-math.Pow(0.999, float64(a.step))
	for k, part := range a.params {
		lo, hi := i*len(part)/len(a.learners), (i+1)*len(part)/len(a.learners)
		if lo == hi {
			continue
		}
		g := a.learners[0].slopes()[k]
		for _, l := range a.learners[1:] {
			for j, s := range l.slopes()[k][lo:hi] {
				g[lo+j] += s
			}
		}
		m, v := a.m[k], a.v[k]
		for j := lo; j < hi; j++ {
			s := g[j] * a.scale
			m[j] = 0.9*m[j] + 0.1*s
			v[j] = 0.999*v[j] + 0.001*s*s
			part[j] -= float32(a.rate * (float64(m[j])/c1/(math.Sqrt(float64(v[j])/c2)+1e-8) + a.decay*float64(part[j])))
		}
	}
}

func zeros(like [][]float32) [][]float32 {
	z := make([][]float32, len(like))
	for i, p := range like {
		z[i] = make([]float32, len(p))
	}
	return z
}
