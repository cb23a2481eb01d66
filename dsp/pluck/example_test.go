package pluck_test

import (
	"fmt"
	"math/rand/v2"

	"bordon/dsp/pluck"
)

func ExampleRender() {
	// The thumb's B2, A2, F#2, G2, each with a rest stroke.
	walk := []pluck.Event{
		{At: 0.5, Kind: pluck.Pluck, String: 5, Fret: 2, Velocity: 0.7, Apoyado: true},
		{At: 1.0, Kind: pluck.Pluck, String: 5, Fret: 0, Velocity: 0.7, Apoyado: true},
		{At: 1.5, Kind: pluck.Pluck, String: 6, Fret: 2, Velocity: 0.7, Apoyado: true},
		{At: 2.0, Kind: pluck.Pluck, String: 6, Fret: 3, Velocity: 0.7, Apoyado: true},
	}
	x, err := pluck.Render(pluck.Classic(), 44100, 1, 0, walk, 3)
	fmt.Println(len(x), err)
	// Output: 132300 <nil>
}

func ExampleSynth() {
	g := pluck.RandomGuitar(rand.New(rand.NewPCG(1, 2)))
	s, err := pluck.New(g, 48000, 1, -12)
	if err != nil {
		fmt.Println(err)
		return
	}
	buf := make([]float32, 480)
	s.Read(buf) // silence
	if err := s.Schedule(pluck.Event{At: 0.02, Kind: pluck.Clap, Velocity: 0.3}); err != nil {
		fmt.Println(err)
		return
	}
	for s.Position() < 48000 {
		s.Read(buf)
	}
	fmt.Println(s.Position(), s.Idle())
	// Output: 48000 true
}
