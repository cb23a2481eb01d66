package main

import (
	"encoding/json"
	"math"
	"slices"
)

// share is how many of how many.
type share struct{ N, Of int }

func (s *share) count(yes bool) {
	s.Of++
	if yes {
		s.N++
	}
}

func (s *share) add(o share) {
	s.N += o.N
	s.Of += o.Of
}

// percent is NaN of none.
func (s share) percent() float64 {
	if s.Of == 0 {
		return math.NaN()
	}
	return 100 * float64(s.N) / float64(s.Of)
}

// MarshalJSON writes the counts and, where there are any, the percentage.
func (s share) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		N       int     `json:"n"`
		Of      int     `json:"of"`
		Percent decimal `json:"percent"`
	}{s.N, s.Of, decimal(s.percent())})
}

// decimal is a number in JSON, null where it is none.
type decimal float64

func (d decimal) MarshalJSON() ([]byte, error) {
	if v := float64(d); !math.IsNaN(v) && !math.IsInf(v, 0) {
		return json.Marshal(math.Round(v*1000) / 1000)
	}
	return []byte("null"), nil
}

// quantile is the q-th of v, 0 to 1, by nearest rank; NaN of none.
func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return s[min(max(int(math.Ceil(q*float64(len(s))))-1, 0), len(s)-1)]
}
