package live

import (
	"math"

	"bordon/listen"
	"bordon/listen/match"
)

const (
	// slackSeconds is how far the grid may lie from the pulse as it is known
	// before it is corrected: with what the clocks are known to, a millisecond.
	slackSeconds = 0.0005
	// A pulse that is this far away was not carried off by a clock: it is
	// played anew where it belongs.
	strayedSeconds = 0.020
)

// scored is what the turns so far came to.
type scored struct{ before match.Score }

// clean reports whether every note since the last call was right, on time
// where that is judged, and none too many.
func (c *scored) clean(s match.Score, timed bool) bool {
	right := s.Right - c.before.Right
	if timed {
		right = s.RightOnTime - c.before.RightOnTime
	}
	judged := s.Judged - c.before.Judged
	clean := judged > 0 && right == judged && s.Extra == c.before.Extra
	c.before = s
	return clean
}

// Turn is told of each TurnScore event of the session before the next samples
// are read. It lets the tempo rise where that was asked for, and keeps the
// session's grid at the pulse while the clocks run apart. It returns the
// player's new tempo, from a turn on; ok is false where it stays.
func (r *Room) Turn(s *listen.Session, e listen.Event) (c listen.TempoChange, ok bool) {
	if e.Turn == 0 {
		return c, false
	}
	if r.cfg.Rise != nil {
		tempo := r.cfg.Rise.Turn(r.score.clean(e.Score, s.Settings().DelayKnown), r.tempo)
		if tempo != r.tempo {
			return r.SetTempo(s, tempo)
		}
	}
	r.correct(s)
	return c, false
}

// SetTempo lets the tempo be another as soon as it can be. ok is false where
// it cannot be any more.
func (r *Room) SetTempo(s *listen.Session, tempo float64) (c listen.TempoChange, ok bool) {
	// A beat of the pulse that asks for another tempo keeps its clock's share.
	was := s.Settings()
	share := was.TempoIn(math.MaxInt32) / r.tempo
	c, err := s.ChangeTempo(tempo * share)
	if err != nil {
		return c, false
	}
	r.beats = s.Grid()
	r.tempo, c.Tempo = tempo, tempo
	if n := len(r.tempos); n > 0 && r.tempos[n-1].Turn >= c.Turn {
		r.tempos = r.tempos[:n-1]
	}
	r.tempos = append(r.tempos[:len(r.tempos):len(r.tempos)], c)
	if r.out != nil && r.out.placed {
		set := r.cfg.Settings
		set.Tempos = r.tempos
		if music, err := set.Grid(r.rate); err == nil {
			r.out.play(r.cfg, music, r.out.beats.by)
		}
	}
	return c, true
}

// correct lets the grid of the first turn that can still change end where the
// pulse will be, unless it does so already.
func (r *Room) correct(s *listen.Session) {
	beats := float64(r.cfg.Settings.Form.Beats)
	free := s.NextTempo()
	from, to := float64(free-1)*beats, float64(free)*beats
	want, ok := r.Played(to)
	if !ok {
		return
	}
	begin, end := float64(r.beats.Sample(from)), float64(r.beats.Sample(to))
	off := (want - end) / float64(r.rate)
	switch {
	case math.Abs(off) <= slackSeconds:
		return
	case math.Abs(off) > strayedSeconds:
		r.out.placed = false
		return
	}
	set := s.Settings()
	if _, err := s.ChangeTempo(set.TempoIn(free) * (end - begin) / (want - begin)); err == nil {
		r.beats = s.Grid()
	}
}
