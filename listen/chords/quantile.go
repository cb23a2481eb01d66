package chords

import "slices"

// quantile is the value that a share of x, from 0 to 1, lies under; x must hold
// something.
func quantile(x []float64, share float64) float64 {
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	return sorted[int(share*float64(len(sorted)-1))]
}
