package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"sync"

	"bordon/dsp"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas32"
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

// in2 is the width of what the second stage sees.
const in2 = dsp.Rows*dsp.Opinion + dsp.AroundN

// learn trains net, from the weights it has, on the examples by Adam (Kingma & Ba, ICLR 2015), on the
// long look where far is set. save is called after each epoch.
func learn(net *dsp.Net, examples []example, far bool, p plan, log io.Writer, save func() error) error {
	rng := rand.New(rand.NewPCG(p.seed, 1))
	order := make([]int, len(examples))
	for i := range order {
		order[i] = i
	}
	params := net.Parts()
	m, v := zeros(params), zeros(params)
	workers := make([]*worker, p.workers)
	for i := range workers {
		workers[i] = newWorker(p.batch/p.workers+1, rand.New(rand.NewPCG(p.seed, uint64(2+i))))
	}
	steps := p.epochs * (len(order) / p.batch)
	step := 0
	for epoch := range p.epochs {
		rng.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		var sum loss
		for at := 0; at+p.batch <= len(order); at += p.batch {
			var wg sync.WaitGroup
			for i, w := range workers {
				lo, hi := at+i*p.batch/p.workers, at+(i+1)*p.batch/p.workers
				wg.Go(func() { w.pass(net, examples, order[lo:hi], far, p.without) })
			}
			wg.Wait()
			step++
			lr := p.rate * (0.5 + 0.5*math.Cos(math.Pi*float64(step)/float64(steps)))
			lr = max(lr, p.rate/200)
			c1, c2 := 1-math.Pow(0.9, float64(step)), 1-math.Pow(0.999, float64(step))
			scale := float32(1 / float64(p.batch))
			for k, part := range params {
				for i := range part {
					g := float32(0)
					for _, w := range workers {
						g += w.grads[k][i]
					}
					g *= scale
					m[k][i] = 0.9*m[k][i] + 0.1*g
					v[k][i] = 0.999*v[k][i] + 0.001*g*g
					part[i] -= float32(lr * (float64(m[k][i])/c1/(math.Sqrt(float64(v[k][i])/c2)+1e-8) + p.decay*float64(part[i])))
				}
			}
			for _, w := range workers {
				sum.add(w.loss)
			}
		}
		fmt.Fprintf(log, "epoch %d: %s\n", epoch+1, sum)
		if err := save(); err != nil {
			return err
		}
	}
	return nil
}

// measure is what net makes of examples that it has not learned from.
func measure(net *dsp.Net, examples []example, far bool) loss {
	const batch = 256
	w := newWorker(batch, rand.New(rand.NewPCG(0, 0)))
	var sum loss
	which := make([]int, 0, batch)
	for i := range examples {
		if which = append(which, i); len(which) == batch || i == len(examples)-1 {
			w.pass(net, examples, which, far, 0)
			sum.add(w.loss)
			which = which[:0]
		}
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

func zeros(like [][]float32) [][]float32 {
	z := make([][]float32, len(like))
	for i, p := range like {
		z[i] = make([]float32, len(p))
	}
	return z
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
	draw(n.W2, dsp.Hidden1)
	draw(n.P, dsp.Opinion)
	draw(n.W3, in2)
	draw(n.W4, dsp.Hidden2)
	for i := range n.B2 {
		n.B2[i] = 0.1
	}
}

// worker holds one goroutine's share of a batch.
type worker struct {
	rng                            *rand.Rand
	feat, h1, x2, h2, out          []float32
	dh1, dx2, dh2, dout, dop, pres []float32
	grads                          [][]float32
	g                              *dsp.Net
	loss                           loss
}

func newWorker(batch int, rng *rand.Rand) *worker {
	f := func(n int) []float32 { return make([]float32, batch*n) }
	w := &worker{rng: rng, feat: f(dsp.Rows * dsp.Features), h1: f(dsp.Rows * dsp.Hidden1), x2: f(in2), h2: f(dsp.Hidden2), out: f(dsp.Outputs),
		dh1: f(dsp.Rows * dsp.Hidden1), dx2: f(in2), dh2: f(dsp.Hidden2), dout: f(dsp.Outputs), dop: f(dsp.Rows * dsp.Opinion), pres: f(dsp.Rows * dsp.Opinion), g: dsp.NewNet()}
	w.grads = w.g.Parts()
	return w
}

func mat(d []float32, r, c int) blas32.General {
	return blas32.General{Rows: r, Cols: c, Stride: c, Data: d[:r*c]}
}

// forward is y = x w + b, rectified where relu is set.
func forward(y, x, w, b []float32, rows, in, out int, relu bool) {
	for r := range rows {
		copy(y[r*out:(r+1)*out], b)
	}
	multiply(blas.NoTrans, blas.NoTrans, mat(x, rows, in), mat(w, in, out), 1, mat(y, rows, out))
	if relu {
		for i, v := range y[:rows*out] {
			if v < 0 {
				y[i] = 0
			}
		}
	}
}

// backward adds to dw and db, and unless dx is nil writes the gradient of x.
func backward(dx, dw, db, dy, x, w []float32, rows, in, out int) {
	multiply(blas.Trans, blas.NoTrans, mat(x, rows, in), mat(dy, rows, out), 1, mat(dw, in, out))
	for r := range rows {
		for i, v := range dy[r*out : (r+1)*out] {
			db[i] += v
		}
	}
	if dx != nil {
		multiply(blas.NoTrans, blas.Trans, mat(dy, rows, out), mat(w, in, out), 0, mat(dx, rows, in))
	}
}

// multiply is c = a b + beta c, in blocks so small that gonum starts no
// goroutines: the workers keep the processors busy as it is.
func multiply(ta, tb blas.Transpose, a, b blas32.General, beta float32, c blas32.General) {
	const block = 64
	for r := 0; r < c.Rows; r += block {
		part := c
		part.Rows = min(block, c.Rows-r)
		part.Data = c.Data[r*c.Stride:]
		left := a
		if ta == blas.Trans {
			left.Cols, left.Data = part.Rows, a.Data[r:]
		} else {
			left.Rows, left.Data = part.Rows, a.Data[r*a.Stride:]
		}
		for k := 0; k < c.Cols; k += 3 * block {
			part, right := part, b
			part.Cols = min(3*block, c.Cols-k)
			part.Data = part.Data[k:]
			if tb == blas.Trans {
				right.Rows, right.Data = part.Cols, b.Data[k*b.Stride:]
			} else {
				right.Cols, right.Data = part.Cols, b.Data[k:]
			}
			blas32.Gemm(ta, tb, 1, left, right, beta, part)
		}
	}
}

func unrelu(d, y []float32) {
	for i, v := range y[:len(d)] {
		if v <= 0 {
			d[i] = 0
		}
	}
}

func sigmoid(z float32) float64 { return 1 / (1 + math.Exp(-float64(z))) }

// pass computes the gradients of the examples named by which into w.g.
func (w *worker) pass(net *dsp.Net, examples []example, which []int, far bool, without float64) {
	n := len(which)
	w.loss = loss{n: n}
	for _, g := range w.grads {
		clear(g)
	}
	var ev dsp.Evidence
	for i, id := range which {
		ex := &examples[id]
		if far {
			ex.long.unpack(&ev)
		} else {
			ex.short.unpack(&ev)
		}
		var off dsp.Part
		for _, p := range []dsp.Part{dsp.Spectra, dsp.Past, dsp.Autocorrelation, dsp.Shape} {
			if w.rng.Float64() < without {
				off |= p
			}
		}
		off.Strip(&ev)
		dsp.Gather(w.feat[i*dsp.Rows*dsp.Features:(i+1)*dsp.Rows*dsp.Features], &ev, int(ex.lowest), int(ex.highest))
		dsp.Around(w.x2[i*in2+dsp.Rows*dsp.Opinion:(i+1)*in2], &ev)
	}
	rows := n * dsp.Rows
	op := w.dop[:rows*dsp.Opinion]
	forward(w.h1, w.feat, net.W1, net.B1, rows, dsp.Features, dsp.Hidden1, true)
	forward(op, w.h1, net.W2, net.B2, rows, dsp.Hidden1, dsp.Opinion, true)
	const width = dsp.Rows * dsp.Opinion
	for i := range n {
		copy(w.x2[i*in2:], op[i*width:(i+1)*width])
	}
	forward(w.h2, w.x2, net.W3, net.B3, n, in2, dsp.Hidden2, true)
	forward(w.out, w.h2, net.W4, net.B4, n, dsp.Hidden2, dsp.Outputs, false)

	dout := w.dout[:n*dsp.Outputs]
	clear(dout)
	dop := w.pres[:rows*dsp.Opinion]
	clear(dop)
	for i, id := range which {
		ex := &examples[id]
		w.outputs(ex, w.out[i*dsp.Outputs:(i+1)*dsp.Outputs], dout[i*dsp.Outputs:(i+1)*dsp.Outputs])
		if !ex.known {
			continue
		}
		for c := range dsp.Pitches {
			at := (i*dsp.Rows + c) * dsp.Opinion
			z := net.PB[0]
			for k, p := range net.P {
				z += p * op[at+k]
			}
			p := sigmoid(z)
			y := float64(ex.sounding >> c & 1)
			const share = 1.0 / dsp.Pitches
			w.loss.sound -= share * math.Log(max(1e-9, 1-math.Abs(y-p)))
			d := float32(2 * share * (p - y) * float64(ex.weight))
			for k := range net.P {
				w.g.P[k] += d * op[at+k]
				dop[at+k] += d * net.P[k]
			}
			w.g.PB[0] += d
		}
	}
	dh2, dx2 := w.dh2[:n*dsp.Hidden2], w.dx2[:n*in2]
	backward(dh2, w.g.W4, w.g.B4, dout, w.h2, net.W4, n, dsp.Hidden2, dsp.Outputs)
	unrelu(dh2, w.h2)
	backward(dx2, w.g.W3, w.g.B3, dh2, w.x2, net.W3, n, in2, dsp.Hidden2)
	for i := range n {
		for k, d := range dx2[i*in2 : i*in2+width] {
			dop[i*width+k] += d
		}
	}
	unrelu(dop, op)
	dh1 := w.dh1[:rows*dsp.Hidden1]
	backward(dh1, w.g.W2, w.g.B2, dop, w.h1, net.W2, rows, dsp.Hidden1, dsp.Opinion)
	unrelu(dh1, w.h1)
	backward(nil, w.g.W1, w.g.B1, dh1, w.feat, net.W1, rows, dsp.Features, dsp.Hidden1)
}

// outputs writes the gradient of the last layer's outputs for one example.
func (w *worker) outputs(ex *example, out, d []float32) {
	top := out[0]
	best := 0
	for i, z := range out[:1+dsp.Pitches] {
		if z > top {
			top, best = z, i
		}
	}
	sum := 0.0
	for _, z := range out[:1+dsp.Pitches] {
		sum += math.Exp(float64(z - top))
	}
	for i, z := range out[:1+dsp.Pitches] {
		d[i] = ex.weight * float32(math.Exp(float64(z-top))/sum)
	}
	d[ex.class] -= ex.weight
	w.loss.class += math.Log(sum) - float64(out[ex.class]-top)

	p := sigmoid(out[1+dsp.Pitches])
	y := 0.0
	if ex.strum {
		y = 1
	}
	w.loss.strum -= math.Log(max(1e-9, 1-math.Abs(y-p)))
	d[1+dsp.Pitches] = 0.3 * ex.weight * float32(p-y)
	if ex.class == 0 && best > 0 {
		w.loss.falsely++
	}
	if ex.class > 0 {
		w.loss.notes++
		if best == int(ex.class) {
			w.loss.rightNote++
		}
		e := out[2+dsp.Pitches] - ex.late
		w.loss.late += math.Abs(float64(e))
		d[2+dsp.Pitches] = min(max(e, -0.3), 0.3)
	}
}
