package main

import (
	"math/rand/v2"
	"testing"

	"bordon/dsp"
)

func BenchmarkPass(b *testing.B) {
	ex, _, err := gather(1, 2, func(*rand.Rand) instrument { return model{} }, 1)
	if err != nil {
		b.Fatal(err)
	}
	net := dsp.NewNet()
	rng := rand.New(rand.NewPCG(1, 1))
	start(net, rng)
	w := newWorker(32, rng)
	which := make([]int, 32)
	for i := range which {
		which[i] = rng.IntN(len(ex))
	}
	b.ResetTimer()
	for b.Loop() {
		w.pass(net, ex, which, false, 0.04)
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/32, "µs/example")
}
