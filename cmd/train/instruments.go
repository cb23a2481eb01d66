package main

import (
	"math/rand/v2"
	"os"
	"path/filepath"

	"bordon/dsp/pluck"
	"bordon/fixtures"
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

// taught are the recorded instruments in a folder, one for each folder of
// notes and each patch file in it; none without a folder. Beside one nylon
// guitar these are plucked strings of other kinds, so that the ear does not
// learn that one guitar. Other nylon guitars are kept for measuring.
func taught(folder string) ([]instrument, error) {
	if folder == "" {
		return nil, nil
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	var all []instrument
	for _, e := range entries {
		read := sampled.Patch
		if e.IsDir() {
			read = sampled.Folder
		}
		ins, err := read(filepath.Join(folder, e.Name()))
		if err != nil {
			return nil, err
		}
		all = append(all, recorded{ins})
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
		// The first, a nylon guitar, as often as any two of the others.
		i := rng.IntN(len(recorded) + 1)
		return recorded[max(0, i-1)]
	}
}
