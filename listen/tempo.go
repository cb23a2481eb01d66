package listen

import (
	"errors"
	"fmt"
	"math"

	"bordon/listen/grid"
)

// TempoChange is a turn from the beginning of which on the tempo is another.
// The clocks of two devices that run apart make small ones, too.
type TempoChange struct {
	Turn  int     `json:"turn"`      // from 1
	Tempo float64 `json:"tempo_bpm"` // units of the form a minute, grid.MinTempo to grid.MaxTempo
}

// Beat of the grid at which the change begins, in a form of that many beats.
func (c TempoChange) beat(beats int) float64 { return float64((c.Turn - 1) * beats) }

// changing is base with the changes of the settings; the error names the one
// that is wrong.
func (s *Settings) changing(base grid.Grid) (grid.Changing, error) {
	g := grid.NewChanging(base)
	if len(s.Tempos) > MaxTurns {
		return g, fmt.Errorf("%d changes of tempo are not usable; there may be one a turn, %d at most", len(s.Tempos), MaxTurns)
	}
	for i, c := range s.Tempos {
		switch {
		case c.Turn < 1 || c.Turn > MaxTurns || i > 0 && c.Turn <= s.Tempos[i-1].Turn:
			return g, fmt.Errorf("a change of tempo in turn %d is not usable; changes stand in order, from turn 1 on", c.Turn)
		case !(c.Tempo >= grid.MinTempo && c.Tempo <= grid.MaxTempo):
			return g, fmt.Errorf("a tempo of %v beats a minute is not usable; it must be %v to %v", c.Tempo, grid.MinTempo, grid.MaxTempo)
		}
		g = g.With(c.beat(s.Form.Beats), s.Tempo/c.Tempo)
	}
	return g, nil
}

// TempoIn is the tempo in a turn, in units of the form a minute.
func (s *Settings) TempoIn(turn int) float64 {
	tempo := s.Tempo
	for _, c := range s.Tempos {
		if c.Turn <= turn {
			tempo = c.Tempo
		}
	}
	return tempo
}

// movable is a session's grid, whose coming turns can change. It is the
// session's goroutine's alone.
type movable struct{ grid.Grid }

// ErrTooLate says that a tempo cannot change any more where it was asked to.
var ErrTooLate = errors.New("the turns that are left are laid out already")

// tempoDecimals keep a tempo exact to some microseconds in ten minutes, and
// its text short: what is written is what was judged by.
const tempoDecimals = 6

// ChangeTempo lets the tempo be another from the first turn on that nothing
// has been laid out for, and returns the change: usually the turn after the
// next begins it. The take judges the same from its file, by the change in
// the settings.
func (s *Session) ChangeTempo(tempo float64) (TempoChange, error) {
	c := TempoChange{s.NextTempo(), round(tempo, tempoDecimals)}
	set := s.set
	if n := len(set.Tempos); n > 0 && set.Tempos[n-1].Turn >= c.Turn {
		n--
		set.Tempos = append(append([]TempoChange(nil), set.Tempos[:n]...), c)
	} else {
		set.Tempos = append(append([]TempoChange(nil), set.Tempos...), c)
	}
	if set.Turns > 0 && c.Turn > set.Turns || s.closed {
		return TempoChange{}, ErrTooLate
	}
	g, err := set.Grid(s.rate)
	if err != nil {
		return TempoChange{}, err
	}
	s.set = set
	s.grid.Grid = g
	return c, nil
}

// Grid is where the beats are now, on the input, delay not included.
func (s *Session) Grid() grid.Grid { return s.grid.Grid }

// NextTempo is the turn from which on ChangeTempo would change the tempo: the
// first that no window depends on. An expected note owns
// half the gap to its neighbour, and 0.45 beat at most: where the next pass of
// the line begins two beats or more after the last note of the one before, its
// tempo does not matter to that note even if it doubles.
func (s *Session) NextTempo() int {
	free := s.match.LaidOut() + 1
	items, line := s.set.Line.Items, max(s.set.Line.Turns, 1)
	beats := s.set.Form.Beats
	first, last := items[0].Position.Offset(beats), items[len(items)-1].Position.Offset(beats)
	if gap := float64(line*beats) + first - last; math.Min(gap, float64(line*beats)-last) < 2 {
		free += line
	}
	return free
}
