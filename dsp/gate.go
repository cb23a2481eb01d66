package dsp

import (
	"math"

	"bordon/dsp/vector"

	"gonum.org/v1/gonum/blas/blas32"
)

// The gate lets few moments through to a look, which costs much: first those
// where the bands rose, then those whose envelope and attack a net of one
// hidden layer takes for the start of something.
const (
	// Looser, the rise misses fewer soft notes under noise and lets more
	// moments through (DEVELOPERS.md has figures).
	gateRise  = 1   // dB, summed over the bands
	gateShare = 0.1 // of the rise of the hops beside it
	// A note that the gate refuses is never heard, a look too many costs a
	// tenth of a millisecond: the gate refuses what is next to impossible.
	gateLeast = 0.01
	// The hops round the start of a note look alike: those that the gate likes
	// less than this share of the next one's are passed over.
	gateBeside = 1

	gateIn     = len(envAt)*bands + fineN
	gateHidden = 32
)

// Gate holds the weights of the gate, row-major.
type Gate struct {
	W1, B1 []float32 // gateIn x gateHidden
	W2, B2 []float32 // gateHidden: whether a note or a strum began
}

// NewGate is a gate of zeros.
func NewGate() *Gate {
	return &Gate{
		W1: make([]float32, gateIn*gateHidden), B1: make([]float32, gateHidden),
		W2: make([]float32, gateHidden), B2: make([]float32, 1),
	}
}

// Parts are the gate's tensors in the order they are stored.
func (g *Gate) Parts() [][]float32 { return [][]float32{g.W1, g.B1, g.W2, g.B2} }

// Outline writes what the gate sees to dst, length GateIn.
func Outline(dst []float32, ev *Evidence) {
	n := copy(dst, ev.Env[:])
	copy(dst[n:], ev.Fine[:])
}

// Sizes of the gate, for whoever trains its weights.
const (
	GateIn     = gateIn
	GateHidden = gateHidden
)

// gatekeeper runs the gate of networks.
type gatekeeper struct{ in, hidden, out blas32.General }

func newGatekeeper() *gatekeeper {
	return &gatekeeper{vector.Matrix(1, gateIn), vector.Matrix(1, gateHidden), vector.Matrix(1, 1)}
}

// lets is the probability that something began, by the outline in ev.
func (g *gatekeeper) lets(n *networks, ev *Evidence) float64 {
	Outline(g.in.Data, ev)
	n.rises.Of(g.hidden, g.in, true)
	n.begins.Of(g.out, g.hidden, false)
	return 1 / (1 + math.Exp(-float64(g.out.Data[0])))
}

// crests reports whether energy rose at hop h, more than at its neighbours.
func (l *looker) crests(h int64) bool {
	if !l.rises(h) {
		return false
	}
	for d := int64(1); d <= 3; d++ {
		if r := l.env.risen(h); r <= l.env.risen(h-d) || r < l.env.risen(h+d) {
			return false
		}
	}
	return true
}

// rises reports whether energy rose enough at hop h: more than a threshold,
// and not much less than at its neighbours.
func (l *looker) rises(h int64) bool {
	r := l.env.risen(h)
	if r < gateRise {
		return false
	}
	for d := int64(1); d <= 3; d++ {
		if r < gateShare*max(l.env.risen(h-d), l.env.risen(h+d)) {
			return false
		}
	}
	return true
}
