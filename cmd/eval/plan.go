package main

import (
	"fmt"
	"math/rand/v2"

	"bordon/fixtures"
	"bordon/theory"
)

// plan is a take before it is played: what a condition changes.
type plan struct {
	spec     fixtures.Spec
	walk     walkKind
	mistakes float64 // share of the notes
	strummed bool    // every second turn
	seconds  float64 // about how long the take is to last
	rate     int
	place    place
}

// entry is a take of the matrix, fully determined by what stands here.
type entry struct {
	cond   *condition
	guitar *guitar
	half   half
	number int // of the take within its condition and half
	seed   uint64
	short  bool
}

func (e *entry) name() string {
	return fmt.Sprintf("%s / %s / %s #%d", e.cond.name, e.guitar.name, e.half, e.number)
}

// keys of the common base; "every key" has all.
var baseKeys = []string{"G", "D", "A", "C", "E", "Am", "Em", "Dm", "por-medio", "por-arriba"}

// base is what every condition departs from: a rolled arpeggio over each bass
// note, chords on the other beats, a practised hand, a dry room, about 100
// beats a minute, a mistake in every fourth note.
func base(r *rand.Rand) plan {
	p := plan{
		mistakes: 0.26, seconds: 22, rate: 44100,
		walk: []walkKind{usualWalk, usualWalk, scaleWalk, scaleWalk, leapWalk, repeatWalk}[r.IntN(6)],
		spec: fixtures.Spec{
			Key: baseKeys[r.IntN(len(baseKeys))], Form: []string{"alegrias", "solea"}[r.IntN(2)],
			Tempo: between(r, 84, 118), FirstBeat: between(r, 0.7, 1.5), TuningCents: between(r, -6, 6),
			Texture: fixtures.Rolled, Strums: true, Hand: fixtures.Steady,
		},
	}
	p.place.peak = between(r, -18, -3)
	return p
}

// perform settles what a condition left open and plays the entry's take.
func (e *entry) perform() (fixtures.Take, plan, error) {
	r := rand.New(rand.NewPCG(e.seed, 0x6576616c))
	p := base(r)
	e.cond.change(r, &p)
	fail := func(err error) (fixtures.Take, plan, error) {
		return fixtures.Take{}, p, fmt.Errorf("plan take %q: %w", e.name(), err)
	}
	s := &p.spec
	s.Name, s.Guitar, s.Seed = e.name(), e.guitar.model, r.Uint64()
	key, err := theory.ParseKey(s.Key)
	if err != nil {
		return fail(err)
	}
	form, err := theory.LookupForm(s.Form)
	if err != nil {
		return fail(err)
	}
	tuning := theory.Standard
	if s.DropD {
		tuning[5] -= 2
	}
	line, err := walk(r, p.walk, key, form, tuning)
	if err == nil && above(line) && !e.cond.overlap {
		line, err = walk(r, scaleWalk, key, form, tuning)
	}
	if err != nil {
		return fail(err)
	}
	s.Line = line.String()
	turn := 60 / s.Tempo * float64(form.Beats)
	if e.short {
		p.seconds *= 0.65
	}
	s.Turns = max(2, int(p.seconds/turn+0.5))
	s.Mistakes = plant(r, line, s.Tempo, s.Turns, p.mistakes)
	if p.strummed {
		for turn := 1 + r.IntN(2); turn <= s.Turns; turn += 2 {
			s.Strummed = append(s.Strummed, turn)
		}
	}
	take, err := fixtures.Generate(*s)
	if err != nil {
		return fail(err)
	}
	return take, p, nil
}

// sound renders the entry's take in its place. The truth it returns says when
// each note began to sound.
func (e *entry) sound() (fixtures.Take, []float32, int, error) {
	take, p, err := e.perform()
	if err != nil {
		return take, nil, 0, err
	}
	x, err := e.guitar.play.Render(take, p.rate)
	if err != nil {
		return take, nil, 0, err
	}
	if e.guitar.starts != nil {
		for i := range take.Truth {
			if n := &take.Truth[i]; n.MIDI > 0 {
				n.Time += e.guitar.starts(n.MIDI)
			}
		}
	}
	r := rand.New(rand.NewPCG(e.seed, 0x726f6f6d))
	x, err = p.place.hear(x, p.rate, take, r)
	if err != nil {
		return take, nil, 0, fmt.Errorf("render take %q: %w", e.name(), err)
	}
	return take, x, p.rate, nil
}

func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
