package main

import (
	"fmt"
	"hash/fnv"
	"regexp"
)

// half is one of the two halves of the seeds.
type half int

const (
	tunedOn    half = iota // weights and decisions may be tuned on it
	notTunedOn             // they are reported on it
)

func (h half) String() string { return [...]string{"tuned on", "not tuned on"}[h] }

// matrixConfig says how much of the matrix is wanted.
type matrixConfig struct {
	seed       uint64
	takes      int  // of each condition in each half
	short      bool // takes of two thirds the length
	halves     []half
	conditions *regexp.Regexp // nil for all
	guitars    *regexp.Regexp // nil for all
}

// matrix lays out the takes: in every condition the instruments take turns.
// Those left out of tuning play one take of every condition, or as many as a
// quarter of takes.
func matrix(cfg matrixConfig, conds []*condition, all []*guitar) []*entry {
	var tuned, apart []*guitar
	for _, g := range all {
		switch {
		case cfg.guitars != nil && !cfg.guitars.MatchString(g.name):
		case g.apart:
			apart = append(apart, g)
		default:
			tuned = append(tuned, g)
		}
	}
	var out []*entry
	add := func(c *condition, g *guitar, h half, number int) {
		out = append(out, &entry{cond: c, guitar: g, half: h, number: number, short: cfg.short, seed: seedOf(cfg.seed, c.name, g.apart, h, number)})
	}
	for _, h := range cfg.halves {
		for i, c := range conds {
			if cfg.conditions != nil && !cfg.conditions.MatchString(c.name) {
				continue
			}
			for k := range cfg.takes * c.weight {
				if len(tuned) > 0 {
					add(c, tuned[(3*i+k+7*int(h))%len(tuned)], h, k+1)
				}
			}
			if h != notTunedOn {
				continue
			}
			for _, g := range apart {
				if cfg.short && c.weight == 1 { // the base and random ones will do
					continue
				}
				for k := range max(1, cfg.takes/4) * c.weight {
					add(c, g, h, k+1)
				}
			}
		}
	}
	return out
}

// seedOf is a take's own seed: another condition more or less changes no take
// of the others.
func seedOf(seed uint64, condition string, apart bool, h half, number int) uint64 {
	sum := fnv.New64a()
	fmt.Fprintf(sum, "%d/%s/%v/%d/%d", seed, condition, apart, h, number)
	return sum.Sum64()
}

// available keeps the conditions whose needs are met, and tells of the others.
func available(all []*condition) (conds []*condition, absent []missing) {
	for _, c := range all {
		if c.needs != nil {
			if err := c.needs(); err != nil {
				absent = append(absent, missing{c.name, err.Error()})
				continue
			}
		}
		conds = append(conds, c)
	}
	return conds, absent
}
