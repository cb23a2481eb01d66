package grid

import (
	"fmt"
	"math"
	"sort"
)

// Segment is a stretch of a recording in which the form was played without a
// break.
type Segment struct {
	Beats      []Knot  // each with its number in the alignment's grid
	Breaths    []int   // indices of the beats that a breath or a halt came before
	Tempo      float64 // median, units a minute
	Confidence float64 // that this reading is right, against the others and against another line
	Readings   []Reading
	Score      float64 // logarithm of its likelihood against nothing being played
}

// Reading is a way to read a segment, the likeliest first.
type Reading struct {
	FirstBeat float64 // sample of a beat 1 of the segment, or where one would be
	Tempo     float64 // units a minute
	Share     float64 // its probability; that of another line having been played is left over
}

// Alignment is where the beats of a recording are.
type Alignment struct {
	Segments []Segment // in order of time; none where no form was found
	Grid     *Followed // through all of them; nil where there are none
	Tempo    float64   // median, units a minute
	// Confidence is that of the segments, weighed by their beats.
	Confidence float64
}

// Options restrict where beats are looked for; the zero value does not.
type Options struct {
	Tempo      float64 // units a minute, about; 0 for not known
	FirstBeat  float64 // s; that beat 1 of the first turn falls about here
	FirstKnown bool
}

const (
	slower, faster   = 2.4, 2.1 // factors either way of the usual tempo
	slowest, fastest = 45, 250  // beats a minute; looked for in every form of even beats
	tempoAbout       = 1.25     // likewise of one that is given
	firstAbout       = 0.15     // s either side of a first beat that is given
	// A reading's likelihood is raised to this power: what speaks for it beat
	// by beat is not independent.
	temper = 0.35
	// The stretches that stay are longer than a third of a turn and likelier
	// than chance by this.
	leastTurn  = 0.34
	leastScore = 6.0
	leastBeat  = 0.65 // of it for each beat
	// Sure is the confidence from which on a reading is picked.
	Sure = 0.8
)

// Align finds the beats of a recording. The error says what is wrong with the
// options; that nothing was found is none.
func Align(e *Evidence, p *Plan, o Options) (*Alignment, error) {
	if e.Rate < MinRate || e.Rate > MaxRate {
		return nil, fmt.Errorf("a rate of %d samples a second is not usable; it must be %d to %d", e.Rate, MinRate, MaxRate)
	}
	if o.Tempo != 0 && !(o.Tempo >= MinTempo && o.Tempo <= MaxTempo) {
		return nil, fmt.Errorf("a tempo of %v beats a minute is not usable; it must be %v to %v", o.Tempo, MinTempo, MaxTempo)
	}
	if o.FirstKnown && !(math.Abs(o.FirstBeat) <= MaxFirstBeat) {
		return nil, fmt.Errorf("a first beat at %v seconds is not usable; it must be within %v seconds of the start", o.FirstBeat, MaxFirstBeat)
	}
	if e.Length <= 0 {
		return &Alignment{}, nil
	}
	s := newScores(p, e)
	c := usual
	slow, fast := p.tempo/slower, p.tempo*faster
	if p.even {
		slow, fast = math.Min(slow, slowest), math.Max(fast, fastest)
	}
	slow, fast = math.Max(slow, MinTempo), math.Min(fast, MaxTempo)
	if o.Tempo > 0 {
		slow, fast = math.Max(o.Tempo/tempoAbout, MinTempo), math.Min(o.Tempo*tempoAbout, MaxTempo)
		c.away = 0
	}
	l := newLattice(s, e.frames(), slow, fast, &c)
	if o.FirstKnown {
		l.only = func(frame_, beat int) bool {
			at := float64(frame_) * frame
			if beat == 0 && math.Abs(at-o.FirstBeat) <= firstAbout {
				return true
			}
			return at > o.FirstBeat+firstAbout || o.FirstBeat < 0
		}
	}
	path, _ := l.path()
	var all []played
	for _, part := range split(path) {
		if seg, ok := s.segment(l, part, e, o); ok && seg.Score >= leastScore && float64(len(part)) >= leastTurn*float64(p.turn) {
			all = append(all, played{part, seg})
		}
	}
	all = s.doubt(s.tries(l, all, e, o))
	a := &Alignment{}
	next := 0 // number of the first beat of the pass that may come
	for _, x := range all {
		first := next + x.part[0].beat
		for i := range x.seg.Beats {
			x.seg.Beats[i].Beat += float64(first)
		}
		last := int(x.seg.Beats[len(x.seg.Beats)-1].Beat)
		next = (last/l.beats + 1) * l.beats
		a.Segments = append(a.Segments, x.seg)
	}
	return a, a.join(p, float64(e.Rate))
}

// split cuts a path where it begins anew.
func split(path []found) [][]found {
	var parts [][]found
	for i, f := range path {
		if f.begins {
			parts = append(parts, nil)
		}
		n := len(parts) - 1
		parts[n] = append(parts[n], path[i])
	}
	return parts
}

// segment smooths a part of the path, its beats numbered from 0, and weighs it
// against other readings. It is none where too little speaks for each beat.
func (s *scores) segment(l *lattice, part []found, e *Evidence, o Options) (Segment, bool) {
	p := s.plan
	if len(part) < 2 {
		return Segment{}, false
	}
	lengths, unit := make([]float64, len(part)), make([]float64, len(part))
	for i, f := range part {
		lengths[i] = p.beats[f.beat].length
		unit[i] = l.periods[f.period] * frame
	}
	times := smooth(part, lengths, unit, s.onsets, p)
	seg := Segment{Beats: make([]Knot, len(part))}
	samples := float64(e.Rate)
	for i, t := range times {
		at := t * samples
		if i > 0 {
			// The grid increases strictly, come what may.
			at = math.Max(at, seg.Beats[i-1].Sample+math.Max(samples*frame, 2))
		}
		seg.Beats[i] = Knot{Beat: float64(i), Sample: at}
	}
	paces := make([]float64, 0, len(part))
	for i := 1; i < len(part); i++ {
		if part[i].paused {
			seg.Breaths = append(seg.Breaths, i)
		} else {
			paces = append(paces, (seg.Beats[i].Sample-seg.Beats[i-1].Sample)/lengths[i-1])
		}
	}
	if len(paces) == 0 {
		return Segment{}, false
	}
	pace := median(paces)
	seg.Tempo = 60 * samples / pace
	s.readings(&seg, l, part, pace, e, o)
	return seg, seg.Score >= leastBeat*float64(len(part))
}

func median(x []float64) float64 {
	x = append([]float64(nil), x...)
	sort.Float64s(x)
	if n := len(x); n%2 == 0 {
		return (x[n/2-1] + x[n/2]) / 2
	}
	return x[len(x)/2]
}

// join makes the grid of all segments. Before the first beat of each and after
// the last it goes on as long as there is room, with the segment's tempo: what
// is played there is measured against the pulse beside it.
func (a *Alignment) join(p *Plan, rate float64) error {
	if len(a.Segments) == 0 {
		return nil
	}
	var knots []Knot
	var paces []float64
	beats := 0.0
	for i := range a.Segments {
		seg := &a.Segments[i]
		unit := 60 / seg.Tempo * rate
		first, last := seg.Beats[0], seg.Beats[len(seg.Beats)-1]
		before := p.beats[mod(int(first.Beat)-1, len(p.beats))].length * unit
		after := p.beats[mod(int(last.Beat), len(p.beats))].length * unit
		add := func(k Knot) {
			if n := len(knots); n == 0 || k.Beat > knots[n-1].Beat && k.Sample >= knots[n-1].Sample+(k.Beat-knots[n-1].Beat) {
				knots = append(knots, k)
			}
		}
		if n := len(knots); n == 0 || first.Sample-before > knots[n-1].Sample+before {
			add(Knot{first.Beat - 1, first.Sample - before})
		}
		for _, k := range seg.Beats {
			add(k)
		}
		if i+1 == len(a.Segments) || last.Sample+2*after < a.Segments[i+1].Beats[0].Sample {
			add(Knot{last.Beat + 1, last.Sample + after})
		}
		n := float64(len(seg.Beats))
		a.Confidence += seg.Confidence * n
		beats += n
		for range seg.Beats {
			paces = append(paces, seg.Tempo)
		}
	}
	a.Confidence /= beats
	a.Tempo = median(paces)
	var err error
	a.Grid, err = NewFollowed(knots, 0)
	return err
}
