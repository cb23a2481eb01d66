package grid

import (
	"math"
	"sort"
)

// readings weighs a segment as it was found against the same beats counted from
// another beat 1, and against the best path at quite another tempo.
func (s *scores) readings(seg *Segment, l *lattice, part []found, pace float64, e *Evidence, o Options) {
	p := s.plan
	type other struct {
		Reading
		score float64
	}
	frames := make([]int, len(part))
	for i, f := range part {
		frames[i] = f.frame
	}
	first := part[0].beat
	at := func(shift int) float64 { // of a beat 1, when the first beat found is so many beats later in the pass
		ahead := mod(-(first + shift), p.turn)
		if ahead < len(seg.Beats) {
			return seg.Beats[ahead].Sample
		}
		return seg.Beats[0].Sample + float64(ahead)*pace*p.beats[0].length
	}
	own := s.along(part, frames, 0)
	all := []other{{Reading{at(0), seg.Tempo, 0}, own}}
	seg.Score = own
	if p.even && !o.FirstKnown {
		for shift := 1; shift < l.beats; shift++ {
			all = append(all, other{Reading{at(shift), seg.Tempo, 0}, s.along(part, frames, shift)})
		}
	}
	if o.Tempo == 0 {
		if r, more, ok := s.elsewhere(l, part, frames, pace, e); ok {
			all = append(all, other{r, own + more})
		}
	}
	sort.SliceStable(all[1:], func(i, j int) bool { return all[1+i].score > all[1+j].score })
	sum := 0.0
	for i := range all {
		all[i].Share = math.Exp(temper * (all[i].score - own))
		sum += all[i].Share
	}
	for i := range all[:min(2, len(all))] {
		r := all[i].Reading
		r.Share /= sum
		seg.Readings = append(seg.Readings, r)
	}
	seg.Confidence = seg.Readings[0].Share
}

// along scores the beats of a part as if each were so many beats later in the
// pass, in the manners that suit that best.
func (s *scores) along(part []found, frames []int, shift int) float64 {
	n := len(s.plan.beats)
	var score [manners]float64
	for i, f := range part {
		k := mod(f.beat+shift, n)
		top := score[0]
		for _, v := range score {
			top = math.Max(top, v)
		}
		s.at(frames[i])
		for m := range manners {
			score[m] = math.Max(score[m], top+usual.switchm) + s.beat[m][k]
			if i+1 < len(part) && !part[i+1].paused {
				sum, chord := s.span(k, frames[i], frames[i+1])
				if score[m] += sum; m != bare {
					score[m] += chord
				}
			}
			if part[i].paused {
				if k%s.plan.turn == 0 {
					score[m] += usual.breath
				} else {
					score[m] += usual.halt
				}
			}
		}
	}
	top := score[0]
	for _, v := range score {
		top = math.Max(top, v)
	}
	if mod(part[0].beat+shift, s.plan.turn) == 0 {
		top += usual.beginAt
	}
	return top
}

// Another tempo is one at which so many beats go into so many of these, about.
var elsewheres = [...]float64{1.0 / 3, 1.0 / 2, 2.0 / 3, 3.0 / 2, 2, 3}

const (
	about     = 1.09 // factor either way
	elseSpent = 45   // s; so much of a part is looked at for another tempo: as well as all of it
)

// elsewhere is the best path of a part at another tempo, and how much likelier
// it is.
func (s *scores) elsewhere(l *lattice, part []found, frames []int, pace float64, e *Evidence) (Reading, float64, bool) {
	n := len(part)
	for n > 2 && frames[n-1]-frames[0] > elseSpent*frameRate {
		n--
	}
	own := s.along(part[:n], frames[:n], 0)
	from := max(frames[0]-frameRate/2, 0)
	to := min(frames[n-1]+frameRate/2, l.frames)
	unit := pace / float64(e.Rate) * frameRate // frames
	c := *l.cost
	alone := &lattice{plan: l.plan, scores: s, cost: &c, frames: to, beats: l.beats}
	// What is left of the tempos is some ranges; a step from one to another
	// costs as much as its ratio asks for.
	for _, period := range l.periods {
		for _, r := range elsewheres {
			if math.Abs(math.Log(period/unit*r)) < math.Log(about) {
				alone.periods = append(alone.periods, period)
				break
			}
		}
	}
	if len(alone.periods) == 0 {
		return Reading{}, 0, false
	}
	alone.ready()
	alone.only = func(t, _ int) bool { return t >= from }
	alone.s.next = from
	path, _ := alone.stretch(from)
	parts := split(path)
	best, score := -1, 0.0
	for i, other := range parts {
		frames := make([]int, len(other))
		for k, f := range other {
			frames[k] = f.frame
		}
		if v := s.along(other, frames, 0); len(other) > 1 && (best < 0 || v > score) {
			best, score = i, v
		}
	}
	if best < 0 {
		return Reading{}, 0, false
	}
	other := parts[best]
	r := Reading{FirstBeat: float64(other[0].frame) * frame * float64(e.Rate)}
	periods := make([]float64, len(other))
	for i, f := range other {
		periods[i] = alone.periods[f.period]
		if f.beat%l.plan.turn == 0 {
			r.FirstBeat = float64(f.frame) * frame * float64(e.Rate)
			break
		}
	}
	for i, f := range other {
		periods[i] = alone.periods[f.period]
	}
	r.Tempo = 60 * frameRate / median(periods)
	return r, score - own, true
}
