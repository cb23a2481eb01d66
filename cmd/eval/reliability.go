package main

import "math"

// edges of the bins of confidence, each holding its lower edge.
var edges = [...]float64{0, 0.4, 0.6, 0.8, 0.9, 0.95, 0.97, 0.99}

// reliability is how often notes heard with some confidence were the notes
// played.
type reliability [len(edges)]struct {
	right share
	sum   float64 // of the confidences
}

// count takes a note in; a confidence that is no number counts as 0.
func (r *reliability) count(confidence float64, right bool) {
	if !(confidence >= 0) {
		confidence = 0
	}
	i := len(edges) - 1
	for confidence < edges[i] {
		i--
	}
	r[i].right.count(right)
	r[i].sum += confidence
}

func (r *reliability) add(o reliability) {
	for i := range r {
		r[i].right.add(o[i].right)
		r[i].sum += o[i].sum
	}
}

// off is how far confidences and frequencies lie apart on average over the
// notes, in percent: the expected calibration error. NaN of none.
func (r *reliability) off() float64 {
	sum, n := 0.0, 0
	for _, b := range r {
		sum += math.Abs(100*b.sum - 100*float64(b.right.N))
		n += b.right.Of
	}
	if n == 0 {
		return math.NaN()
	}
	return sum / float64(n)
}
