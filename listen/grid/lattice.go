package grid

import "math"

// lattice is the space in which the beats of a recording are looked for, a
// hidden Markov model over the place in the compás and the tempo:
//
//   - Whiteley, Cemgil & Godsill, "Bayesian modelling of temporal structure in
//     musical audio", ISMIR 2006: the bar pointer, which moves through the
//     pass at a tempo that changes little by little;
//   - Krebs, Böck & Widmer, "An efficient state-space model for joint tempo and
//     meter tracking", ISMIR 2015: the tempo changes at beats only, and is
//     counted in frames a beat;
//   - Felzenszwalb & Huttenlocher, "Distance transforms of sampled functions",
//     Theory of Computing 8 (2012): the best tempo to come from, for all tempos
//     in two sweeps.
//
// A state is a beat that falls on a frame, having been reached at a period;
// between two beats nothing is chosen, so nothing is kept. Beside them there
// is a pause before each beat, which keeps the tempo, and idleness, in which
// nothing of the form is played and from which it may begin anywhere.
type lattice struct {
	plan    *Plan
	scores  *scores
	cost    *costs
	periods []float64 // frames a unit, increasing
	frames  int

	beats, tempos int
	dur           []int     // frames of beat k at period j
	step          []float32 // cost of going from period j to j+1 or back
	ringAt        []int     // where the ring of manner 0, beat k, period j begins
	ringAll       int       // length of one manner's rings
	only          func(frame, beat int) bool

	s state
}

// state is all that the future depends on.
type state struct {
	ring  []float32 // by manner, beat and period: leaving beat k at the frames past
	pause []float32 // by manner, beat to come and period
	since []int32   // the frame that a pause was left for
	idle  float32
	best  float32 // of the arrivals at the frame before
	base  float64 // taken off all of these
	next  int     // frame
}

// costs of what a player seldom does, logarithms of probabilities.
type costs struct {
	tempo   float64 // of a tempo that changes by a factor of e between two beats
	begin   float64 // to play, on any beat
	beginAt float64 // less where that is the first of a turn
	cease   float64
	ceaseAt float64 // less where the last beat is a turn's
	switchm float64 // to another manner
	breath  float64 // before a turn
	halt    float64 // before another beat
	wait    float64 // of a pause, a frame
	away    float64 // width of the usual tempos, as a logarithm; 0 for all alike
}

var usual = costs{tempo: 18, begin: -7, beginAt: 3, cease: -3.5, ceaseAt: 3.5, switchm: -3.5, breath: -3.5, halt: -9, wait: -0.004, away: 0.5}

const (
	none      = float32(-1e30)
	beam      = 45       // what is that much worse than the best is given up
	maxPause  = 250      // frames; what is longer is a new beginning
	blockSize = 96 << 20 // bytes
)

// newLattice is for tempos from slow to fast, units a minute.
func newLattice(s *scores, frames int, slow, fast float64, c *costs) *lattice {
	l := &lattice{plan: s.plan, scores: s, cost: c, frames: frames, beats: len(s.plan.beats)}
	ratio := 1.035
	if l.beats > 24 {
		ratio = 1.05
	}
	for p := frameRate * 60 / fast; p <= frameRate*60/slow; p = math.Max(p*ratio, p+1) {
		l.periods = append(l.periods, p)
	}
	l.ready()
	return l
}

// ready lays the tables out for the periods.
func (l *lattice) ready() {
	l.tempos = len(l.periods)
	for j := range l.tempos - 1 {
		l.step = append(l.step, float32(l.cost.tempo*math.Log(l.periods[j+1]/l.periods[j])))
	}
	for k := range l.beats {
		for _, p := range l.periods {
			d := max(int(math.Round(p*l.plan.beats[k].length)), 1)
			l.dur = append(l.dur, d)
			l.ringAt = append(l.ringAt, l.ringAll)
			l.ringAll += d + 1
		}
	}
	l.s = state{
		ring:  make([]float32, int(manners)*l.ringAll),
		pause: make([]float32, l.states()),
		since: make([]int32, l.states()),
		best:  none,
	}
	for i := range l.s.ring {
		l.s.ring[i] = none
	}
	for i := range l.s.pause {
		l.s.pause[i] = none
	}
}

// states at a frame.
func (l *lattice) states() int { return int(manners) * l.beats * l.tempos }

// id of a state.
func (l *lattice) id(m manner, k, j int) int { return (int(m)*l.beats+k)*l.tempos + j }

func (s *state) copy() state {
	c := *s
	c.ring = append([]float32(nil), s.ring...)
	c.pause = append([]float32(nil), s.pause...)
	c.since = append([]int32(nil), s.since...)
	return c
}

// trail is where the states of some frames came from.
type trail struct {
	from   int      // frame
	arrive []uint16 // 0 from the beat before, 1 from idleness, 2 + n after a pause of n frames
	leave  []uint16 // the period and the manner that it was arrived at with
}

const mannerBits = 8 // of leave, from this bit on

// lay makes room for n frames from one on.
func (b *trail) lay(from, n, states int) {
	b.from = from
	if cap(b.arrive) < n*states {
		b.arrive, b.leave = make([]uint16, n*states), make([]uint16, n*states)
	}
	b.arrive, b.leave = b.arrive[:n*states], b.leave[:n*states]
}

// pass is the work of one frame, kept so that it is allocated once.
type pass struct {
	arrive []float32
	leave  []float32
	from   []uint16
	come   []float32 // by period, from the beat before
	prior  []float32 // by period
}

func (l *lattice) newPass() *pass {
	w := &pass{
		arrive: make([]float32, l.states()), leave: make([]float32, l.states()), from: make([]uint16, l.states()),
		come: make([]float32, l.tempos), prior: make([]float32, l.tempos),
	}
	sum := 0.0
	for j, p := range l.periods {
		z := math.Log(p * l.plan.tempo / (60 * frameRate))
		if l.cost.away > 0 {
			z /= l.cost.away
		} else {
			z = 0
		}
		w.prior[j] = float32(-z * z / 2)
		sum += math.Exp(-z * z / 2)
	}
	for j := range w.prior {
		w.prior[j] -= float32(math.Log(sum))
	}
	return w
}

// advance takes in the next frame. It returns the state from which idleness
// was best reached, -1 for idleness itself; b, where there is one, is told
// where each state came from.
func (l *lattice) advance(w *pass, b *trail) (idleFrom int32) {
	t := l.s.next
	l.s.next++
	l.scores.at(t)
	least := max(l.s.best, l.s.idle) - beam
	for k := range l.beats {
		l.arrivals(w, b, t, k, least)
	}
	return l.departures(w, b, t)
}

// arrivals at beat k.
func (l *lattice) arrivals(w *pass, b *trail, t, k int, least float32) {
	before := mod(k-1, l.beats)
	begin := l.s.idle + float32(l.cost.begin)
	rest := float32(l.cost.halt)
	if k%l.plan.turn == 0 {
		begin += float32(l.cost.beginAt)
		rest = float32(l.cost.breath)
	}
	mayBegin := l.only == nil || l.only(t, k)
	for j := range l.tempos {
		d := l.dur[before*l.tempos+j]
		ring := l.ringAt[before*l.tempos+j] + mod(t-d, d+1)
		span, chord, known := float32(0), float32(0), false
		for m := range manners {
			at := l.id(m, k, j)
			come, kind := none, uint16(0)
			if v := l.s.ring[int(m)*l.ringAll+ring]; t >= d && v > least {
				if !known {
					a, b := l.scores.span(before, t-d, t)
					span, chord, known = float32(a), float32(b), true
				}
				if come = v + span; m != bare {
					come += chord
				}
			}
			// A pause begins where the beat would have come.
			held, since := l.s.pause[at], l.s.since[at]
			if held > none {
				held += float32(l.cost.wait)
			}
			if t-int(since) > maxPause || held < least {
				held = none
			}
			score := float32(l.scores.beat[m][k])
			best := come
			if held > best {
				best, kind = held, uint16(2+t-int(since))
			}
			if v := begin + w.prior[j]; mayBegin && v > best {
				best, kind = v, 1
			}
			if come+rest > held {
				held, since = come+rest, int32(t-d)
			}
			l.s.pause[at], l.s.since[at] = held, since
			if best += score; best < least {
				best = none
			}
			w.arrive[at] = best
			if b != nil {
				b.arrive[(t-b.from)*l.states()+at] = kind
			}
		}
	}
}

// departures from the beats of a frame: to any tempo, in any manner, or to
// idleness.
func (l *lattice) departures(w *pass, b *trail, t int) (idleFrom int32) {
	idleFrom = -1
	top := none
	for m := range manners {
		for k := range l.beats {
			cease := float32(l.cost.cease)
			if (k+1)%l.plan.turn == 0 {
				cease += float32(l.cost.ceaseAt)
			}
			i := l.id(m, k, 0)
			a, d, from := w.arrive[i:i+l.tempos], w.leave[i:i+l.tempos], w.from[i:i+l.tempos]
			for j, v := range a {
				d[j], from[j] = v, uint16(j)|uint16(m)<<mannerBits
				if v > top {
					top = v
				}
				if v+cease > l.s.idle {
					l.s.idle, idleFrom = v+cease, int32(i+j)
				}
			}
			for j := 1; j < len(d); j++ {
				if v := d[j-1] - l.step[j-1]; v > d[j] {
					d[j], from[j] = v, from[j-1]
				}
			}
			for j := len(d) - 2; j >= 0; j-- {
				if v := d[j+1] - l.step[j]; v > d[j] {
					d[j], from[j] = v, from[j+1]
				}
			}
		}
	}
	l.s.best = top
	least := max(top, l.s.idle) - beam
	for k := range l.beats {
		for j := range l.tempos {
			best, who := none, manner(0)
			for m := range manners {
				if v := w.leave[l.id(m, k, j)]; v > best {
					best, who = v, m
				}
			}
			other := best + float32(l.cost.switchm)
			d := l.dur[k*l.tempos+j]
			ring := l.ringAt[k*l.tempos+j] + mod(t, d+1)
			for m := range manners {
				i := l.id(m, k, j)
				v, from := w.leave[i], w.from[i]
				if other > v {
					v, from = other, w.from[l.id(who, k, j)]
				}
				if v < least {
					v = none
				}
				l.s.ring[int(m)*l.ringAll+ring] = v
				if b != nil {
					b.leave[(t-b.from)*l.states()+i] = from
				}
			}
		}
	}
	return idleFrom
}

// lower takes the best score off all of them, so that they keep their decimals.
func (l *lattice) lower() {
	by := max(l.s.best, l.s.idle)
	l.s.base += float64(by)
	l.s.idle -= by
	if l.s.best > none {
		l.s.best -= by
	}
	for _, a := range [][]float32{l.s.ring, l.s.pause} {
		for i := range a {
			if a[i] > none {
				a[i] -= by
			}
		}
	}
}
