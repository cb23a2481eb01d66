package dsp

import "sync"

// network is a Net made ready to run.
type network struct {
	each, opinion dense // of one pitch
	presence      []float32
	presence0     float32
	all, answer   dense // of all together
}

func newNetwork(n *Net) network {
	w := network{
		each:     newDense(n.W1, n.B1, features, hidden1),
		opinion:  newDense(n.W2, n.B2, hidden1, opinion),
		presence: make([]float32, opinion),
		all:      newDense(n.W3, n.B3, hidden2In, hidden2),
		answer:   newDense(n.W4, n.B4, hidden2, outputs),
	}
	copy(w.presence, n.P)
	if len(n.PB) > 0 {
		w.presence0 = n.PB[0]
	}
	return w
}

// networks are Weights made ready to run.
type networks struct {
	rises, begins dense // the gate's layers
	of            [spans]network
}

func newNetworks(w *Weights) *networks {
	return &networks{
		rises:  newDense(w.Gate.W1, w.Gate.B1, gateIn, gateHidden),
		begins: newDense(w.Gate.W2, w.Gate.B2, gateHidden, 1),
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
