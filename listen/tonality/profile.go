package tonality

import (
	"math"

	"bordon/dsp"
	"bordon/theory"
)

// The profiles of major and minor keys by the semitones above the tonic, as
// Krumhansl & Kessler (1982) measured them (their table is from memory), and
// that of a Phrygian one, which follows from the minor one: see the package.
var profiles = map[theory.Mode][12]float64{
	theory.Major:    {6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88},
	theory.Minor:    {6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17},
	theory.Phrygian: {6.33, 4.60, 2.68, 3.40, 4.60, 4.20, 2.54, 4.00, 3.98, 2.60, 3.98, 2.30},
}

// profile is how much of each pitch class sounded, C first, and how many
// frames did.
func (h *Heard) profile() (classes [12]float64, sounding int) {
	for i := range h.Frames {
		f := &h.Frames[i]
		if f.At >= h.End {
			break
		}
		sum := 0.0
		c := f.Fold(dsp.LowestPitch, dsp.HighestPitch)
		for _, v := range c {
			sum += v
		}
		if sum == 0 {
			continue
		}
		for k, v := range c {
			classes[k] += v
		}
		sounding++
	}
	return classes, sounding
}

// correlation is Pearson's of what sounded with a key's profile.
func correlation(classes [12]float64, k theory.Key) float64 {
	p := profiles[k.Mode]
	var x, y, xx, yy, xy float64
	for i, v := range classes {
		w := p[(i-k.Tonic.PitchClass()+12)%12]
		x, y, xx, yy, xy = x+v, y+w, xx+v*v, yy+w*w, xy+v*w
	}
	d := math.Sqrt((12*xx - x*x) * (12*yy - y*y))
	if d == 0 || math.IsNaN(d) {
		return 0
	}
	return (12*xy - x*y) / d
}
