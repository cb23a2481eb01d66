package main

import (
	"fmt"
	"math/rand/v2"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/room"
)

// Sounds without a guitar: nobody plays, so no verdict may be other than
// missing, strummed or unsure, and there is no extra.

// sounds that are heard alone.
var sounds = []struct {
	name  string
	place place
	needs func() error
}{
	{"silence", place{}, nil},
	{"noise", place{noise: 0.01}, nil}, // over silence: noise alone
	{"a counting voice", place{count: -0.01}, room.CountAvailable},
	{"singing in the bass", place{sing: -0.01}, nil},
	{"claps", place{clapsOn: -0.01, clapsOff: -6}, nil},
	{"footwork", place{steps: -0.01}, nil},
	{"a pulse", place{pulse: -0.01}, nil},
	{"claps, footwork, a voice in a live room", place{clapsOn: -3, steps: -6, count: -6, walls: &room.Live}, room.CountAvailable},
}

// alone is what was said to one such sound.
type alone struct {
	Name    string  `json:"name"`
	Beats   int     `json:"beats"`
	Sworn   share   `json:"sworn"` // verdicts other than missing, strummed or unsure
	Unsure  share   `json:"unsure"`
	Extras  int     `json:"extras"`
	Seconds float64 `json:"seconds"`
}

// hearAlone judges takes of each sound, n of them.
func hearAlone(seed uint64, n int, e ear) ([]alone, []missing, error) {
	var out []alone
	var absent []missing
	for _, s := range sounds {
		if s.needs != nil {
			if err := s.needs(); err != nil {
				absent = append(absent, missing{s.name, err.Error()})
				continue
			}
		}
		sum := alone{Name: s.name}
		for k := range n {
			r := rand.New(rand.NewPCG(seedOf(seed, s.name, false, notTunedOn, k), 0x616c6f6e65))
			const rate = 44100
			take, err := fixtures.Generate(fixtures.Spec{Name: s.name, Key: baseKeys[k%len(baseKeys)], Tempo: between(r, 84, 118), FirstBeat: 1, Turns: 3,
				Guitar: pluck.Classic(), Seed: r.Uint64()})
			if err != nil {
				return nil, nil, err
			}
			x := make([]float32, int(take.Seconds*rate))
			p := s.place
			p.peak = -12
			if p.noise != 0 {
				copy(x, room.Hiss(len(x), rate, r))
				p.noise = 0
			}
			if x, err = p.hear(x, rate, take, r); err != nil {
				return nil, nil, fmt.Errorf("render %s alone: %w", s.name, err)
			}
			j, err := judge(take, x, rate, e)
			if err != nil {
				return nil, nil, err
			}
			sum.take(j)
		}
		out = append(out, sum)
	}
	return out, absent, nil
}

func (a *alone) take(j judged) {
	for _, p := range j.pairs {
		a.Beats++
		a.Sworn.count(p.beat.Pitch.Sworn())
		a.Unsure.count(p.beat.Pitch == "unsure")
	}
	a.Extras += len(j.check.Extra)
	a.Seconds += j.take.Seconds
}
