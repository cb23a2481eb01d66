package vector

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas32"
)

const (
	lanes   = 8 // float32s of a register
	group   = 4 // outputs had at a time
	rowsOut = 3 // and rows
)

// Layer is one of a net: from each row of inputs it makes as many outputs, each
// the inner product of the inputs with weights of its own, and a bias: gonum
// takes half the time over that than over sums of rows.
type Layer struct {
	w blas32.General // a row for each output; rows and columns padded with zeros
	b []float32
	n int // outputs
}

// NewLayer is the layer of weights w (in x out, row-major) and biases b. Without
// weights it is a layer of zeros.
func NewLayer(w, b []float32, in, out int) Layer {
	l := Layer{w: Matrix((out+group-1)/group*group, in), b: make([]float32, (out+group-1)/group*group), n: out}
	copy(l.b, b)
	for i := range len(w) / out {
		for o, v := range w[i*out : (i+1)*out] {
			l.w.Data[o*l.w.Stride+i] = v
		}
	}
	return l
}

// Matrix is one of zeros whose rows have room for cols numbers, and may be the
// inputs of a Layer of that many.
func Matrix(rows, cols int) blas32.General {
	stride := Padded(cols)
	return blas32.General{Rows: rows, Cols: stride, Stride: stride, Data: make([]float32, rows*stride)}
}

// Padded is n or the next multiple of eight: so long the assembly likes a row.
func Padded(n int) int { return (n + lanes - 1) / lanes * lanes }

// Of writes to the rows of y what the layer makes of those of x, a Matrix which
// may be wider than the layer's inputs by zeros alone, and where rectify is set
// the positive part of that.
func (l *Layer) Of(y, x blas32.General, rectify bool) {
	if x.Cols != l.w.Cols || len(x.Data) < y.Rows*x.Stride || len(y.Data) < (y.Rows-1)*y.Stride+l.n {
		panic("vector: a layer's inputs or outputs have the wrong size")
	}
	if fast {
		l.fast(y, x, rectify)
	} else {
		l.plain(y, x, rectify)
	}
}

// strip is how many outputs gonum makes at a time: matrices so small it doesn't
// share among goroutines.
const strip = 192

func (l *Layer) plain(y, x blas32.General, rectify bool) {
	for r := range y.Rows {
		copy(y.Data[r*y.Stride:], l.b[:l.n])
	}
	for o := 0; o < l.n; o += strip {
		w, to := l.w, y
		w.Rows = min(strip, l.n-o)
		w.Data, to.Data, to.Cols = l.w.Data[o*l.w.Stride:], y.Data[o:], w.Rows
		blas32.Gemm(blas.NoTrans, blas.Trans, 1, x, w, 1, to)
	}
	if !rectify {
		return
	}
	for r := range y.Rows {
		row := y.Data[r*y.Stride : r*y.Stride+l.n]
		for i, v := range row {
			// Without a branch, which no processor could foresee.
			bits := math.Float32bits(v)
			row[i] = math.Float32frombits(bits &^ uint32(int32(bits)>>31))
		}
	}
}

func (l *Layer) fast(y, x blas32.General, rectify bool) {
	least := float32(math.Inf(-1))
	if rectify {
		least = 0
	}
	whole := l.n / group
	for r := 0; r < y.Rows; {
		many := y.Rows-r >= rowsOut
		from, to := &x.Data[r*x.Stride], y.Data[r*y.Stride:]
		if whole > 0 {
			l.products(many, to, y.Stride, from, x.Stride, 0, whole, least)
		}
		if o := whole * group; o < l.n {
			var rest [rowsOut * group]float32
			l.products(many, rest[:], group, from, x.Stride, o, 1, least)
			copy(to[o:], rest[:l.n-o])
			if many {
				copy(to[y.Stride+o:], rest[group:][:l.n-o])
				copy(to[2*y.Stride+o:], rest[2*group:][:l.n-o])
			}
		}
		if r++; many {
			r += rowsOut - 1
		}
	}
}

// products makes groups of outputs, o the first, of one row or of rowsOut.
func (l *Layer) products(many bool, y []float32, yStride int, x *float32, xStride, o, groups int, least float32) {
	w, b := &l.w.Data[o*l.w.Stride], &l.b[o]
	if many {
		products3(&y[0], yStride, x, xStride, w, l.w.Stride, b, l.w.Cols, groups, least)
	} else {
		products1(&y[0], x, w, l.w.Stride, b, l.w.Cols, groups, least)
	}
}
