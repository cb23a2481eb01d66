package dsp

import "math"

// cents is how far the partials of a pitch lie from equal temperament in the
// last spectrum taken, beyond the guitar's own offset: the mean over the first
// six partials, each weighted by its amplitude and its number, since a higher
// partial tells the same cents more finely.
func (l *looker) cents(midi int) float64 {
	f0 := 440 * math.Exp2((float64(midi)-69)/12) * l.shift()
	const bin = float64(earRate) / pitFFT
	sum, weight := 0.0, 0.0
	for n := 1.0; n <= 6; n++ {
		// Within half a semitone, and not so near the next partial.
		lo := int(f0 * n * math.Exp2(-0.5/12) / bin)
		hi := int(f0*n*math.Exp2(0.5/12)/bin) + 1
		best := 0
		for i := lo; i <= hi && i < len(l.pow)-1; i++ {
			if l.pow[i] > l.pow[i-1] && l.pow[i] >= l.pow[i+1] && (best == 0 || l.pow[i] > l.pow[best]) {
				best = i
			}
		}
		if best == 0 {
			continue
		}
		l0, l1, l2 := math.Log(l.pow[best-1]+1e-20), math.Log(l.pow[best]+1e-20), math.Log(l.pow[best+1]+1e-20)
		d := 0.0
		if q := l0 - 2*l1 + l2; q < 0 {
			d = (l0 - l2) / (2 * q)
		}
		c := 1200 * math.Log2((float64(best)+d)*bin/(n*f0))
		if math.Abs(c) > 50 {
			continue
		}
		w := n * math.Sqrt(l.pow[best])
		sum += w * c
		weight += w
	}
	if weight == 0 {
		return 0
	}
	return sum / weight
}
