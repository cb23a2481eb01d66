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
	lasts         []int     // the durations there are, each once
	lasting       []int     // which of them dur is
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

var usual = costs{tempo: 18, begin: -7, beginAt: 3, cease: -3.5, ceaseAt: 3.5, switchm: -3.5, breath: -2.8, halt: -9, wait: -0.004, away: 0.5}

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
	of := map[int]int{}
	for k := range l.beats {
		for _, p := range l.periods {
			d := max(int(math.Round(p*l.plan.beats[k].length)), 1)
			n, known := of[d]
			if !known {
				n = len(l.lasts)
				of[d] = n
				l.lasts = append(l.lasts, d)
			}
			l.dur, l.lasting = append(l.dur, d), append(l.lasting, n)
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
