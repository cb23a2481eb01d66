package main

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"bordon/fixtures"
	"bordon/fixtures/room"
)

// freeCondition is a kind of free take, or one in a place of its own.
type freeCondition struct {
	name  string
	kind  string // of fixtures.FreeKinds or fixtures.OtherKinds
	none  bool   // no compás is to be found
	place func(r *rand.Rand, p *place)
	needs func() error
}

// freeConditions are what -free runs through.
func freeConditions() []*freeCondition {
	var all []*freeCondition
	needs := map[string]func() error{"speech": room.CountAvailable, "speech only": room.CountAvailable}
	for _, k := range fixtures.FreeKinds() {
		all = append(all, &freeCondition{name: k, kind: k, needs: needs[k]})
	}
	in := func(name, kind string, place func(r *rand.Rand, p *place), needs func() error) {
		all = append(all, &freeCondition{name: name, kind: kind, place: place, needs: needs})
	}
	in("live room, noise", "all of these", func(r *rand.Rand, p *place) { p.walls, p.noise = &room.Live, between(r, 18, 30) }, nil)
	in("laptop", "all of these", func(r *rand.Rand, p *place) { p.laptop, p.noise = true, between(r, 20, 35) }, nil)
	in("phone memo", "all of these", phoneMemo, room.PhoneAvailable)
	in("phone memo of anything", "random", phoneMemo, room.PhoneAvailable)
	for _, k := range fixtures.OtherKinds() {
		all = append(all, &freeCondition{name: k, kind: k, none: true, needs: needs[k]})
	}
	return all
}

// phoneMemo is a phone on the table of a furnished room.
func phoneMemo(r *rand.Rand, p *place) {
	p.walls, p.noise, p.autoGain, p.phone = &room.Small, between(r, 22, 38), r.Float64() < 0.5, true
}

// freeEntry is a take, fully determined by what stands here.
type freeEntry struct {
	cond   *freeCondition
	guitar *guitar
	half   half
	number int
	seed   uint64
}

func (e *freeEntry) name() string {
	return fmt.Sprintf("%s / %s / %s #%d", e.cond.name, e.guitar.name, e.half, e.number)
}

// freeRate is that of most recorders.
const freeRate = 44100

// freeEntries lays out the takes: the instruments take turns, those left out
// of tuning play one take of anything each, in the half not tuned on.
func freeEntries(cfg matrixConfig, conds []*freeCondition, all []*guitar) []*freeEntry {
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
	var out []*freeEntry
	add := func(c *freeCondition, g *guitar, h half, number int) {
		out = append(out, &freeEntry{c, g, h, number, seedOf(cfg.seed, "free/"+c.name, g.apart, h, number)})
	}
	for _, h := range cfg.halves {
		for i, c := range conds {
			if cfg.conditions != nil && !cfg.conditions.MatchString(c.name) {
				continue
			}
			for k := range cfg.takes {
				if len(tuned) > 0 {
					add(c, tuned[(3*i+k+7*int(h))%len(tuned)], h, k+1)
				}
			}
			if h == notTunedOn && slices.Contains([]string{"all of these", "random"}, c.name) {
				for _, g := range apart {
					for k := range cfg.takes {
						add(c, g, h, k+1)
					}
				}
			}
		}
	}
	return out
}

// availableFree keeps the conditions whose needs are met, and tells of the
// others.
func availableFree(all []*freeCondition) (conds []*freeCondition, absent []missing) {
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

// sound plays the take in its place. The truth says when each note began to
// sound.
func (e *freeEntry) sound() (fixtures.FreeTake, []float32, error) {
	fail := func(err error) (fixtures.FreeTake, []float32, error) {
		return fixtures.FreeTake{}, nil, fmt.Errorf("play free take %q: %w", e.name(), err)
	}
	spec, err := fixtures.DrawFree(e.cond.kind, e.guitar.model, e.seed)
	if err != nil {
		return fail(err)
	}
	if room.CountAvailable() != nil { // nobody is there to speak
		for i := range spec.Parts {
			if p := &spec.Parts[i]; p.Kind == fixtures.Speech && !e.cond.none {
				p.Kind = fixtures.Rest
			}
		}
	}
	spec.Name = e.name()
	take, err := fixtures.Free(spec)
	if err != nil {
		return fail(err)
	}
	x, err := take.Sound(e.guitar.play, freeRate)
	if err != nil {
		return fail(err)
	}
	if e.guitar.starts != nil {
		later := func(notes []fixtures.TruthNote) {
			for i := range notes {
				if n := &notes[i]; n.MIDI > 0 {
					n.Time += e.guitar.starts(n.MIDI)
				}
			}
		}
		later(take.Truth)
		for i := range take.Segments {
			later(take.Segments[i].Notes)
		}
	}
	r := rand.New(rand.NewPCG(e.seed, 0x6d656d6f))
	p := place{peak: between(r, -18, -3)}
	if e.cond.place != nil {
		e.cond.place(r, &p)
	}
	if room.Peak(x) > 0 {
		if x, err = p.hear(x, freeRate, take.Take, r); err != nil {
			return fail(err)
		}
	}
	return take, x, nil
}
