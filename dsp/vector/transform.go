package vector

import (
	"math"
	"math/bits"
)

// Transform is the Fourier transform of complex numbers, their real and their
// imaginary parts apart: Stockham's, which leaves the result in order, of radix
// four (Van Loan, Computational Frameworks for the Fast Fourier Transform,
// 1992, section 1.7), and a last pass of radix two where the length is no power
// of four.
type Transform struct {
	re, im [2][]float64
	passes []pass
	last   bool // of radix two
}

// pass takes four runs of s numbers m times.
type pass struct {
	m, s int
	wave []float64 // of each time the cosines and sines of three angles
	four []float64 // the same of the first pass, four times together: each number four times
}

// NewTransform is for n numbers, a power of two from 4 up.
func NewTransform(n int) *Transform {
	t := &Transform{last: bits.TrailingZeros(uint(n))%2 == 1}
	for i := range t.re {
		t.re[i], t.im[i] = make([]float64, n), make([]float64, n)
	}
	for s := 1; s <= n/4; s *= 4 {
		p := pass{m: n / s / 4, s: s}
		for k := range p.m {
			for turn := 1; turn <= 3; turn++ {
				sin, cos := math.Sincos(2 * math.Pi * float64(turn*k) / float64(4*p.m))
				p.wave = append(p.wave, cos, -sin)
			}
		}
		if s == 1 {
			p.four = make([]float64, len(p.wave))
			for i, v := range p.wave {
				k, part := i/6, i%6
				if at := k/4*24 + part*4 + k%4; at < len(p.four) {
					p.four[at] = v
				}
			}
		}
		t.passes = append(t.passes, p)
	}
	return t
}

// In is where the numbers to be transformed are put, all of them, before Run.
func (t *Transform) In() (re, im []float64) { return t.re[0], t.im[0] }

// Run transforms what is in In, whose contents are then undefined: exp(-2 pi i
// jk/n) times number j summed is number k of the result, which is valid until
// In is filled again.
func (t *Transform) Run() (re, im []float64) {
	from, to := 0, 1
	n := len(t.re[0])
	for i := range t.passes {
		p := &t.passes[i]
		yr, yi, xr, xi := t.re[to], t.im[to], t.re[from], t.im[from]
		switch {
		case fast && p.s == 1 && p.m%4 == 0:
			firstFour(&yr[0], &yi[0], &xr[0], &xi[0], &p.four[0], p.m)
		case fast && p.s > 1:
			four(&yr[0], &yi[0], &xr[0], &xi[0], &p.wave[0], p.m, p.s)
		default:
			p.plain(yr, yi, xr, xi)
		}
		from, to = to, from
	}
	if t.last {
		halve(t.re[to], t.re[from], n/2)
		halve(t.im[to], t.im[from], n/2)
		from = to
	}
	return t.re[from], t.im[from]
}

func (p *pass) plain(yr, yi, xr, xi []float64) {
	s, all := p.s, p.s*p.m
	ar, br, cr, dr := xr[:all], xr[all:][:all], xr[2*all:][:all], xr[3*all:][:all]
	ai, bi, ci, di := xi[:all], xi[all:][:all], xi[2*all:][:all], xi[3*all:][:all]
	for k := range p.m {
		w := p.wave[6*k:][:6]
		w0, w1, w2, w3, w4, w5 := w[0], w[1], w[2], w[3], w[4], w[5]
		yr, yi := yr[4*s*k:][:4*s], yi[4*s*k:][:4*s]
		for q := range s {
			i := s*k + q
			acr, aci, sr, si := ar[i]+cr[i], ai[i]+ci[i], ar[i]-cr[i], ai[i]-ci[i]
			bdr, bdi, tr, ti := br[i]+dr[i], bi[i]+di[i], br[i]-dr[i], bi[i]-di[i]
			yr[q], yi[q] = acr+bdr, aci+bdi
			ur, ui := sr+ti, si-tr
			yr[q+s], yi[q+s] = ur*w0-ui*w1, ui*w0+ur*w1
			ur, ui = acr-bdr, aci-bdi
			yr[q+2*s], yi[q+2*s] = ur*w2-ui*w3, ui*w2+ur*w3
			ur, ui = sr-ti, si+tr
			yr[q+3*s], yi[q+3*s] = ur*w4-ui*w5, ui*w4+ur*w5
		}
	}
}

// halve is the pass of radix two, of n and n numbers.
func halve(y, x []float64, n int) {
	if fast && n%4 == 0 {
		two(&y[0], &x[0], n)
		return
	}
	for i, a := range x[:n] {
		b := x[n+i]
		y[i], y[n+i] = a+b, a-b
	}
}
