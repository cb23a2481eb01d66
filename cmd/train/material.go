package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"bordon/dsp"
)

const (
	takeSeconds    = 20
	performedShare = 0.45
	someShare      = 0.3 // of the moments at which nothing began that are learned from
)

// gather renders takes by the given instruments and collects the evidence at
// the moments worth learning from. Each take depends on its number alone; from is
// the first one's.
func gather(seed uint64, from, takes int, c cast, workers int) ([]*example, tally, error) {
	parts := make([][]example, takes)
	tallies := make([]tally, takes)
	errs := make([]error, takes)
	next := make(chan int)
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for i := range next {
				parts[i], tallies[i], errs[i] = take(seed, from+i, c)
			}
		})
	}
	for i := range takes {
		next <- i
	}
	close(next)
	wg.Wait()
	var all []*example
	var t tally
	for i := range parts {
		if errs[i] != nil {
			return nil, t, fmt.Errorf("render take %d: %w", i, errs[i])
		}
		for k := range parts[i] {
			all = append(all, &parts[i][k])
		}
		t.bass += tallies[i].bass
		t.unheard += tallies[i].unheard
		t.looks += tallies[i].looks
	}
	return all, t, nil
}

// joined adds a second guitar that strums, less loud than the first and nearly
// in tune with it.
func joined(x []float32, rate int, cents float64, rng *rand.Rand) error {
	s := strumming(rng, takeSeconds)
	y, err := model{}.render(s, rate, rng.Uint64(), cents+5*rng.NormFloat64(), takeSeconds)
	if err != nil {
		return err
	}
	gain := float32(math.Pow(10, -(6+14*rng.Float64())/20) * rms(x) / (rms(y) + 1e-9))
	for i := range x {
		x[i] += gain * y[i]
	}
	return nil
}

// tally counts what the gate let through.
type tally struct{ bass, unheard, looks int }

func take(seed uint64, number int, c cast) ([]example, tally, error) {
	rng := rand.New(rand.NewPCG(seed, uint64(number)+1000))
	ins := c.draw(rng)
	s := newScene(rng, takeSeconds)
	if s.chance(performedShare) {
		_, lower := ins.(model) // recorded strings can't be tuned down
		var err error
		if s, err = performed(rng, takeSeconds, lower); err != nil {
			return nil, tally{}, err
		}
	}
	company := s.chance(0.15)
	if company {
		s.fallSilent(s.between(0, 12))
	}
	cents := rng.Float64()*80 - 40
	const rate = 22050 // twice what the ear listens at
	x, err := ins.render(s, rate, rng.Uint64(), cents, takeSeconds)
	if err != nil {
		return nil, tally{}, err
	}
	if s.chance(0.12) {
		if err := joined(x, rate, cents, rng); err != nil {
			return nil, tally{}, err
		}
	}
	room(x, rate, s, company, c.voices, rng)
	sts := strokes(s)
	out := make([]example, 0, 1000)
	var t tally
	var bass []float64
	for _, st := range sts {
		if st.strum {
			continue
		}
		for _, b := range st.bass {
			bass = append(bass, b.at)
		}
	}
	seen := make([]bool, len(bass))
	ex := example{lowest: int8(s.lowest()), highest: int8(s.highest())}
	wanted := func(t0 float64) bool {
		t.looks++
		for i, b := range bass {
			if d := b - t0; d < hit && d > -hit {
				seen[i] = true
			}
		}
		if !label(&ex, t0, sts, s) {
			return false
		}
		if ex.class == 0 && !ex.strum && ex.sounding == 0 {
			// There are far more of these: some stand for all. Treble notes,
			// which are harder to tell from the thumb's, all count.
			if rng.Float64() > someShare {
				return false
			}
			ex.weight = 1 / someShare
		}
		return true
	}
	err = dsp.Survey(x, dsp.EarConfig{Rate: rate, Lowest: s.lowest(), Highest: s.highest()}, wanted, func(_ float64, a, b, c *dsp.Evidence) {
		ex.looks = [looks]packed{pack(a), pack(b), pack(c)}
		out = append(out, ex)
	})
	t.bass = len(bass)
	for _, ok := range seen {
		if !ok {
			t.unheard++
		}
	}
	return slices.Clone(out), t, err
}
