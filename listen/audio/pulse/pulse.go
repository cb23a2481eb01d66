// Package pulse makes the palmas that a player plays to: claps on the beats of
// a form, the accents louder, on request between the beats as well.
//
// The whole of the sound is a function of the sample of the output stream. So
// it does not matter in which pieces it is made, nothing adds up, and after ten
// minutes a clap begins at the very sample at which the grid has its beat.
package pulse

import (
	"errors"
	"fmt"
	"math"
	"sync/atomic"

	"bordon/dsp/pluck"
	"bordon/listen/grid"
	"bordon/theory"
)

// The tempo that a pulse is given, in beats a minute. Half tempo may be half
// of the lowest.
const (
	MinTempo = 40.0
	MaxTempo = 260.0
)

// Style is how the pulse is clapped.
type Style struct {
	Contratiempo bool // between the beats as well
	AccentsOnly  bool // only the form's accented beats
	EveryOther   bool // silent in every second turn: the inner pulse is tested
}

// Config says what a Pulse claps. Times are samples of the output stream.
type Config struct {
	Rate    int         // samples a second, grid.MinRate to grid.MaxRate
	Form    theory.Form // its beats and accents
	Grid    grid.Grid   // where the beats are; beat 0 is beat 1 of the first turn
	CountIn float64     // beats counted before beat 0, 0 or more; every beat of them is clapped
	Turns   int         // the last turn that is clapped; 0 for no end
	Style   Style
	Risen   bool // full volume from the first clap on: it goes on from another
}

// Pulse is the sound of a pulse. Render and Claps may run beside Regrid.
type Pulse struct {
	cfg    Config
	grid   atomic.Pointer[grid.Grid]
	accent map[int]bool // beats of the form, from 0
	hands  [kinds][variants][]float32
	longest,
	rise, // samples in which the volume rises
	first int64 // sample of the first clap
}

// Kind is how loud and how a clap sounds.
type Kind int

// The kinds of clap.
const (
	Plain   Kind = iota // on a beat
	Accent              // on an accented beat
	Between             // contratiempo
	kinds
)

// Clap is one clap of the pulse.
type Clap struct {
	At   int64   // sample of the output stream at which its sound begins
	Beat float64 // of the grid
	Kind Kind
}

const (
	// variants of each kind follow each other without a pattern: people do
	// not clap twice the same.
	variants    = 4
	clapSeconds = 0.12 // after which the longest clap has died away
	// The volume rises from a tenth to full in four seconds, from the first
	// clap on: headphones are close to the ear (WHO-ITU H.870 says how loud is
	// too loud).
	riseSeconds = 4
	quiet       = 0.1
)

// New returns the pulse that cfg describes. The error says what is wrong.
func New(cfg Config) (*Pulse, error) {
	switch {
	case cfg.Rate < grid.MinRate || cfg.Rate > grid.MaxRate:
		return nil, fmt.Errorf("a pulse of %d samples a second is not usable; it must be %d to %d", cfg.Rate, grid.MinRate, grid.MaxRate)
	case cfg.Form.Beats < 1:
		return nil, errors.New("a pulse needs a form with at least one beat, such as alegrias")
	case cfg.Grid == nil:
		return nil, errors.New("a pulse needs a grid of beats")
	case !(cfg.CountIn >= 0 && cfg.CountIn <= MaxCountIn):
		return nil, fmt.Errorf("a count-in of %g beats is not usable; it must be 0 to %d", cfg.CountIn, MaxCountIn)
	case cfg.Turns < 0:
		return nil, fmt.Errorf("a pulse cannot end after %d turns; it must be 0 (no end) or more", cfg.Turns)
	}
	p := &Pulse{cfg: cfg, accent: map[int]bool{}, rise: int64(riseSeconds * cfg.Rate)}
	for _, b := range cfg.Form.Accents {
		p.accent[b-1] = true
	}
	for k := range p.hands {
		for v := range p.hands[k] {
			sound, err := clap(Kind(k), v, cfg.Rate)
			if err != nil {
				return nil, err
			}
			p.hands[k][v] = sound
			p.longest = max(p.longest, int64(len(sound)))
		}
	}
	p.Regrid(cfg.Grid)
	p.first = cfg.Grid.Sample(math.Ceil(-cfg.CountIn))
	return p, nil
}

// MaxCountIn is the longest count-in in beats.
const MaxCountIn = 48

// Regrid changes where the beats are. What has sounded must be where it was,
// or a clap is torn.
func (p *Pulse) Regrid(g grid.Grid) { p.grid.Store(&g) }

// clap renders one clap; accents are two pairs of hands some milliseconds
// apart, the loudest at 0.8 of full scale.
func clap(k Kind, variant, rate int) ([]float32, error) {
	s, err := pluck.New(pluck.Classic(), rate, uint64(100*int(k)+variant), 0)
	if err != nil {
		return nil, fmt.Errorf("synthesise a clap: %w", err)
	}
	peak := [kinds]float32{0.35, 0.8, 0.25}[k]
	events := []pluck.Event{{Kind: pluck.Clap, Velocity: 0.8}}
	if k == Accent {
		events = append(events, pluck.Event{At: 0.004 + 0.001*float64(variant), Kind: pluck.Clap, Velocity: 0.7})
	}
	if err := s.Schedule(events...); err != nil {
		return nil, fmt.Errorf("synthesise a clap: %w", err)
	}
	sound := make([]float32, int(clapSeconds*float64(rate)))
	s.Read(sound)
	brighten(sound, rate)
	top := float32(0)
	for _, v := range sound {
		top = max(top, v, -v)
	}
	for i := range sound {
		sound[i] *= peak / max(top, 1e-9)
		if left := len(sound) - i; left < rate/100 { // it ends in silence
			sound[i] *= float32(left) / float32(rate/100)
		}
	}
	return sound, nil
}

// brightHz is where the claps begin: fingers on the palm, not hollow hands. The
// ear looks for notes below 4 kHz, so that a pulse which a loudspeaker brings
// to the microphone disturbs it least.
const brightHz = 3500.0

// brighten takes away what is below brightHz, by two Butterworth sections of
// second order.
func brighten(x []float32, rate int) {
	w := 2 * math.Pi * min(brightHz, 0.4*float64(rate)) / float64(rate)
	alpha := math.Sin(w) / math.Sqrt2
	a0 := 1 + alpha
	b, a1, a2 := (1+math.Cos(w))/2/a0, -2*math.Cos(w)/a0, (1-alpha)/a0
	for range 2 {
		var x1, x2, y1, y2 float64
		for i, v := range x {
			x0 := float64(v)
			y := b*(x0-2*x1+x2) - a1*y1 - a2*y2
			x1, x2, y1, y2 = x0, x1, y, y1
			x[i] = float32(y)
		}
	}
}

// Claps calls yield with every clap whose sound begins in samples from to
// to - 1, in order of time. It allocates nothing.
func (p *Pulse) Claps(from, to int64, yield func(Clap)) {
	g := *p.grid.Load()
	begin := max(math.Floor(g.Beat(from))-1, math.Ceil(-p.cfg.CountIn))
	end := math.Ceil(g.Beat(to)) + 1
	if p.cfg.Turns > 0 {
		end = min(end, float64(p.cfg.Turns*p.cfg.Form.Beats))
	}
	for b := begin; b < end; b++ {
		parts := p.parts(b)
		for i := range parts {
			beat := b + float64(i)/float64(parts)
			at := g.Sample(beat)
			if at < from || at >= to {
				continue
			}
			if kind, sounds := p.kind(beat); sounds {
				yield(Clap{at, beat, kind})
			}
		}
	}
}

// parts is into how many a beat is divided by its claps: contratiempo halves a
// beat, and divides one of several units into those.
func (p *Pulse) parts(beat float64) int {
	if !p.cfg.Style.Contratiempo {
		return 1
	}
	n := p.cfg.Form.Beats
	if place := (int(beat)%n + n) % n; place < len(p.cfg.Form.Lengths) && p.cfg.Form.Lengths[place] > 1 {
		return p.cfg.Form.Lengths[place]
	}
	return 2
}

// kind of the clap at a beat of the grid, and whether there is one.
func (p *Pulse) kind(beat float64) (k Kind, sounds bool) {
	n := float64(p.cfg.Form.Beats)
	turn := math.Floor(beat / n) // the count-in is in turn -1 and before
	whole := math.Floor(beat)
	switch {
	case beat != whole:
		k = Between
	case p.accent[int(whole-turn*n)]:
		k = Accent
	}
	if beat < 0 { // counted in full, whatever follows
		return k, true
	}
	if p.cfg.Style.EveryOther && int64(turn)%2 == 1 || p.cfg.Style.AccentsOnly && k == Plain {
		return k, false
	}
	return k, true
}

// Render fills dst with the samples of the output stream from sample from on,
// full scale being 1. It allocates nothing.
func (p *Pulse) Render(dst []float32, from int64) {
	clear(dst)
	to := from + int64(len(dst))
	p.Claps(from-p.longest+1, to, func(c Clap) {
		sound := p.hands[c.Kind][variant(c.Beat)]
		for i := max(c.At, from); i < min(c.At+int64(len(sound)), to); i++ {
			dst[i-from] += sound[i-c.At]
		}
	})
	for i := range dst {
		if dst[i] != 0 {
			dst[i] = Limit(dst[i] * p.volume(from+int64(i)))
		}
	}
}

// variant is which of the variants claps a beat.
func variant(beat float64) int {
	h := uint64(int64(math.Round(12*beat))) * 0x9e3779b97f4a7c15
	return int((h >> 40) % variants)
}

// volume at a sample: it rises by a squared sine, which has no corners.
func (p *Pulse) volume(at int64) float32 {
	switch at -= p.first; {
	case p.cfg.Risen:
		return 1
	case at <= 0:
		return quiet
	case at >= p.rise:
		return 1
	}
	s := math.Sin(math.Pi / 2 * float64(at) / float64(p.rise))
	return float32(quiet + (1-quiet)*s*s)
}

// The limiter leaves alone what is below the knee and bends the rest so that
// nothing comes above the ceiling, 1 dB below full scale.
const (
	knee    = 0.6
	ceiling = 0.891
)

// Limit is the limiter of all that is played beside the pulse's claps as well:
// full scale being 1, nothing comes out above 0.891.
func Limit(v float32) float32 {
	a := max(v, -v)
	if a <= knee {
		return v
	}
	a = knee + (ceiling-knee)*float32(math.Tanh(float64(a-knee)/(ceiling-knee)))
	if v < 0 {
		return -a
	}
	return a
}
