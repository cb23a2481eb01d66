package dsp

import "math"

// decibelSteps stretches make an octave; of their middles the logarithm is known.
const (
	decibelBits  = 8
	decibelSteps = 1 << decibelBits
)

// decibelTable holds of the middle of each stretch from 1 to 2 its inverse,
// and 10 log10 of it.
var decibelTable = func() (t [decibelSteps][2]float64) {
	for i := range t {
		middle := 1 + (float64(i)+0.5)/decibelSteps
		t[i] = [2]float64{1 / middle, 10 * math.Log10(middle)}
	}
	return t
}()

// decibels is 10 log10 p, for p from 1e-300 to 1e300, to 1e-10: three terms of
// the series round the middle of a stretch, which is at most 2^-9 away, leave
// out 10/ln 10 * 2^-36/4. The ear takes thirty thousand levels a second.
func decibels(p float64) float64 {
	bits := math.Float64bits(p)
	exponent := int(bits>>52) - 1023
	at := &decibelTable[bits>>(52-decibelBits)&(decibelSteps-1)]
	d := math.Float64frombits(bits&(1<<52-1)|1023<<52)*at[0] - 1
	const unit = 10 / math.Ln10
	return float64(exponent)*(10*math.Ln2/math.Ln10) + at[1] + unit*d*(1-d*(0.5-d*(1.0/3)))
}
