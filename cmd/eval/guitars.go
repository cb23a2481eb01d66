package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"sync"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/fluid"
	"bordon/fixtures/sampled"
)

// guitar is an instrument that takes are played on.
type guitar struct {
	name string
	// taught tells that cmd/train teaches the ear on it; on the models it
	// teaches others of their kind.
	taught bool
	apart  bool // left out of all tuning, reported apart
	model  pluck.Guitar
	play   fixtures.Instrument
	// starts is how many seconds after its event a pitch begins to sound; nil
	// where it begins at once.
	starts func(midi int) float64
}

// missing is an instrument or a condition that cannot be had here.
type missing struct {
	Name string `json:"name"`
	Why  string `json:"why"`
}

// models are the synthesised guitars of the matrix, of those of dsp/pluck.
var models = []string{"classic", "bright", "dull", "worn strings", "cheap", "near the bridge", "over the rosette", "blanca", "boomy", "thin"}

// guitars are the instruments of the matrix, and those that are not installed.
func guitars() ([]*guitar, []missing, error) {
	var all []*guitar
	var absent []missing
	ready := pluck.Guitars()
	for _, name := range models {
		i := slices.IndexFunc(ready, func(g pluck.Guitar) bool { return g.Name == name })
		if i < 0 {
			return nil, nil, fmt.Errorf("there is no guitar %q to measure on", name)
		}
		all = append(all, &guitar{name: name, model: ready[i], play: fixtures.Synthesised{}})
	}
	add := func(name string, taught, apart bool, make func() (fixtures.Instrument, func(int) float64, error)) {
		play, starts, err := make()
		if err != nil {
			absent = append(absent, missing{name, err.Error()})
			return
		}
		all = append(all, &guitar{name: name, taught: taught, apart: apart, model: pluck.Classic(), play: play, starts: starts})
	}
	add("FluidR3 nylon", false, false, fluidNylon)
	add("freepats nylon", false, false, patch(sampled.FreepatsNylon))
	add("freepats steel", true, false, patch(sampled.FreepatsSteel))
	add("recorded acoustic", true, false, recorded("acoustic"))
	add("recorded nylon", false, true, recorded("nylon"))
	return all, absent, nil
}

func patch(path string) func() (fixtures.Instrument, func(int) float64, error) {
	return func() (fixtures.Instrument, func(int) float64, error) {
		in, err := sampled.Patch(path)
		if err != nil {
			return nil, nil, fmt.Errorf("%w (Debian's package freepats has it)", err)
		}
		return in, nil, nil
	}
}

func recorded(name string) func() (fixtures.Instrument, func(int) float64, error) {
	return func() (fixtures.Instrument, func(int) float64, error) {
		root, err := sampled.Material()
		if err != nil {
			return nil, nil, err
		}
		in, err := sampled.Folder(filepath.Join(root, name))
		if err != nil {
			return nil, nil, fmt.Errorf("%w (fixtures/material.sh fetches it)", err)
		}
		return in, nil, nil
	}
}

func fluidNylon() (fixtures.Instrument, func(int) float64, error) {
	var in fluid.Instrument
	if err := in.Available(); err != nil {
		return nil, nil, err
	}
	table := sync.OnceValues(func() (map[int]float64, error) { return measureStarts(in) })
	// Measured now, so that what fails fails here.
	starts, err := table()
	if err != nil {
		return nil, nil, err
	}
	return in, func(midi int) float64 { return starts[midi] }, nil
}

// The bass notes of the matrix: D2, a sixth string in D, to the fourth fret of
// the fourth with a cejilla on the seventh.
const lowestPlayed, highestPlayed = 38, 61

// measureStarts plays an instrument's bass notes one by one and measures where
// each begins to sound.
func measureStarts(in fixtures.Instrument) (map[int]float64, error) {
	const rate, every = 44100, 1.5
	g := pluck.Classic()
	g.Strings[5].Open = lowestPlayed
	take := fixtures.Take{Name: "single notes", Tempo: 120, A4: 440, Guitar: g}
	for m := lowestPlayed; m <= highestPlayed; m++ {
		at := 0.5 + every*float64(m-lowestPlayed)
		take.Events = append(take.Events,
			pluck.Event{At: at, Kind: pluck.Pluck, String: 6, Fret: m - lowestPlayed, Velocity: 0.7},
			pluck.Event{At: at + 0.8, Kind: pluck.Damp})
		take.Seconds = at + every
	}
	x, err := in.Render(take, rate)
	if err != nil {
		return nil, err
	}
	starts := map[int]float64{}
	for i, m := 0, lowestPlayed; m <= highestPlayed; i, m = i+1, m+1 {
		from := int((0.5 + every*float64(i)) * rate)
		k, ok := sampled.Attack(x[from:from+rate/2], rate)
		if !ok {
			return nil, errors.New("measure where notes begin: one of them is silent")
		}
		starts[m] = float64(k) / rate
	}
	return starts, nil
}
