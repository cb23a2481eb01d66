package dsp

import (
	_ "embed"
	"encoding/binary"
	"fmt"
	"math"
	"sync"
)

// Weights are the two nets of the ear, for the short look and the long one.
type Weights struct {
	Short, Long Net
}

// magic begins a file of weights; its digit changes with the net's shape.
const magic = "bordon ear 1\n"

// Marshal writes the weights as a file: magic, then little-endian float32s.
func (w *Weights) Marshal() []byte {
	b := []byte(magic)
	for _, n := range []*Net{&w.Short, &w.Long} {
		for _, part := range n.Parts() {
			for _, v := range part {
				b = binary.LittleEndian.AppendUint32(b, math.Float32bits(v))
			}
		}
	}
	return b
}

// ParseWeights reads what Marshal wrote. It fails on another shape and on
// weights that are not finite.
func ParseWeights(b []byte) (*Weights, error) {
	w := &Weights{Short: *NewNet(), Long: *NewNet()}
	if len(b) < len(magic) || string(b[:len(magic)]) != magic {
		return nil, fmt.Errorf("read the ear's weights: the file does not begin with %q", magic)
	}
	b = b[len(magic):]
	for _, n := range []*Net{&w.Short, &w.Long} {
		for _, part := range n.Parts() {
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
	}
	if len(b) > 0 {
		return nil, fmt.Errorf("read the ear's weights: %d bytes too many", len(b))
	}
	return w, nil
}

//go:embed ear.weights
var embedded []byte

var builtIn = sync.OnceValues(func() (*Weights, error) { return ParseWeights(embedded) })
