package sheet

import "strconv"

// note draws one note: accidentals, heads, ledger lines, stem, flag and dot.
func (c *canvas) note(s *symbol, beamed bool) {
	name := s.headName()
	g := glyphs[name]
	wide := signWidth(name) * space
	s.displace(wide)
	left, leftmost, rightmost := s.x-wide/2, s.x-wide/2, s.x+wide/2
	several := false
	for _, h := range s.heads {
		x, y := left+h.shift, heightOf(h.place)
		c.sign(name, x, y, space)
		for _, p := range ledgers(h.place) {
			c.line(x-ledgerReach*space, heightOf(p), x+wide+ledgerReach*space, heightOf(p), ledgerStroke*space)
		}
		leftmost, rightmost = min(leftmost, x), max(rightmost, x+wide)
		several = several || h.other
	}
	if several {
		for _, h := range s.heads {
			if h.other {
				c.sign("noteheadParenthesisLeft", leftmost-0.6*space, heightOf(h.place), space)
				c.sign("noteheadParenthesisRight", rightmost+0.3*space, heightOf(h.place), space)
			}
		}
		leftmost, rightmost = leftmost-0.7*space, rightmost+0.6*space
	}
	// Beside a ledger line an accidental keeps clear of it.
	leftmost -= 0.25 * space
	if len(ledgers(s.heads[0].place)) > 0 || len(ledgers(s.heads[len(s.heads)-1].place)) > 0 {
		leftmost -= ledgerReach * space
	}
	for i := len(s.heads) - 1; i >= 0; i-- {
		if sign := s.heads[i].accidental; sign != "" {
			leftmost -= signWidth(sign) * space
			c.sign(sign, leftmost, heightOf(s.heads[i].place), space)
			leftmost -= 0.15 * space
		}
	}
	if s.value.dotted {
		for _, h := range s.heads {
			c.sign("augmentationDot", rightmost+0.4*space, heightOf(dotPlace(h.place)), space)
		}
	}
	if s.value.halvings == 0 {
		return
	}
	low, high := span(s.places())
	x, direction := s.stem(), "Up"
	from := heightOf(low) + g.stemUp[1]*space/unitsPerSpace
	if !s.up {
		from, direction = heightOf(high)+g.stemDown[1]*space/unitsPerSpace, "Down"
	}
	c.line(x, from, x, s.tip, stemStroke*space)
	if flag := s.value.flags(); flag > 0 && !beamed {
		c.sign("flag"+nth(s.value.halvings)+direction, x-stemStroke*space/2, s.tip, space)
	}
}

// displace moves heads that would lie on each other to the stem's other side.
func (s *symbol) displace(wide float64) {
	moved := false
	for i := range s.heads {
		j, by := i, 1
		if !s.up { // from the highest down
			j, by = len(s.heads)-1-i, -1
		}
		s.heads[j].shift = 0
		if i == 0 {
			continue
		}
		if near := (s.heads[j].place - s.heads[j-by].place) * by; near <= 1 && !moved {
			s.heads[j].shift, moved = float64(by)*(wide-stemStroke*space), true
		} else {
			moved = false
		}
	}
}

// dotPlace is the gap in which the dot of a head stands: its own, or the one
// over its line.
func dotPlace(place int) int {
	if place%2 == 0 {
		return place + 1
	}
	return place
}

// rest draws a rest. A whole one hangs from the fourth line, the others are
// about the middle.
func (c *canvas) rest(s symbol) {
	name, place := "rest"+nth(s.value.halvings), middleLine
	switch s.value.halvings {
	case 0:
		name, place = "restWhole", middleLine+2
	case 1:
		name = "restHalf"
	case 2:
		name = "restQuarter"
	}
	g := glyphs[name]
	wide := signWidth(name) * space
	c.sign(name, s.x-wide/2-g.left*space/unitsPerSpace, heightOf(place), space)
	if s.value.dotted {
		c.sign("augmentationDot", s.x+wide/2+0.4*space, heightOf(middleLine+1), space)
	}
}

// nth is how SMuFL names a value from the eighth on: "8th", "32nd".
func nth(halvings int) string {
	n := strconv.Itoa(1 << halvings)
	if n == "32" {
		return n + "nd"
	}
	return n + "th"
}
