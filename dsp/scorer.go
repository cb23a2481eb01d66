package dsp

import (
	"math"

	"bordon/dsp/vector"

	"gonum.org/v1/gonum/blas/blas32"
)

// The scorer is a small network in two stages. The first looks at the evidence
// at one pitch's harmonics and lag, with the same weights for every pitch; the
// second compares the pitches and may answer that none of them began.
const (
	scored   = 37 // pitches that compete, LowestMIDI up: an octave above the highest named
	features = 12*5 + 12 + 12 + 12 + 4 + 11 + 3
	around   = len(envAt)*bands + fineN + 3
	outputs  = 1 + Pitches + 2 // none, each pitch, strum, place in time
)

// Widths are how wide a net is.
type Widths struct {
	Hidden1 int // of the first stage
	Opinion int // numbers the first stage passes on for each pitch
	Hidden2 int // of the second stage
}

// Compared is the number of inputs of the second stage.
func (s Widths) Compared() int { return scored*s.Opinion + around }

func (s *Widths) all() [3]*int { return [...]*int{&s.Hidden1, &s.Opinion, &s.Hidden2} }

// weights is the number of weights of a net so wide.
func (s Widths) weights() int {
	return (features+1)*s.Hidden1 + (s.Hidden1+1)*s.Opinion + s.Opinion + 1 +
		(s.Compared()+1)*s.Hidden2 + (s.Hidden2+1)*outputs
}

// usualWidths are those of a net that costs a tenth of a millisecond.
var usualWidths = Widths{Hidden1: 96, Opinion: 16, Hidden2: 192}

// Net holds the weights of a scorer, row-major.
type Net struct {
	Widths
	W1, B1 []float32 // features x Hidden1
	W2, B2 []float32 // Hidden1 x Opinion
	P, PB  []float32 // Opinion: whether the pitch sounds
	W3, B3 []float32 // Compared x Hidden2
	W4, B4 []float32 // Hidden2 x outputs
}

// NewNet is a net of zeros.
func NewNet(s Widths) *Net {
	return &Net{
		Widths: s,
		W1:     make([]float32, features*s.Hidden1), B1: make([]float32, s.Hidden1),
		W2: make([]float32, s.Hidden1*s.Opinion), B2: make([]float32, s.Opinion),
		P: make([]float32, s.Opinion), PB: make([]float32, 1),
		W3: make([]float32, s.Compared()*s.Hidden2), B3: make([]float32, s.Hidden2),
		W4: make([]float32, s.Hidden2*outputs), B4: make([]float32, outputs),
	}
}

// Parts are the net's tensors in the order they are stored.
func (n *Net) Parts() [][]float32 {
	return [][]float32{n.W1, n.B1, n.W2, n.B2, n.P, n.PB, n.W3, n.B3, n.W4, n.B4}
}

// place is a fractional index into an array, ready to interpolate.
type place struct {
	i int32 // -1: outside
	d float32
}

func placeOf(x float64, n int) place {
	if x < 0 || x > float64(n-1) {
		return place{i: -1}
	}
	i := min(int(x), n-2)
	return place{int32(i), float32(x - float64(i))}
}

func (p place) of(a []float32, outside float32) float32 {
	if p.i < 0 {
		return outside
	}
	v := a[p.i]
	return v + p.d*(a[p.i+1]-v)
}

// Where each pitch's features lie in the Evidence.
var (
	harmonicAt = func() (t [scored][12][5]place) {
		for c := range t {
			for n := range t[c] {
				for o := range t[c][n] {
					m := float64(LowestMIDI+c) + (float64(o)-2)/2
					t[c][n][o] = placeOf(gridPos(440*math.Exp2((m-69)/12)*float64(n+1)), gridN)
				}
			}
		}
		return t
	}()
	betweenAt = func() (t [scored][4]place) {
		for c := range t {
			for i := range t[c] {
				f := 440 * math.Exp2((float64(LowestMIDI+c)-69)/12) * (float64(i) + 0.5)
				t[c][i] = placeOf(gridPos(f), gridN)
			}
		}
		return t
	}()
	// The lag itself and its neighbours, then the octaves and the twelfths.
	lagOffsets = [11]float64{-2. / 3, -1. / 3, 0, 1. / 3, 2. / 3, -12, 12, 19, -19, 24, 7}
	lagAt      = func() (t [scored][len(lagOffsets)]place) {
		for c := range t {
			for i, o := range lagOffsets {
				t[c][i] = placeOf((float64(LowestMIDI+c)+o-lagLow)/lagStep, lags)
			}
		}
		return t
	}()
)

// outsideLevel stands for a partial beyond the grid: the floor of level.
const outsideLevel = -2

// Gather writes the features of every scored pitch to dst, row-major, length
// Rows*Features. lowest and highest bound the bass strings.
func Gather(dst []float32, ev *Evidence, lowest, highest int) {
	gather(dst, features, ev, lowest, highest)
}

// gather does so to rows that begin stride apart.
func gather(dst []float32, stride int, ev *Evidence, lowest, highest int) {
	for c := range scored {
		row := dst[c*stride:][:features]
		k := 0
		for n := range 12 {
			for o := range 5 {
				row[k] = harmonicAt[c][n][o].of(ev.After[:], outsideLevel)
				k++
			}
		}
		for n := range 12 {
			p := harmonicAt[c][n][2]
			row[k] = p.of(ev.Before[:], outsideLevel)
			row[k+12] = p.of(ev.Rung[:], outsideLevel)
			row[k+24] = p.of(ev.Late[:], outsideLevel)
			k++
		}
		k += 24
		for _, p := range betweenAt[c] {
			row[k] = p.of(ev.After[:], outsideLevel)
			k++
		}
		for _, p := range lagAt[c] {
			row[k] = p.of(ev.Lag[:], 0)
			k++
		}
		m := LowestMIDI + c
		row[k] = float32(m-50) / 12
		row[k+1] = float32(min(max(m-highest, -6), 6)) / 6
		row[k+2] = float32(min(max(m-lowest, -6), 6)) / 6
	}
}

// Around writes what the second stage sees beside the pitches.
func Around(dst []float32, ev *Evidence) {
	n := copy(dst, ev.Env[:])
	n += copy(dst[n:], ev.Fine[:])
	copy(dst[n:], ev.Level[:])
}

// Sizes of the scorer, for whoever trains its weights.
const (
	Rows     = scored
	Features = features
	AroundN  = around
	Outputs  = outputs
)

// scorer runs networks.
type scorer struct {
	feat    blas32.General // a row for each pitch
	of      [spans]layers
	out     [outputs]float32
	present [Pitches]float64
}

// layers hold what the layers of a network say.
type layers struct{ h1, in2, h2 blas32.General }

func newScorer(n *networks) *scorer {
	s := &scorer{feat: vector.Matrix(scored, features)}
	for i := range s.of {
		w := n.of[i].Widths
		s.of[i] = layers{h1: vector.Matrix(scored, w.Hidden1), in2: vector.Matrix(1, w.Compared()), h2: vector.Matrix(1, w.Hidden2)}
	}
	return s
}

// score fills s.out with logits (none, each pitch, strum) and the place in
// time, and s.present with the probability that each pitch sounds, as the
// network of a look has it.
func (s *scorer) score(nets *networks, look span, ev *Evidence, lowest, highest int) {
	n, l := &nets.of[look], &s.of[look]
	gather(s.feat.Data, s.feat.Stride, ev, lowest, highest)
	n.each.Of(l.h1, s.feat, true)
	op := l.in2.Data[:scored*n.Opinion]
	n.opinion.Of(blas32.General{Rows: scored, Stride: n.Opinion, Data: op}, l.h1, true)
	for c := range s.present {
		z := vector.Dot(n.presence, op[c*n.Opinion:]) + n.presence0
		s.present[c] = 1 / (1 + math.Exp(-float64(z)))
	}
	Around(l.in2.Data[scored*n.Opinion:], ev)
	n.all.Of(l.h2, l.in2, true)
	n.answer.Of(blas32.General{Rows: 1, Stride: outputs, Data: s.out[:]}, l.h2, false)
}
