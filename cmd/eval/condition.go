package main

import (
	"math"
	"math/rand/v2"

	"bordon/fixtures"
	"bordon/fixtures/room"
)

// condition changes one thing of the common base, or in "random" many.
type condition struct {
	group, name string
	change      func(r *rand.Rand, p *plan)
	needs       func() error // nil where nothing is needed
	weight      int          // takes, in multiples of the others'
	// overlap lets the line go above the fourth fret of the fourth string, where
	// the fingers play too: "no bass under a chord" cannot be told there for
	// certain. It is reported apart.
	overlap bool
}

// conditions are the matrix.
func conditions() []*condition {
	var all []*condition
	group := ""
	in := func(g string) { group = g }
	add := func(name string, change func(r *rand.Rand, p *plan)) *condition {
		c := &condition{group: group, name: name, change: change, weight: 1}
		all = append(all, c)
		return c
	}
	in("base")
	add("base", func(*rand.Rand, *plan) {}).weight = 2
	in("hand")
	add("rest stroke", func(r *rand.Rand, p *plan) { p.spec.Hand.Apoyado = true })
	add("all left ringing", func(r *rand.Rand, p *plan) { p.spec.Hand.Lift = 0 })
	add("first note rings before", func(r *rand.Rand, p *plan) { p.spec.FirstRings = true })
	add("taps with the thumb", func(r *rand.Rand, p *plan) { p.spec.Hand.Tapped = 0.6 })
	add("ligado", func(r *rand.Rand, p *plan) { p.spec.Hand.Ligado, p.walk = 0.6, scaleWalk })
	add("dragged thumb", func(r *rand.Rand, p *plan) { p.spec.Hand.Dragged = 0.5 })
	add("landing a chord", func(r *rand.Rand, p *plan) { p.spec.Landing = fixtures.LandChord })
	add("landing, a string below", func(r *rand.Rand, p *plan) { p.spec.Landing = fixtures.LandBelow })
	in("texture")
	add("bare", func(r *rand.Rand, p *plan) { p.spec.Texture, p.spec.Strums = fixtures.Bare, false })
	add("bare among strums", func(r *rand.Rand, p *plan) { p.spec.Texture = fixtures.Bare })
	add("one by one", func(r *rand.Rand, p *plan) { p.spec.Texture = fixtures.OneByOne })
	add("together", func(r *rand.Rand, p *plan) { p.spec.Texture = fixtures.Together })
	add("golpes, on accents", func(r *rand.Rand, p *plan) { p.spec.Arrangement, p.spec.Golpes = fixtures.OnAccents, true })
	add("golpes, rasgueado", func(r *rand.Rand, p *plan) { p.spec.Arrangement, p.spec.Golpes = fixtures.Rasgueado, true })
	add("arpeggios", func(r *rand.Rand, p *plan) { p.spec.Arrangement = fixtures.Arpeggios })
	add("soft bass", func(r *rand.Rand, p *plan) { p.spec.Hand.Thumb, p.spec.Hand.Fingers = 0.4, 0.75 })
	in("room")
	add("small room", func(r *rand.Rand, p *plan) { p.place.walls = &room.Small })
	add("live room", func(r *rand.Rand, p *plan) { p.place.walls = &room.Live })
	add("noise 25 dB", func(r *rand.Rand, p *plan) { p.place.noise = 25 })
	add("noise 15 dB", func(r *rand.Rand, p *plan) { p.place.noise = 15 })
	add("pulse bleeding in", func(r *rand.Rand, p *plan) { p.place.pulse = between(r, -20, -8) })
	add("claps on the beats", func(r *rand.Rand, p *plan) { p.place.clapsOn = between(r, -10, -0.1) })
	add("claps between", func(r *rand.Rand, p *plan) { p.place.clapsOff = between(r, -10, -0.1) })
	add("footwork", func(r *rand.Rand, p *plan) { p.place.steps = between(r, -12, -1) })
	add("counting voice", func(r *rand.Rand, p *plan) { p.place.count = between(r, -16, -6) }).needs = room.CountAvailable
	add("singing in the bass", func(r *rand.Rand, p *plan) { p.place.sing = between(r, -16, -6) })
	add("second guitar", func(r *rand.Rand, p *plan) { p.place.guitar = between(r, -16, -8) })
	add("laptop", func(r *rand.Rand, p *plan) { p.place.laptop = true })
	add("phone", func(r *rand.Rand, p *plan) { p.place.phone = true }).needs = room.PhoneAvailable
	add("clipping", func(r *rand.Rand, p *plan) { p.place.clip = between(r, 3, 9) })
	add("automatic gain", func(r *rand.Rand, p *plan) { p.place.autoGain = true })
	in("player")
	add("tempo 40 to 70", func(r *rand.Rand, p *plan) { p.spec.Tempo, p.seconds = between(r, 40, 70), 26 })
	add("tempo 120 to 180", func(r *rand.Rand, p *plan) { p.spec.Tempo = between(r, 120, 180) })
	add("tempo 180 to 260", func(r *rand.Rand, p *plan) { p.spec.Tempo, p.seconds = between(r, 180, 260), 18 })
	add("every key", func(r *rand.Rand, p *plan) { p.spec.Key = anyKey(r) })
	add("cejilla 1 to 3", func(r *rand.Rand, p *plan) { p.spec.Cejilla = 1 + r.IntN(3) })
	add("cejilla 4 to 7", func(r *rand.Rand, p *plan) { p.spec.Cejilla = 4 + r.IntN(4) })
	add("35 cents flat", func(r *rand.Rand, p *plan) { p.spec.TuningCents = -35 })
	add("35 cents sharp", func(r *rand.Rand, p *plan) { p.spec.TuningCents = 35 })
	add("A4 418 to 460", func(r *rand.Rand, p *plan) { p.spec.A4 = between(r, 418, 460) })
	add("unsteady", func(r *rand.Rand, p *plan) { p.spec.Hand.Jitter, p.spec.Hand.Uneven = 0.015, 0.3 })
	add("no mistakes", func(r *rand.Rand, p *plan) { p.mistakes = 0 })
	add("sixth string in D", dropD)
	add("strummed turns", func(r *rand.Rand, p *plan) { p.strummed, p.seconds = true, 28 })
	in("walk")
	for _, w := range []struct {
		name string
		kind walkKind
	}{{"usual walk", usualWalk}, {"by steps", scaleWalk}, {"leaps", leapWalk}, {"chromatic", chromaticWalk}, {"repeated notes", repeatWalk}, {"eight notes", longWalk}, {"half beats", halfWalk}} {
		add(w.name, func(r *rand.Rand, p *plan) { p.walk = w.kind })
	}
	add("above the fourth fret", func(r *rand.Rand, p *plan) {
		p.walk, p.spec.Key = usualWalk, []string{"E", "Eb", "Em"}[r.IntN(3)]
	}).overlap = true
	in("random")
	add("random", random).weight = 6
	return all
}

func anyKey(r *rand.Rand) string {
	keys := fixtures.Keys()
	return keys[r.IntN(len(keys))]
}

// dropD lowers the sixth string; half of the walks then end on it.
func dropD(r *rand.Rand, p *plan) {
	p.spec.DropD, p.walk = true, scaleWalk
	p.spec.Key = []string{"D", "Dm", "G", "rondena"}[r.IntN(4)]
}

// random combines what the other conditions try one by one.
func random(r *rand.Rand, p *plan) {
	s, pl := &p.spec, &p.place
	chance := func(share float64) bool { return r.Float64() < share }
	s.Key = anyKey(r)
	s.Tempo = 40 * math.Pow(260.0/40, r.Float64())
	if chance(0.5) {
		s.Cejilla = r.IntN(8)
	}
	s.TuningCents = between(r, -35, 35)
	p.walk = walkKind(r.IntN(int(halfWalk) + 1))
	if s.Tempo > 130 && p.walk == halfWalk { // no thumb goes faster than some four notes a second
		p.walk = longWalk
	}
	s.Texture = fixtures.Texture(r.IntN(4))
	s.Strums, s.Arrangement, s.Golpes = chance(0.8), fixtures.Arrangement(r.IntN(4)), chance(0.3)
	s.Landing, s.FirstRings = fixtures.Landing(r.IntN(3)), chance(0.2)
	h := &s.Hand
	h.Apoyado, h.Lift, h.Jitter, h.Uneven = chance(0.4), r.Float64(), between(r, 0.002, 0.012), between(r, 0.05, 0.3)
	h.Thumb, h.Fingers = between(r, 0.45, 0.95), between(r, 0.35, 0.8)
	if chance(0.2) {
		h.Tapped = 0.4
	}
	if chance(0.15) {
		h.Ligado = 0.4
	}
	if chance(0.15) {
		h.Dragged = 0.3
	}
	if chance(0.5) {
		pl.walls = []*room.Walls{&room.Small, &room.Live}[r.IntN(2)]
	}
	for _, noise := range []*float64{&pl.clapsOn, &pl.clapsOff, &pl.steps, &pl.sing, &pl.guitar, &pl.pulse, &pl.count} {
		if chance(0.1) && (noise != &pl.count || room.CountAvailable() == nil) {
			*noise = between(r, -18, -8)
		}
	}
	if chance(0.5) {
		pl.noise = between(r, 18, 45)
	}
	pl.laptop, pl.autoGain = chance(0.25), chance(0.15)
	if chance(0.15) {
		pl.clip = between(r, 2, 6)
	}
	pl.phone = chance(0.1) && room.PhoneAvailable() == nil
	p.rate = []int{44100, 48000, 22050}[r.IntN(3)]
}
