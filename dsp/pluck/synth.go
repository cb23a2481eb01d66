package pluck

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// block is the number of samples between two looks for what has died away.
// Blocks are counted from sample 0, so that the size of a Read changes nothing.
const block = 64

// Synth plays a Guitar as a stream. It is not safe for concurrent use.
type Synth struct {
	guitar Guitar
	rate   float64
	seed   uint64
	cents  float64
	level  float64

	pos     int64
	queue   []action // in order of time; queue[next:] is still to come
	next    int
	strings [6]vibrator
	bursts  [bursts]burst
	body    body
	force   [block]float64
	noise   [block]float64

	src rand.PCG
	rng *rand.Rand
}

// action is an Event, or what follows from one, at a sample.
type action struct {
	at    int64
	order int // stops first
	tau   float64
	Event
}

// New returns a Synth for a guitar at rate samples a second (8000 to 192000),
// tuned cents (-100 to 100) from A4 = 440 Hz. The same arguments and events
// give the same samples.
func New(g Guitar, rate int, seed uint64, cents float64) (*Synth, error) {
	if err := g.validate(); err != nil {
		return nil, err
	}
	if rate < 8000 || rate > 192000 {
		return nil, fmt.Errorf("synthesise a guitar: %d samples a second, it must be 8000 to 192000", rate)
	}
	if !(cents >= -100 && cents <= 100) {
		return nil, fmt.Errorf("synthesise a guitar: tuned %g cents off, it must be -100 to 100", cents)
	}
	s := build(g, rate, seed, cents)
	s.level = probe(g, rate)
	s.body.gain = s.level
	return s, nil
}

func build(g Guitar, rate int, seed uint64, cents float64) *Synth {
	s := &Synth{guitar: g, rate: float64(rate), seed: seed, cents: cents}
	for i := range s.strings {
		// A tone lower than the lowest it can be asked for.
		s.strings[i] = newVibrator(s.guitar.frequency(i, -2, cents), s.rate)
	}
	s.body = newBody(&s.guitar, s.rate)
	s.rng = rand.New(&s.src)
	return s
}

// peakLevel is what a firm chord peaks at: 6 dB below full scale.
const peakLevel = 0.5

// probe is the gain at which a firm chord of the guitar peaks at peakLevel.
func probe(g Guitar, rate int) float64 {
	s := build(g, rate, 1, 0)
	for i, fret := range [6]int{0, 1, 2, 2, 0, 0} {
		s.schedule(Event{At: 0.006 * float64(5-i), Kind: Pluck, String: i + 1, Fret: fret, Velocity: 0.65})
	}
	s.sort()
	s.body.gain = 1e-3 // far below the limiter's knee
	var peak float64
	var buf [block]float32
	for s.pos < int64(0.2*s.rate) {
		s.Read(buf[:])
		for _, x := range buf {
			peak = math.Max(peak, math.Abs(float64(x)))
		}
	}
	return 1e-3 * peakLevel / math.Max(peak, 1e-9)
}

// Schedule adds events, in any order. An event earlier than Position happens
// at once. It must not be called while Read runs.
func (s *Synth) Schedule(events ...Event) error {
	for _, e := range events {
		if err := e.validate(); err != nil {
			return err
		}
	}
	s.queue = slices.Delete(s.queue, 0, s.next)
	s.next = 0
	for _, e := range events {
		s.schedule(e)
	}
	s.sort()
	return nil
}

func (s *Synth) schedule(e Event) {
	at := int64(math.Round(e.At * s.rate))
	s.queue = append(s.queue, action{at: at, order: 1, Event: e})
	if e.Kind != Pluck {
		return
	}
	s.draw(at, e, 1)
	lead, tau := 0.005+0.012*s.rng.Float64(), 0.0015+0.0015*s.rng.Float64()
	if !e.Ligado {
		// The finger that will pluck lies on the string first.
		stop := Event{Kind: Damp, String: e.String}
		s.queue = append(s.queue, action{at: max(0, at-int64(lead*s.rate)), tau: tau, Event: stop})
	}
	if e.Apoyado {
		next := e.String - 1
		if e.String <= 3 {
			next = e.String + 1
		}
		rest := action{at: at + int64((0.002+0.004*s.rng.Float64())*s.rate), tau: 0.003 + 0.004*s.rng.Float64(),
			Event: Event{Kind: Damp, String: next, Apoyado: true}}
		s.queue = append(s.queue, rest)
	}
}

func (s *Synth) sort() {
	slices.SortStableFunc(s.queue, func(a, b action) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.order, b.order), cmp.Compare(b.String, a.String), cmp.Compare(a.Kind, b.Kind))
	})
}

// draw seeds the random numbers of an event, so that they depend on nothing
// but the seed and the event's own place.
func (s *Synth) draw(at int64, e Event, salt uint64) {
	s.src.Seed(s.seed^0x9e3779b97f4a7c15*salt, uint64(at)<<8|uint64(e.Kind)<<4|uint64(e.String))
}

// Position is the number of samples read so far.
func (s *Synth) Position() int64 { return s.pos }

// Idle reports whether nothing sounds and nothing is scheduled.
func (s *Synth) Idle() bool {
	if s.next < len(s.queue) {
		return false
	}
	for i := range s.strings {
		if s.strings[i].active {
			return false
		}
	}
	for i := range s.bursts {
		if s.bursts[i].live {
			return false
		}
	}
	return s.body.silent()
}

// Read fills dst with the next samples, full scale being 1. It allocates
// nothing.
func (s *Synth) Read(dst []float32) {
	for len(dst) > 0 {
		for s.next < len(s.queue) && s.queue[s.next].at <= s.pos {
			s.act(&s.queue[s.next])
			s.next++
		}
		n := min(len(dst), block-int(s.pos%block))
		if s.next < len(s.queue) {
			n = int(min(int64(n), s.queue[s.next].at-s.pos))
		}
		s.render(dst[:n])
		dst = dst[n:]
		s.pos += int64(n)
		if s.pos%block == 0 {
			s.tidy()
		}
	}
}

func (s *Synth) render(dst []float32) {
	force, noise := s.force[:len(dst)], s.noise[:len(dst)]
	clear(force)
	clear(noise)
	for i := range s.strings {
		if s.strings[i].active {
			s.strings[i].render(force)
		}
	}
	for i := range s.bursts {
		if s.bursts[i].live {
			s.bursts[i].render(force, noise)
		}
	}
	s.body.sound(dst, force, noise)
}

func (s *Synth) tidy() {
	for i := range s.strings {
		if s.strings[i].active {
			s.strings[i].tidy()
		}
	}
	for i := range s.bursts {
		if s.bursts[i].live {
			s.bursts[i].tidy()
		}
	}
	s.body.rest()
}

func (s *Synth) act(a *action) {
	if a.Kind != Damp {
		s.draw(a.at, a.Event, 2)
	}
	switch a.Kind {
	case Pluck:
		s.pluck(a)
	case Damp:
		tau := a.tau
		if tau == 0 {
			tau = 0.006
		}
		for i := range s.strings {
			v := &s.strings[i]
			if a.String != 0 && a.String != i+1 || !v.active {
				continue
			}
			if a.Apoyado && v.plucked >= a.at-int64(0.008*s.rate) {
				continue // plucked together with the rest stroke: the thumb came first
			}
			v.damp(tau * s.rate)
		}
	case Tap:
		s.burst().tap(a.Velocity, s.level, s.rate, s.rng)
	case Clap:
		s.burst().clap(a.Velocity, s.rate, s.rng)
	case Click:
		s.burst().click(a.Velocity, s.rate, s.rng)
	case Squeak:
		s.burst().squeak(a.Velocity, s.rate, s.rng)
	}
}

// burst returns a free burst, or the oldest.
func (s *Synth) burst() *burst {
	best := &s.bursts[0]
	for i := range s.bursts {
		b := &s.bursts[i]
		if !b.live {
			best = b
			break
		}
		if b.started < best.started {
			best = b
		}
	}
	*best = burst{live: true, started: s.pos, state: s.rng.Uint64() | 1}
	return best
}

func (s *Synth) pluck(a *action) {
	g := &s.guitar
	i := a.String - 1
	v, spec := &s.strings[i], &g.Strings[i]
	hz := g.frequency(i, a.Fret, s.cents)
	shorter := math.Exp2(float64(a.Fret) / 12)

	v.release()
	oldQuick, oldSlow := v.quick.n, v.slow.n
	// Shorter strings lose more: both the frets' damping and the frequency.
	decay := spec.Decay * math.Pow(shorter, -0.6)
	high := math.Min(spec.HighDecay*math.Pow(shorter, -0.3), decay)
	b := spec.Inharmonicity * shorter * shorter
	half := math.Exp2(g.Detune / 2400)
	v.quick.tune(hz*half, s.rate, decay*g.Quick, math.Min(high, decay*g.Quick), b, spec.Ripple, spec.RippleAt)
	v.slow.tune(hz/half, s.rate, decay, high, b, -spec.Ripple, spec.RippleAt)
	v.period = s.rate / hz

	soft := a.Velocity
	amp := spec.Gain * (0.06 + 0.94*math.Pow(soft, 1.3))
	edge := g.Edge * math.Exp2(-g.Softness*(1-soft)) * math.Exp2(0.3*(2*s.rng.Float64()-1))
	if a.Ligado {
		amp *= 0.25
		edge *= 0.4
		if v.active {
			v.quick.refit(oldQuick, v.tmp)
			v.slow.refit(oldSlow, v.tmp)
			v.quick.scale(0.7)
			v.slow.scale(0.7)
		}
	} else if v.active {
		// What the finger could not stop in time.
		v.quick.scale(0.1)
		v.slow.scale(0.1)
	}
	at := a.Position
	if at == 0 {
		at = g.Position * (1 + g.Spread*(2*s.rng.Float64()-1))
	}
	at = math.Min(math.Max(at, 0.03)*shorter, 0.5)
	edge = math.Min(math.Max(edge, 200), 0.4*s.rate)
	noise := g.Noise * (0.5 + s.rng.Float64())
	v.excite(at, edge, amp, noise, s.rate, s.rng)

	lean := g.Lean
	if a.Apoyado {
		lean /= 2
	}
	lean = math.Min(math.Max(lean*(0.8+0.4*s.rng.Float64()), 0), 1)
	v.toQuick, v.toSlow = math.Sqrt(1-lean), math.Sqrt(lean)
	v.outQuick, v.outSlow = 1, 0.5
	v.active = true
	v.quietBlocks, v.peak = 0, 1
	v.plucked = a.at

	if g.Thump > 0 && !a.Ligado {
		t := s.burst()
		// A high string gives the top more of a blow beside its note than a low
		// one, as recorded guitars show.
		blow := math.Sqrt(hz / 150)
		t.shove(g.Thump*amp*blow*(0.5+s.rng.Float64()), 0.002+0.004*s.rng.Float64(), edge, s.rate)
		t.noise(0.25*g.Noise*amp, 700+1500*s.rng.Float64(), 1500, 0.002+0.004*s.rng.Float64(), s.rate)
		t.force, t.direct = 0.7, 0.3*s.level
	}
}

// Render plays events on a guitar and returns seconds of mono samples at rate;
// see New for the arguments.
func Render(g Guitar, rate int, seed uint64, cents float64, events []Event, seconds float64) ([]float32, error) {
	if !(seconds >= 0 && seconds <= 7200) {
		return nil, fmt.Errorf("synthesise a guitar: %g seconds asked for, it must be 0 to 7200", seconds)
	}
	s, err := New(g, rate, seed, cents)
	if err != nil {
		return nil, err
	}
	if err := s.Schedule(events...); err != nil {
		return nil, err
	}
	dst := make([]float32, int(seconds*float64(rate)))
	s.Read(dst)
	return dst, nil
}
