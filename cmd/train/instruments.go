package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/fluid"
	"bordon/fixtures/sampled"
)

// instrument sounds a scene's events.
type instrument interface {
	render(s *scene, rate int, seed uint64, cents, seconds float64) ([]float32, error)
}

// model is a guitar of dsp/pluck drawn anew for each scene.
type model struct{}

func (model) render(s *scene, rate int, seed uint64, cents, seconds float64) ([]float32, error) {
	g := pluck.RandomGuitar(s.rng)
	if s.dropD {
		g.Strings[5].Open -= 2
	}
	return pluck.Render(g, rate, seed, cents, s.events, seconds)
}

// recorded plays a scene on recorded notes.
type recorded struct{ ins *sampled.Instrument }

func (r recorded) render(s *scene, rate int, seed uint64, cents, seconds float64) ([]float32, error) {
	s.dropD = false
	return r.ins.Render(fixtures.Take{Name: "scene", A4: 440, TuningCents: cents, Seed: seed, Seconds: seconds,
		Guitar: pluck.RandomGuitar(s.rng), Events: s.events}, rate)
}

// taught are the recorded instruments that the ear learns from: one nylon
// guitar, and plucked strings of other kinds so that it does not learn that
// one guitar. The nylon guitars of FluidR3, of freepats and the second
// recorded one are kept for measuring.
func taught() ([]instrument, error) {
	var all []instrument
	add := func(ins *sampled.Instrument, err error) error {
		if err == nil {
			all = append(all, recorded{ins})
		}
		return err
	}
	folder, err := sampled.Material()
	if err != nil {
		return nil, err
	}
	if err := add(sampled.Folder(filepath.Join(folder, "acoustic"))); err != nil {
		return nil, fmt.Errorf("%w (fixtures/material.sh fetches it)", err)
	}
	if err := add(sampled.Patch(sampled.FreepatsSteel)); err != nil {
		return nil, err
	}
	// Steel, jazz, clean electric and muted guitars, a harp and a pizzicato
	// of General MIDI, counted from 1.
	for _, program := range []int{26, 27, 28, 47} {
		if err := add(sampled.SoundFont(fluid.Instrument{SoundFont: fluid.SoundFont, Program: program})); err != nil {
			fmt.Fprintf(os.Stderr, "train: program %d left out: %v\n", program, err)
		}
	}
	return all, nil
}

// mixture draws our own model for a little more than half of the scenes, and
// recorded strings for the rest.
func mixture(recorded []instrument) func(*rand.Rand) instrument {
	return func(rng *rand.Rand) instrument {
		if len(recorded) == 0 || rng.Float64() < 0.5 {
			return model{}
		}
		// The nylon guitar as often as any two of the others.
		i := rng.IntN(len(recorded) + 1)
		return recorded[max(0, i-1)]
	}
}
