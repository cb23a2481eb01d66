package vector

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/blas/blas32"
)

func drawn(rng *rand.Rand, n int) []float32 {
	x := make([]float32, n)
	for i := range x {
		x[i] = float32(rng.NormFloat64())
	}
	return x
}

// bothWays does f with the assembly, where there is some, and without.
func bothWays(t *testing.T, f func(t *testing.T)) {
	was := fast
	for _, with := range []bool{false, true} {
		if with && !was {
			continue
		}
		setFast(with)
		t.Run(fmt.Sprintf("assembly %v", with), f)
	}
	setFast(was)
}

// Against sums in float64.
func TestLayer(t *testing.T) {
	bothWays(t, func(t *testing.T) {
		rng := rand.New(rand.NewPCG(1, 3))
		for _, c := range []struct{ rows, in, out int }{
			{3, 13, 6}, {1, 1, 1}, {2, 8, 4}, {4, 16, 3}, {37, 114, 96}, {37, 96, 16}, {1, 749, 192}, {1, 192, 26}, {1, 154, 32}, {7, 24, 400},
		} {
			w, b := drawn(rng, c.in*c.out), drawn(rng, c.out)
			l := NewLayer(w, b, c.in, c.out)
			x := Matrix(c.rows, c.in)
			for r := range c.rows {
				copy(x.Data[r*x.Stride:], drawn(rng, c.in))
			}
			for _, rectify := range []bool{false, true} {
				y := blas32.General{Rows: c.rows, Stride: c.out + 1, Data: drawn(rng, c.rows*(c.out+1))}
				beside := y.Data[c.out]
				l.Of(y, x, rectify)
				assert.Equal(t, beside, y.Data[c.out], "%+v: what lies between rows stays", c)
				for r := range c.rows {
					for o := range c.out {
						want := float64(b[o])
						for i := range c.in {
							want += float64(x.Data[r*x.Stride+i]) * float64(w[i*c.out+o])
						}
						if rectify {
							want = max(want, 0)
						}
						// Rounding of a sum of that many products of about 1.
						assert.InDelta(t, want, y.Data[r*y.Stride+o], 4e-7*float64(c.in+8), "%+v, row %d, output %d", c, r, o)
					}
				}
			}
		}
	})
}

func TestLayerRefusesWhatDoesNotFit(t *testing.T) {
	l := NewLayer(nil, nil, 8, 4)
	assert.Panics(t, func() { l.Of(Matrix(1, 4), Matrix(1, 16), false) })
	assert.Panics(t, func() { l.Of(Matrix(2, 4), Matrix(1, 8), false) })
	assert.Panics(t, func() { l.Of(blas32.General{Rows: 1, Stride: 4, Data: make([]float32, 3)}, Matrix(1, 8), false) })
}

func TestDot(t *testing.T) {
	bothWays(t, func(t *testing.T) {
		rng := rand.New(rand.NewPCG(1, 4))
		for n := range 150 {
			a, b := drawn(rng, n), drawn(rng, n+2)
			want := 0.0
			for i, v := range a {
				want += float64(v) * float64(b[i])
			}
			assert.InDelta(t, want, Dot(a, b), 4e-7*float64(n+8), "%d: rounding of a sum of products of about 1", n)
		}
	})
}

// What a stream gives must not depend on where its samples lie.
func TestSumsAreTheSameWhereverTheNumbersLie(t *testing.T) {
	if !fast {
		t.Skip("there is no assembly for this processor")
	}
	rng := rand.New(rand.NewPCG(1, 5))
	for n := range 150 {
		a, b := drawn(rng, n), drawn(rng, n)
		want := Dot(a, b)
		for off := range 9 {
			there := append(make([]float32, off), b...)
			assert.Equal(t, want, Dot(a, there[off:]), "%d numbers, %d further", n, off)
		}
	}
}

// The nets of an ear: one pitch's first stage, and all of them compared.
func BenchmarkLayer(b *testing.B) {
	for _, c := range []struct{ rows, in, out int }{{37, 114, 96}, {1, 749, 192}, {37, 114, 256}, {1, 1341, 512}} {
		b.Run(fmt.Sprintf("%dx%dx%d", c.rows, c.in, c.out), func(b *testing.B) {
			rng := rand.New(rand.NewPCG(1, 6))
			l := NewLayer(drawn(rng, c.in*c.out), drawn(rng, c.out), c.in, c.out)
			x, y := Matrix(c.rows, c.in), Matrix(c.rows, c.out)
			for r := range c.rows {
				copy(x.Data[r*x.Stride:], drawn(rng, c.in))
			}
			b.ReportAllocs()
			for b.Loop() {
				l.Of(y, x, true)
			}
		})
	}
}
