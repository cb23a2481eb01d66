package dsp

import (
	"sync"

	"bordon/dsp/vector"
)

// network is a Net made ready to run.
type network struct {
	Widths
	each, opinion vector.Layer // of one pitch
	presence      []float32
	presence0     float32
	all, answer   vector.Layer // of all together
}

func newNetwork(n *Net) network {
	w := network{
		Widths:   n.Widths,
		each:     vector.NewLayer(n.W1, n.B1, features, n.Hidden1),
		opinion:  vector.NewLayer(n.W2, n.B2, n.Hidden1, n.Opinion),
		presence: make([]float32, n.Opinion),
		all:      vector.NewLayer(n.W3, n.B3, n.Compared(), n.Hidden2),
		answer:   vector.NewLayer(n.W4, n.B4, n.Hidden2, outputs),
	}
	copy(w.presence, n.P)
	if len(n.PB) > 0 {
		w.presence0 = n.PB[0]
	}
	return w
}

// networks are Weights made ready to run.
type networks struct {
	rises, begins vector.Layer // the gate's layers
	of            [spans]network
}

func newNetworks(w *Weights) *networks {
	return &networks{
		rises:  vector.NewLayer(w.Gate.W1, w.Gate.B1, gateIn, gateHidden),
		begins: vector.NewLayer(w.Gate.W2, w.Gate.B2, gateHidden, 1),
		of:     [spans]network{newNetwork(&w.Early), newNetwork(&w.Short), newNetwork(&w.Long)},
	}
}

// builtInNetworks are made once for all ears that use the built-in weights.
var builtInNetworks = sync.OnceValues(func() (*networks, error) {
	w, err := builtIn()
	if err != nil {
		return nil, err
	}
	return newNetworks(w), nil
})
