package main

import (
	"math"
	"math/rand/v2"

	"bordon/dsp"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas32"
)

// worker holds one goroutine's share of a batch.
type worker struct {
	net                            *dsp.Net
	examples                       []*example
	look                           int
	without                        float64
	rng                            *rand.Rand
	feat, h1, x2, h2, out          []float32
	dh1, dx2, dh2, dout, dop, pres []float32
	grads                          [][]float32
	g                              *dsp.Net
	loss                           loss
}

func newWorker(net *dsp.Net, examples []*example, look int, without float64, batch int, rng *rand.Rand) *worker {
	f := func(n int) []float32 { return make([]float32, batch*n) }
	hidden1, opinion, in2, hidden2 := dsp.Rows*net.Hidden1, dsp.Rows*net.Opinion, net.Compared(), net.Hidden2
	w := &worker{net: net, examples: examples, look: look, without: without, rng: rng, feat: f(dsp.Rows * dsp.Features), h1: f(hidden1), x2: f(in2), h2: f(hidden2), out: f(dsp.Outputs),
		dh1: f(hidden1), dx2: f(in2), dh2: f(hidden2), dout: f(dsp.Outputs), dop: f(opinion), pres: f(opinion), g: dsp.NewNet(net.Widths)}
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
			// Without a branch, which no processor could foresee.
			bits := math.Float32bits(v)
			y[i] = math.Float32frombits(bits &^ uint32(int32(bits)>>31))
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

// unrelu clears d where y, the output of a rectifier, is 0.
func unrelu(d, y []float32) {
	for i, v := range y[:len(d)] {
		on := -int32(math.Float32bits(v)) >> 31 // all ones where v > 0
		d[i] = math.Float32frombits(math.Float32bits(d[i]) & uint32(on))
	}
}

func sigmoid(z float32) float64 { return 1 / (1 + math.Exp(-float64(z))) }

func (w *worker) slopes() [][]float32 { return w.grads }
func (w *worker) lost() loss          { return w.loss }

// pass computes the gradients of the examples named by which into w.g.
func (w *worker) pass(which []int) {
	net, examples, without := w.net, w.examples, w.without
	n, in2, opinion, width := len(which), net.Compared(), net.Opinion, dsp.Rows*net.Opinion
	w.loss = loss{n: n}
	for _, g := range w.grads {
		clear(g)
	}
	var ev dsp.Evidence
	for i, id := range which {
		ex := examples[id]
		ex.looks[w.look].unpack(&ev)
		var off dsp.Part
		for _, p := range []dsp.Part{dsp.Spectra, dsp.Past, dsp.Autocorrelation, dsp.Shape} {
			if w.rng.Float64() < without {
				off |= p
			}
		}
		off.Strip(&ev)
		dsp.Gather(w.feat[i*dsp.Rows*dsp.Features:(i+1)*dsp.Rows*dsp.Features], &ev, int(ex.lowest), int(ex.highest))
		dsp.Around(w.x2[i*in2+width:(i+1)*in2], &ev)
	}
	rows := n * dsp.Rows
	op := w.dop[:rows*opinion]
	forward(w.h1, w.feat, net.W1, net.B1, rows, dsp.Features, net.Hidden1, true)
	forward(op, w.h1, net.W2, net.B2, rows, net.Hidden1, opinion, true)
	for i := range n {
		copy(w.x2[i*in2:], op[i*width:(i+1)*width])
	}
	forward(w.h2, w.x2, net.W3, net.B3, n, in2, net.Hidden2, true)
	forward(w.out, w.h2, net.W4, net.B4, n, net.Hidden2, dsp.Outputs, false)

	dout := w.dout[:n*dsp.Outputs]
	clear(dout)
	dop := w.pres[:rows*opinion]
	clear(dop)
	for i, id := range which {
		ex := examples[id]
		w.outputs(ex, w.out[i*dsp.Outputs:(i+1)*dsp.Outputs], dout[i*dsp.Outputs:(i+1)*dsp.Outputs])
		if !ex.known {
			continue
		}
		for c := range dsp.Pitches {
			at := (i*dsp.Rows + c) * opinion
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
	dh2, dx2 := w.dh2[:n*net.Hidden2], w.dx2[:n*in2]
	backward(dh2, w.g.W4, w.g.B4, dout, w.h2, net.W4, n, net.Hidden2, dsp.Outputs)
	unrelu(dh2, w.h2)
	backward(dx2, w.g.W3, w.g.B3, dh2, w.x2, net.W3, n, in2, net.Hidden2)
	for i := range n {
		for k, d := range dx2[i*in2 : i*in2+width] {
			dop[i*width+k] += d
		}
	}
	unrelu(dop, op)
	dh1 := w.dh1[:rows*net.Hidden1]
	backward(dh1, w.g.W2, w.g.B2, dop, w.h1, net.W2, rows, net.Hidden1, opinion)
	unrelu(dh1, w.h1)
	backward(nil, w.g.W1, w.g.B1, dh1, w.feat, net.W1, rows, dsp.Features, net.Hidden1)
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
