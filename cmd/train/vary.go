package main

import (
	"math"
	"math/rand/v2"

	"bordon/fixtures/sampled"
)

// vary makes another guitar of a recorded one: a larger or smaller body, a
// thumb nearer the bridge or the rosette, strings that ring longer or shorter
// and speak faster or slower, no two notes quite alike. What is true of one
// recorded guitar alone is so not learned.
func vary(in *sampled.Instrument, rng *rand.Rand) *sampled.Instrument {
	chance := func(p float64) bool { return rng.Float64() < p }
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	shift := 0
	if chance(0.6) {
		shift = rng.IntN(9) - 4
	}
	type resonance struct{ f, db, q float64 }
	var body []resonance
	if chance(0.7) {
		for range 1 + rng.IntN(4) {
			body = append(body, resonance{math.Exp(between(math.Log(75), math.Log(3500))), between(-9, 9), between(0.5, 4)})
		}
	}
	comb, place := 0.0, between(0.06, 0.45)
	if chance(0.5) {
		comb = between(0.1, 0.8)
	}
	decay := 0.0 // a second
	if chance(0.5) {
		decay = 1 / between(0.3, 3)
	}
	slow, lag := 0.0, 0.0
	if chance(0.4) {
		slow, lag = between(0.2, 0.85), between(0.003, 0.025)
	}
	unlike := between(0, 5)
	return in.Varied(shift, func(midi int, rate float64, x []float32) {
		r := int(rate)
		for _, b := range body {
			peak(x, r, b.f, b.db, b.q)
		}
		for range 2 {
			peak(x, r, math.Exp(between(math.Log(80), math.Log(3000))), unlike*between(-1, 1), between(1, 5))
		}
		if comb > 0 {
			// A string plucked at that share of its length lacks the partials
			// with a node there.
			d := max(1, int(rate/(440*math.Exp2(float64(midi-69)/12))*place*between(0.9, 1.1)))
			for i := len(x) - 1; i >= d; i-- {
				x[i] -= float32(comb) * x[i-d]
			}
		}
		gain := math.Pow(10, between(-0.4, 0.4)*unlike/20)
		for i := range x {
			t := float64(i) / rate
			g := gain * math.Exp(-decay*t)
			if slow > 0 {
				g *= 1 - slow*math.Exp(-t/lag)
			}
			x[i] *= float32(g)
		}
	})
}
