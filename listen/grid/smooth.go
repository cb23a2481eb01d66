package grid

import "math"

// The beats of a path lie on frames. Each is put where the player's own pulse
// has it: a smoothed course of beats of slowly changing length that passes near
// the onsets. It is the two-pass smoother of Rauch, Tung & Striebel, "Maximum
// likelihood estimates of linear dynamic systems", AIAA Journal 3 (1965), its
// state a beat's time and the length of a unit; an onset counts the less the
// farther it lies from the course (Student's t), so that an early or a late
// note moves nothing.
const (
	handError  = 0.011 // s, of an onset about the pulse, standard deviation
	reach      = 0.075 // s; beyond it an onset is not of the beat
	lengthens  = 0.035 // of a unit's length from one beat to the next, standard deviation
	freedom    = 3.0   // of Student's t
	rests      = 1.0   // s, how uncertain a pause is
	smoothings = 4
)

// course is a beat on its way to being smoothed.
type course struct {
	time, unit     float64 // s; its state
	tt, tu, uu     float64 // covariance
	priorT, priorU float64
	ptt, ptu, puu  float64
	seen           float64 // onset, s
	certain        float64 // its weight, 0 for none
	length         float64 // units to the next
	stretch        bool    // a pause comes before
	fromFrame      float64
}

// smooth gives the beats of one segment their times in seconds. units are the
// lengths of the beats, unit the first guess of a unit's.
func smooth(path []found, lengths []float64, unit []float64, onsets []heard, plan *Plan) []float64 {
	c := make([]course, len(path))
	for i, f := range path {
		c[i] = course{length: lengths[i], stretch: f.paused, fromFrame: float64(f.frame) * frame}
	}
	ref := make([]float64, len(c))
	for i := range c {
		ref[i] = c[i].fromFrame
	}
	for round := range smoothings {
		for i, f := range path {
			c[i].look(onsets, ref[i], f.beat, plan, round > 0)
		}
		filter(c, unit)
		back(c)
		for i := range c {
			ref[i] = c[i].time
		}
	}
	return ref
}

// look finds the onset of a beat near a time.
func (c *course) look(onsets []heard, near float64, beat int, plan *Plan, settled bool) {
	lo, hi := 0, len(onsets)
	for lo < hi {
		if mid := (lo + hi) / 2; onsets[mid].at*frame < near-reach {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	best := 0.0
	c.certain = 0
	for i := lo; i < len(onsets) && onsets[i].at*frame <= near+reach; i++ {
		o := &onsets[i]
		off := o.at*frame - near
		r := o.ratio[beat]
		if a := o.asked[beat]; len(a) > 0 && plan.beats[beat].asks[0].after == 0 {
			r = math.Max(r, a[0])
		}
		// Student's t about the course.
		t := (freedom + 1) / (freedom + off*off/(4*handError*handError))
		if w := o.weight * math.Min(r, 3) * t; w > best {
			best = w
			c.seen, c.certain = o.at*frame, math.Min(o.weight, 1)
			if settled {
				c.certain *= math.Min((freedom+1)/(freedom+off*off/(handError*handError)), 1.2)
			}
		}
	}
}

// filter goes forward.
func filter(c []course, unit []float64) {
	for i := range c {
		x := &c[i]
		if i == 0 {
			x.priorT, x.priorU = x.fromFrame, unit[0]
			x.ptt, x.ptu, x.puu = 0.05*0.05, 0, math.Pow(0.1*unit[0], 2)
		} else {
			p := &c[i-1]
			u := p.length
			x.priorT, x.priorU = p.time+u*p.unit, p.unit
			x.ptt = p.tt + 2*u*p.tu + u*u*p.uu
			x.ptu = p.tu + u*p.uu
			x.puu = p.uu + math.Pow(lengthens*p.unit*math.Sqrt(u), 2)
			if x.stretch {
				x.priorT = x.fromFrame
				x.ptt += rests * rests
			}
		}
		// The path's own frame holds a beat that has no onset, loosely.
		x.time, x.unit, x.tt, x.tu, x.uu = x.priorT, x.priorU, x.ptt, x.ptu, x.puu
		x.see(x.fromFrame, math.Pow(0.25, 2))
		if x.certain > 0.02 {
			x.see(x.seen, handError*handError/x.certain)
		}
	}
}

// see takes in an observed time of that variance.
func (x *course) see(at, variance float64) {
	s := x.tt + variance
	kt, ku := x.tt/s, x.tu/s
	e := at - x.time
	x.time += kt * e
	x.unit += ku * e
	tt, tu := x.tt, x.tu
	x.tt -= kt * tt
	x.tu -= kt * tu
	x.uu -= ku * tu
}

// back goes backward.
func back(c []course) {
	for i := len(c) - 2; i >= 0; i-- {
		x, n := &c[i], &c[i+1]
		if n.stretch {
			continue // what came after a pause tells nothing of what was before
		}
		det := n.ptt*n.puu - n.ptu*n.ptu
		if !(det > 0) {
			continue
		}
		// Covariance of this state with the next as predicted: C F'.
		u := x.length
		a, b := x.tt+u*x.tu, x.tu
		d, e := x.tu+u*x.uu, x.uu
		ga, gb := (a*n.puu-b*n.ptu)/det, (b*n.ptt-a*n.ptu)/det
		gd, ge := (d*n.puu-e*n.ptu)/det, (e*n.ptt-d*n.ptu)/det
		dt, du := n.time-n.priorT, n.unit-n.priorU
		x.time += ga*dt + gb*du
		x.unit += gd*dt + ge*du
		// The covariances of the result are not needed: only means go back.
	}
}
