package grid

import "math"

// A player who broke off and begins anew keeps about the tempo. Short stretches
// are looked for beside the longest, and taken for played, at its tempo only:
// at any tempo, a few onsets anywhere would make one.
const (
	sameTempo  = 1.2 // factor either way
	leastTry   = 3   // beats
	leastTried = 9.0 // score
)

// played is a part of the path that holds, with its segment.
type played struct {
	part []found
	seg  Segment
}

// tries drops of the stretches the ones shorter than a turn that are at another
// tempo than the longest, and looks for short ones at that tempo in all that is
// left over. Where none is a turn long nothing tells the tempo.
func (s *scores) tries(l *lattice, all []played, e *Evidence, o Options) []played {
	tempo, most := 0.0, l.plan.turn-1
	for i := range all {
		if n := len(all[i].part); n > most {
			tempo, most = all[i].seg.Tempo, n
		}
	}
	if tempo == 0 {
		return all
	}
	unit := 60 * frameRate / tempo
	near := func(period float64) bool { return math.Abs(math.Log(period/unit)) <= math.Log(sameTempo) }
	some := &lattice{plan: l.plan, scores: s, beats: l.beats, only: l.only}
	for _, p := range l.periods {
		if near(p) {
			some.periods = append(some.periods, p)
		}
	}
	c := *l.cost
	c.away = 0 // the tempo is known better than by what is usual
	some.cost = &c
	var out []played
	from := 0
	look := func(to int) {
		if len(some.periods) == 0 || float64(to-from) < (leastTry-1)*unit/sameTempo {
			return
		}
		in := *some
		in.frames = to
		in.ready()
		in.s.next = from
		path, _ := in.stretch(from)
		for _, part := range split(path) {
			if seg, ok := s.segment(&in, part, e, o); ok && seg.Score >= leastTried && len(part) >= leastTry {
				out = append(out, played{part, seg})
			}
		}
	}
	for _, x := range all {
		if len(x.part) < l.plan.turn && !near(60*frameRate/x.seg.Tempo) {
			continue
		}
		look(x.part[0].frame - int(unit/2))
		out = append(out, x)
		from = x.part[len(x.part)-1].frame + int(unit/2)
	}
	look(l.frames)
	return out
}
