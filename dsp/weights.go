package dsp

import (
	_ "embed"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"sync"
)

// Weights are the ear's gate and its nets, for the glance and the short and the
// long look.
type Weights struct {
	Gate               Gate
	Early, Short, Long Net
}

// NewWeights are weights of zeros.
func NewWeights() *Weights {
	return &Weights{Gate: *NewGate(), Early: *NewNet(), Short: *NewNet(), Long: *NewNet()}
}

func (w *Weights) parts() [][]float32 {
	return slices.Concat(w.Gate.Parts(), w.Early.Parts(), w.Short.Parts(), w.Long.Parts())
}

// magic begins a file of weights; its digit changes with the nets' shapes.
const magic = "bordon ear 4\n"

// Marshal writes the weights as a file: magic, then little-endian float32s.
func (w *Weights) Marshal() []byte {
	b := []byte(magic)
	for _, part := range w.parts() {
		for _, v := range part {
			b = binary.LittleEndian.AppendUint32(b, math.Float32bits(v))
		}
	}
	return b
}

// ParseWeights reads what Marshal wrote. It fails on another shape and on
// weights that are not finite.
func ParseWeights(b []byte) (*Weights, error) {
	w := NewWeights()
	if len(b) < len(magic) || string(b[:len(magic)]) != magic {
		return nil, fmt.Errorf("read the ear's weights: the file does not begin with %q", magic)
	}
	b = b[len(magic):]
	for _, part := range w.parts() {
		if len(b) < 4*len(part) {
			return nil, fmt.Errorf("read the ear's weights: the file is cut short")
		}
		for i := range part {
			v := math.Float32frombits(binary.LittleEndian.Uint32(b[4*i:]))
			if v != v || math.IsInf(float64(v), 0) {
				return nil, fmt.Errorf("read the ear's weights: a weight is not finite")
			}
			part[i] = v
		}
		b = b[4*len(part):]
	}
	if len(b) > 0 {
		return nil, fmt.Errorf("read the ear's weights: %d bytes too many", len(b))
	}
	return w, nil
}

//go:embed ear.weights
var embedded []byte

var builtIn = sync.OnceValues(func() (*Weights, error) { return ParseWeights(embedded) })
