package listen

import "math"

// round keeps that many decimals. What is no number, which JSON cannot write,
// becomes 0.
func round(x float64, decimals int) float64 {
	scale := math.Pow10(decimals)
	r := math.Round(x*scale) / scale
	if math.IsNaN(r) || math.IsInf(r, 0) || r == 0 { // -0 too
		return 0
	}
	return r
}

func rounded(x float64, decimals int) *float64 {
	r := round(x, decimals)
	return &r
}
