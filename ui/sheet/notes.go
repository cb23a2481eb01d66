package sheet

import (
	"cmp"
	"slices"

	"bordon/theory"
)

// Strokes of the staff and lengths, in spaces.
const (
	staffStroke  = 0.13
	stemStroke   = 0.14
	ledgerStroke = 0.17
	ledgerReach  = 0.4
	beamStroke   = 0.5
	beamStep     = 0.75
)

// space is the distance between two lines of the staff: it is seven and a half
// millimetres high, as in printed parts that are read from a stand (common
// practice, no source).
const space = 1.9

// head is one head of a note.
type head struct {
	place      int
	accidental string
	other      bool // an alternative to the first
	shift      float64
}

// symbol is a written value: a note with its heads, or a rest.
type symbol struct {
	x     float64 // the middle of its heads
	item  int
	value value
	heads []head // the lowest first; none is a rest
	loose bool   // any note of the key or the chord
	tied  bool   // to the one before
	up    bool   // the stem
	tip   float64
}

func (s symbol) places() []int {
	places := make([]int, len(s.heads))
	for i, h := range s.heads {
		places[i] = h.place
	}
	return places
}

// headName is the sign of the symbol's heads.
func (s symbol) headName() string {
	names := [3]string{"noteheadWhole", "noteheadHalf", "noteheadBlack"}
	if s.loose {
		names = [3]string{"noteheadSlashWhiteWhole", "noteheadSlashWhiteHalf", "noteheadSlashHorizontalEnds"}
	}
	return names[min(s.value.halvings, 2)]
}

// heightOf is how far a place lies under the staff's highest line.
func heightOf(place int) float64 { return float64(8-place) * space / 2 }

// symbolsOf writes a beat's events, each value of a tie beside the other.
func (r row) symbolsOf(i int, line theory.Line, b *bar) []symbol {
	var symbols []symbol
	events := r.beats[i].rhythm.events
	for j, e := range events {
		x, room := r.x(i, e), r.at[i]+r.per[i]-r.x(i, e)
		if j+1 < len(events) {
			room = r.x(i, events[j+1]) - x
		}
		s := symbol{item: e.item}
		if e.item != rest {
			s.loose, s.heads = headsOf(line.Items[e.item], b)
		}
		for k, v := range e.values {
			s.x, s.value = x+room*float64(k)/float64(len(e.values)), v
			if k > 0 {
				s.tied, s.heads = true, slices.Clone(s.heads)
				for h := range s.heads {
					s.heads[h].accidental = ""
				}
			}
			symbols = append(symbols, s)
		}
	}
	return symbols
}

// headsOf are the heads that an item asks for, with the accidentals that the
// bar so far makes necessary.
func headsOf(item theory.Item, b *bar) (loose bool, heads []head) {
	for _, c := range item.Choices {
		if c.Kind != theory.ExactNote {
			loose = true
			continue
		}
		heads = append(heads, head{place: placeOf(c.Note), accidental: b.accidental(c.Note), other: len(heads) > 0})
	}
	if loose {
		return true, []head{{place: middleLine}}
	}
	slices.SortStableFunc(heads, func(x, y head) int { return cmp.Compare(x.place, y.place) })
	return false, heads
}

// group is a run of symbols under one beam, or a single one.
type group struct{ from, to int }

// groups finds the runs of notes with flags in a beat.
func groups(symbols []symbol) []group {
	var all []group
	for i := 0; i < len(symbols); {
		j := i + 1
		for len(symbols[i].heads) > 0 && symbols[i].value.flags() > 0 &&
			j < len(symbols) && len(symbols[j].heads) > 0 && symbols[j].value.flags() > 0 {
			j++
		}
		all = append(all, group{i, j})
		i = j
	}
	return all
}

// beat draws the symbols of a beat, and the number over a beat that is not
// halved.
func (c *canvas) beat(symbols []symbol, tuplet int) {
	all := groups(symbols)
	top := 0.0
	for _, g := range all {
		c.group(symbols[g.from:g.to])
	}
	for i := range symbols {
		if s := symbols[i]; s.tied && len(s.heads) > 0 {
			c.ties(symbols[i-1], s)
		}
		if s := symbols[i]; len(s.heads) > 0 && s.up {
			top = min(top, s.tip)
		}
		for _, h := range symbols[i].heads {
			top = min(top, heightOf(h.place)-space/2)
		}
	}
	if tuplet > 0 {
		c.tuplet(symbols[0].x, symbols[len(symbols)-1].x, top-1.1*space, tuplet, len(all) == 1)
	}
}

func (c *canvas) ties(from, to symbol) {
	for _, h := range to.heads {
		down := 1.0
		if !from.up {
			down = -1
		}
		y := heightOf(h.place) + down*0.8*space
		c.arc(from.x+0.5*space, to.x-0.5*space, y, down*0.7*space)
	}
}

// tuplet writes into how many parts a beat is divided, with a bracket where no
// beam holds them together.
func (c *canvas) tuplet(from, to, y float64, parts int, beamed bool) {
	digits := []string{}
	for n := parts; n > 0; n /= 10 {
		digits = append([]string{"tuplet" + string(rune('0'+n%10))}, digits...)
	}
	wide := 0.0
	for _, d := range digits {
		wide += signWidth(d) * space
	}
	mid := (from + to) / 2
	x := mid - wide/2
	for _, d := range digits {
		c.sign(d, x-glyphs[d].left*space/unitsPerSpace, y, space)
		x += signWidth(d) * space
	}
	if beamed || to-from < wide+2*space {
		return
	}
	y -= 0.5 * space
	from, to = from-0.6*space, to+0.6*space
	for _, side := range [][2]float64{{from, mid - wide/2 - 0.4*space}, {to, mid + wide/2 + 0.4*space}} {
		c.line(side[0], y, side[1], y, ledgerStroke*space)
		c.line(side[0], y, side[0], y+0.7*space, ledgerStroke*space)
	}
}

// group draws a rest, a note, or notes under a beam.
func (c *canvas) group(symbols []symbol) {
	if len(symbols[0].heads) == 0 {
		c.rest(symbols[0])
		return
	}
	var places []int
	for _, s := range symbols {
		places = append(places, s.places()...)
	}
	up := stemsUp(places...)
	levels := 0
	tip, beamed := 0.0, len(symbols) > 1
	for i := range symbols {
		s := &symbols[i]
		s.up = up
		low, high := span(s.places())
		end := heightOf(stemEnd(high, true))
		if !up {
			end = heightOf(stemEnd(low, false))
		}
		s.tip = end
		levels = max(levels, s.value.flags())
		if i == 0 || up && end < tip || !up && end > tip {
			tip = end
		}
	}
	if beamed {
		// Beams lie towards the heads; stems are longer for the third and on.
		more := float64(max(levels-2, 0)) * beamStep * space
		if up {
			tip -= more
		} else {
			tip += more
		}
	}
	for i := range symbols {
		if beamed {
			symbols[i].tip = tip
		}
		c.note(&symbols[i], beamed)
	}
	if beamed {
		c.beams(symbols, levels)
	}
}

// beams draws the beams of a group whose stems end at one height.
func (c *canvas) beams(symbols []symbol, levels int) {
	const stub = 1.1 * space
	y, step := symbols[0].tip, beamStep*space
	if !symbols[0].up {
		y, step = y-beamStroke*space, -step
	}
	for level := 1; level <= levels; level++ {
		for i := 0; i < len(symbols); {
			if symbols[i].value.flags() < level {
				i++
				continue
			}
			j := i
			for j+1 < len(symbols) && symbols[j+1].value.flags() >= level {
				j++
			}
			from, to := symbols[i].stem(), symbols[j].stem()
			switch {
			case i == j && i == 0:
				to = from + stub
			case i == j:
				from = to - stub
			}
			c.box(from-stemStroke*space/2, y+float64(level-1)*step, to-from+stemStroke*space, beamStroke*space, 0)
			i = j + 1
		}
	}
}

// stem is where the symbol's stem stands.
func (s symbol) stem() float64 {
	g := glyphs[s.headName()]
	left := s.x - signWidth(s.headName())*space/2
	if s.up {
		return left + (g.stemUp[0]/unitsPerSpace-stemStroke/2)*space
	}
	return left + (g.stemDown[0]/unitsPerSpace+stemStroke/2)*space
}
