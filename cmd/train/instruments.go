package main

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"

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
	ins := r.ins
	if s.chance(0.8) {
		ins = vary(ins, s.rng)
	}
	return ins.Render(fixtures.Take{Name: "scene", A4: 440, TuningCents: cents, Seed: seed, Seconds: seconds,
		Guitar: pluck.RandomGuitar(s.rng), Events: s.events}, rate)
}

// cast is all that may be heard in a take.
type cast struct {
	draw   func(*rand.Rand) instrument
	voices []talk
}

// nylon begins the names of the nylon guitars in the folder of material.
const nylon = "nylon"

// taught are the recorded instruments in a folder, the nylon guitars and the
// others: one for each folder of notes and each patch file in it. None without
// a folder. Beside nylon guitars these are plucked strings of other kinds, so
// that the ear does not learn those few. One nylon guitar is kept for measuring.
func taught(folder string) (guitars, others []instrument, err error) {
	if folder == "" {
		return nil, nil, nil
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, nil, err
	}
	for _, e := range entries {
		if e.Name() == spoken {
			continue
		}
		read := sampled.Patch
		if e.IsDir() {
			read = sampled.Folder
		}
		ins, err := read(filepath.Join(folder, e.Name()))
		if err != nil {
			return nil, nil, err
		}
		if strings.HasPrefix(e.Name(), nylon) {
			guitars = append(guitars, recorded{ins})
		} else {
			others = append(others, recorded{ins})
		}
	}
	return guitars, others, nil
}

// mixture draws our own model for two fifths of the scenes, and recorded
// strings for the rest, most of them nylon.
func mixture(guitars, others []instrument) func(*rand.Rand) instrument {
	return func(rng *rand.Rand) instrument {
		u := rng.Float64()
		switch {
		case len(guitars) > 0 && u < 0.38:
			return guitars[rng.IntN(len(guitars))]
		case len(others) > 0 && u < 0.6:
			return others[rng.IntN(len(others))]
		}
		return model{}
	}
}
