package dsp

import (
	"bytes"
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"sync"
)

// Weights are the ear's gate and its nets, for the glance and the short and the
// long look.
type Weights struct {
	Gate               Gate
	Early, Short, Long Net
}

// NewWeights are weights of zeros, the nets of the usual widths.
func NewWeights() *Weights {
	return &Weights{Gate: *NewGate(), Early: *NewNet(usualWidths), Short: *NewNet(usualWidths), Long: *NewNet(usualWidths)}
}

func (w *Weights) nets() [spans]*Net { return [spans]*Net{&w.Early, &w.Short, &w.Long} }

// magic begins a file of weights; its digit changes with what the nets see.
const magic = "bordon ear 5\n"

// Widest is the most that a width of a net may be in a file.
const Widest = 1024

// Marshal writes the weights as a file: magic, the gate's weights, and for each
// net its three widths and its weights; all little-endian, the widths uint32,
// the weights float32.
func (w *Weights) Marshal() []byte {
	b := appendParts([]byte(magic), w.Gate.Parts())
	for _, n := range w.nets() {
		for _, v := range n.Widths.all() {
			b = binary.LittleEndian.AppendUint32(b, uint32(*v))
		}
		b = appendParts(b, n.Parts())
	}
	return b
}

func appendParts(b []byte, parts [][]float32) []byte {
	for _, part := range parts {
		for _, v := range part {
			b = binary.LittleEndian.AppendUint32(b, math.Float32bits(v))
		}
	}
	return b
}

// ParseWeights reads what Marshal wrote. It fails on another layout, on widths
// outside 1 to Widest and on weights that are not finite.
func ParseWeights(b []byte) (*Weights, error) {
	w, err := parseWeights(b)
	if err != nil {
		return nil, fmt.Errorf("read the ear's weights: %w", err)
	}
	return w, nil
}

var errCut = errors.New("the file is cut short")

func parseWeights(b []byte) (*Weights, error) {
	b, found := bytes.CutPrefix(b, []byte(magic))
	if !found {
		return nil, fmt.Errorf("the file does not begin with %q", magic)
	}
	w := &Weights{Gate: *NewGate()}
	b, err := readParts(b, w.Gate.Parts())
	if err != nil {
		return nil, err
	}
	for _, n := range w.nets() {
		var s Widths
		for _, v := range s.all() {
			if len(b) < 4 {
				return nil, errCut
			}
			*v = int(binary.LittleEndian.Uint32(b))
			b = b[4:]
			if *v < 1 || *v > Widest {
				return nil, fmt.Errorf("a net's width of %d lies outside 1 to %d", *v, Widest)
			}
		}
		if len(b) < 4*s.weights() {
			return nil, errCut
		}
		*n = *NewNet(s)
		if b, err = readParts(b, n.Parts()); err != nil {
			return nil, err
		}
	}
	if len(b) > 0 {
		return nil, fmt.Errorf("%d bytes too many", len(b))
	}
	return w, nil
}

// readParts fills the parts and returns what follows them in b.
func readParts(b []byte, parts [][]float32) ([]byte, error) {
	for _, part := range parts {
		if len(b) < 4*len(part) {
			return nil, errCut
		}
		for i := range part {
			v := math.Float32frombits(binary.LittleEndian.Uint32(b[4*i:]))
			if v != v || math.IsInf(float64(v), 0) {
				return nil, errors.New("a weight is not finite")
			}
			part[i] = v
		}
		b = b[4*len(part):]
	}
	return b, nil
}

//go:embed ear.weights
var embedded []byte

var builtIn = sync.OnceValues(func() (*Weights, error) { return ParseWeights(embedded) })
