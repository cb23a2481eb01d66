package page

import (
	"bordon/listen/match"
	"bordon/ui/words"
)

// label is that of a strummed turn.
func (r Row) label() string {
	for _, c := range r.Cells {
		if c.Label != "" {
			return c.Label
		}
	}
	return ""
}

// note is the first line of a cell.
func (c Cell) note() string {
	s := c.Heard
	switch {
	case c.State == Coming:
		return "."
	case c.State != Written:
		return ""
	case c.Word == match.Missing, c.Word == match.Unsure, c.Word == match.Strummed:
		s = c.Label
	}
	if c.Provisional {
		return "(" + s + ")"
	}
	return s
}

func (c Cell) role() Role {
	switch {
	case c.State != Written:
		return Ahead
	case c.Provisional, c.Word == match.Unsure, c.Word == match.Strummed:
		return Doubt
	case c.Word == match.Right, c.Word == match.Octave:
		return Quiet
	}
	return Wrong
}

// remarks are the lines beneath the note; place tells where what was asked lies.
func (c Cell) remarks(l *words.Language, place bool) []string {
	var r []string
	if c.State != Written {
		return nil
	}
	switch c.Word {
	case match.Octave, match.InScale, match.OutOfScale:
		r = append(r, c.Label)
	}
	switch c.Word {
	case match.Octave, match.InScale, match.OutOfScale, match.Missing:
		where := ""
		if place {
			where = c.Place
		}
		r = append(r, l.Asked(c.Asked, where))
	}
	if c.Timing != "" {
		r = append(r, c.Timing)
	}
	if c.Tries > 1 {
		r = append(r, l.Tries(c.Tries))
	}
	if c.Ruled != "" {
		r = append(r, c.Ruled)
	}
	return r
}

// Text is the first line of a cell, Remarks are those beneath it and Role is
// what the first line is, for those who draw the page otherwise than Draw.
// With place, Remarks tell where what was asked lies.
func (c Cell) Text() string                                   { return c.note() }
func (c Cell) Remarks(l *words.Language, place bool) []string { return c.remarks(l, place) }
func (c Cell) Role() Role                                     { return c.role() }
