package main

import (
	"math/rand/v2"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/room"
	"bordon/listen/take"
	"bordon/theory"
)

// place is where a take is played and what it is recorded with. Levels are in
// dB relative to the guitar, 0 standing for silence: percussion's peak to its
// peak, a voice's or another guitar's loudness to its loudness.
type place struct {
	walls    *room.Walls
	guitar   float64 // a second one strums along
	pulse    float64 // bleeds in from a loudspeaker
	clapsOn  float64 // palmas on the beats
	clapsOff float64 // between them
	steps    float64 // footwork
	count    float64 // a voice counts the beats
	sing     float64 // a low voice sings
	noise    float64 // how far below the sound it stays
	laptop   bool
	phone    bool
	clip     float64 // dB over full scale
	autoGain bool
	peak     float64 // of the recording, dB to full scale, where nothing else sets it
}

// hear is what is recorded of x.
func (p *place) hear(x []float32, rate int, t fixtures.Take, r *rand.Rand) ([]float32, error) {
	peak, loud := room.Peak(x), room.Loudness(x, rate)
	if peak == 0 { // nobody plays: levels are those to a guitar of that loudness
		peak, loud = 0.5, 0.05
	}
	percussion := func(track []float32, db float64) { room.Mix(x, track, peak*room.Decibels(db)) }
	sustained := func(track []float32, db float64) {
		if l := room.Loudness(track, rate); l > 0 {
			room.Mix(x, track, loud/l*room.Decibels(db))
		}
	}
	beats, halves := beatTimes(t)
	if p.guitar != 0 {
		track, err := strumAlong(t, rate, r)
		if err != nil {
			return nil, err
		}
		sustained(track, p.guitar)
	}
	if p.clapsOn != 0 {
		percussion(room.Claps(len(x), rate, beats, r), p.clapsOn)
	}
	if p.clapsOff != 0 {
		percussion(room.Claps(len(x), rate, halves, r), p.clapsOff)
	}
	if p.steps != 0 {
		percussion(room.Steps(len(x), rate, footwork(beats, halves, r), r), p.steps)
	}
	if p.count != 0 {
		track, err := room.Count(len(x), rate, beats, 10+10*r.IntN(6))
		if err != nil {
			return nil, err
		}
		sustained(track, p.count)
	}
	if p.sing != 0 {
		sustained(room.Sing(len(x), rate, melody(t, r), r), p.sing)
	}
	if p.walls != nil {
		p.walls.Reverberate(x, rate, r)
	}
	// The loudspeaker stands by the microphone.
	if p.pulse != 0 {
		percussion(room.Pulse(len(x), rate, beats, func(i int) bool { return i%12 == 11 }), p.pulse)
	}
	if p.noise != 0 {
		room.Noise(x, rate, p.noise, r)
	}
	return p.record(x, rate)
}

// record is the microphone and what comes after it.
func (p *place) record(x []float32, rate int) ([]float32, error) {
	if p.laptop {
		room.Laptop(x, rate)
	}
	if top := room.Peak(x); top > 0 {
		room.Scale(x, room.Decibels(p.peak)/top)
	}
	if p.autoGain {
		room.AutoGain(x, rate)
	}
	if p.clip != 0 {
		room.Clip(x, p.clip)
	}
	if p.phone {
		var err error
		if x, err = room.Phone(x, rate); err != nil {
			return nil, err
		}
	}
	take.Quantise(x)
	return x, nil
}

// beatTimes are the beats of all turns, and the moments halfway between them,
// in seconds.
func beatTimes(t fixtures.Take) (beats, halves []float64) {
	beat := 60 / t.Tempo
	for at := t.FirstBeat; at < t.Seconds; at += beat {
		beats = append(beats, at)
		halves = append(halves, at+beat/2)
	}
	return beats, halves
}

// footwork draws blows on beats, between them and in quick threes.
func footwork(beats, halves []float64, r *rand.Rand) []float64 {
	var at []float64
	for i := range beats {
		gap := halves[i] - beats[i]
		switch r.IntN(4) {
		case 0:
			at = append(at, beats[i])
		case 1:
			at = append(at, beats[i], halves[i])
		case 2:
			at = append(at, beats[i], beats[i]+gap*2/3, beats[i]+gap*4/3)
		}
	}
	for i := range at {
		at[i] += 0.006 * r.NormFloat64()
	}
	return at
}

// melody is what is sung along: the key's notes in the bass range.
func melody(t fixtures.Take, r *rand.Rand) []int {
	key, err := theory.ParseKey(t.Key)
	if err != nil {
		return nil
	}
	var scale, out []int
	for m := 40; m <= 57; m++ {
		if key.Contains(m - t.Cejilla) {
			scale = append(scale, m)
		}
	}
	at := r.IntN(len(scale))
	for range 40 {
		out = append(out, scale[at])
		at = min(max(at+r.IntN(5)-2, 0), len(scale)-1)
	}
	return out
}

// strumAlong is a second guitar that strums all through, tuned a little
// otherwise.
func strumAlong(t fixtures.Take, rate int, r *rand.Rand) ([]float32, error) {
	s := fixtures.Spec{Name: t.Name + ", second guitar", Key: t.Key, Form: t.Form, Tempo: t.Tempo, FirstBeat: t.FirstBeat, Cejilla: t.Cejilla,
		A4: t.A4, TuningCents: min(max(t.TuningCents+between(r, -4, 4), -50), 50), Turns: t.Turns, Strums: true, Hand: fixtures.Steady,
		Guitar: pluck.RandomGuitar(r), Seed: r.Uint64()}
	for turn := 1; turn <= t.Turns; turn++ {
		s.Strummed = append(s.Strummed, turn)
	}
	other, err := fixtures.Generate(s)
	if err != nil {
		return nil, err
	}
	return other.Render(rate)
}
