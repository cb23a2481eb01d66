package dsp

import "math"

// pluckWindow fills w with a quick cosine rise over rise samples and a long
// cosine fall over the rest: it weighs the start of a plucked note, where the
// new string is loudest against what rang before. Its sum is 1.
func pluckWindow(w []float64, rise int) {
	for i := range w {
		if i < rise {
			w[i] = 0.5 - 0.5*math.Cos(math.Pi*(float64(i)+0.5)/float64(rise))
		} else {
			w[i] = 0.5 + 0.5*math.Cos(math.Pi*(float64(i-rise)+0.5)/float64(len(w)-rise))
		}
	}
	unit(w)
}

// hann fills w with a periodic Hann window whose sum is 1.
func hann(w []float64) {
	for i := range w {
		w[i] = 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(len(w)))
	}
	unit(w)
}

// unit scales w to a sum of 1.
func unit(w []float64) {
	sum := 0.0
	for _, v := range w {
		sum += v
	}
	for i := range w {
		w[i] /= sum
	}
}
