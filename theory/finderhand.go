package theory

// A hand has a finger for each of four frets, and opens or closes by one more
// where it must (common practice, no source).
const (
	handSpan = 4
	handOpen = 1
)

// trebles are the strings that ring above the thumb, 1 to trebles.
const trebles = 3

// basses is the highest of the strings that the thumb walks on.
const basses = 4

// stop is a finger of a shape: 1 the index to 4 the little finger, on a fret,
// over the strings from low (the thicker, greater number) to high.
type stop struct{ finger, fret, low, high int }

func (s stop) covers(str int) bool { return str >= s.high && str <= s.low }

// hand is the left hand that holds a chord.
type hand struct {
	frets    [6]int // by string less one; a negative one is not played
	stops    []stop
	position int // fret under the index, 1 or more
}

// cost of a place for a hand: how many treble strings lose their finger, how
// many frets it must open, and whether it must leave its place.
type grasp struct {
	damped, stretch int
	shift           bool
}

func (g grasp) cost() int {
	c := g.damped*weights[Damped].cost + g.stretch*weights[Stretch].cost
	if g.shift {
		c += weights[Shift].cost
	}
	return c
}

// sounding are the treble strings that this hand's shape stops at a stop.
func (h *hand) sounding(s stop) int {
	n := 0
	for str := 1; str <= trebles; str++ {
		if s.covers(str) && h.frets[str-1] == s.fret {
			n++
		}
	}
	return n
}

// reach is the least that a place on a bass string asks of the hand: an open
// string and a note of the shape ask for nothing, other notes for a finger,
// and for all fingers to leave that stand in its way.
func (h *hand) reach(p Place) grasp {
	if h.frets[p.String-1] == p.Fret {
		return grasp{}
	}
	if p.Fret == 0 {
		g := grasp{}
		for _, s := range h.stops {
			if s.covers(p.String) {
				g.damped += h.sounding(s)
			}
		}
		return g
	}
	best := grasp{shift: true, damped: trebles}
	for finger := 1; finger <= 4; finger++ {
		if g := h.with(finger, p); g.cost() < best.cost() {
			best = g
		}
	}
	return best
}

// with is what a place asks for when a given finger takes it.
func (h *hand) with(finger int, p Place) grasp {
	// The hand as a whole stays where it is, and so this finger over its fret
	// or the next.
	off := p.Fret - (h.position + finger - 1)
	if off < -handOpen || off > handOpen {
		return grasp{shift: true, damped: trebles}
	}
	g := grasp{}
	// Beyond the four frets, the finger at the edge opens.
	g.stretch = max(h.position-p.Fret, p.Fret-(h.position+handSpan-1), 0)
	for _, s := range h.stops {
		opens, fits := beside(s, finger, p)
		if s.finger == finger || !fits {
			g.damped += h.sounding(s)
			continue
		}
		g.stretch = max(g.stretch, opens)
	}
	return g
}

// beside tells whether a finger that stays can stay when another takes a
// place, and how far the hand must open for it, in frets.
func beside(s stop, finger int, p Place) (opens int, fits bool) {
	if s.covers(p.String) && s.fret >= p.Fret {
		return 0, false // it would sound instead
	}
	fingers, frets := finger-s.finger, p.Fret-s.fret
	if fingers < 0 {
		fingers, frets = -fingers, -frets
	}
	switch {
	case frets < 0: // fingers do not cross
		return 0, false
	case frets == 0:
		// Fingers on one fret stand as in the open A chord, the index on the
		// thickest string.
		if finger > s.finger && p.String >= s.high || finger < s.finger && p.String <= s.low {
			return 0, false
		}
	case frets > fingers+handOpen:
		return 0, false
	}
	return max(frets-fingers, 0), true
}

// place is where a hand finds a note on the bass strings with the least
// effort, the lowest fret of equals; false where the neck has none there.
func (h *hand) place(tuning Tuning, midi int) (Place, grasp, bool) {
	var best Place
	var least grasp
	found := false
	for str := 6; str >= basses; str-- {
		p := Place{str, midi - tuning[str-1]}
		if p.Fret < 0 || p.Fret > LastFret {
			continue
		}
		g := h.reach(p)
		if !found || g.cost() < least.cost() || g.cost() == least.cost() && p.Fret < best.Fret {
			best, least, found = p, g, true
		}
	}
	return best, least, found
}

// handOn is the hand that holds a chord of a key. Where no shape is known it
// lies open over the first frets. A guitar whose strings are all raised alike,
// as by a cejilla, is held as one that is not.
func handOn(key Key, c Chord, tuning Tuning) hand {
	raised := tuning[5] - Standard[5]
	for i := range tuning {
		if tuning[i]-Standard[i] != raised {
			raised = 0
		}
	}
	if raised != 0 {
		low := Standard
		// Transpose respells; only the pitches matter to the hand.
		return handOn(key.Transpose(-raised), c.lowered(raised), low)
	}
	var shape Shape
	var ok bool
	if c.String() == key.TonicChord().String() {
		shape, ok = key.TonicShape(tuning)
	} else {
		shape, ok = ShapeOf(c, tuning)
	}
	if !ok {
		return hand{frets: [6]int{Muted, Muted, Muted, Muted, Muted, Muted}, position: 1}
	}
	return newHand(shape)
}

// lowered is the chord some semitones lower, spelled in any way.
func (c Chord) lowered(semitones int) Chord {
	tones := make([]Name, len(c.Tones))
	for i, t := range c.Tones {
		tones[i] = simplest(t.PitchClass()-semitones, Major, true).Tonic
	}
	return Chord{tones}
}

func newHand(s Shape) hand {
	h := hand{frets: s.Frets, position: LastFret}
	for finger := 1; finger <= 4; finger++ {
		one := stop{finger: finger}
		for i := 5; i >= 0; i-- {
			if s.Fingers[i] != finger {
				continue
			}
			if one.low == 0 {
				one.low, one.fret = i+1, s.Frets[i]
			}
			one.high = i + 1
		}
		if one.low == 0 {
			continue
		}
		h.stops = append(h.stops, one)
		if h.stops[0].finger != 1 || finger == 1 { // the index says where the hand is, or all the others
			h.position = min(h.position, max(one.fret-finger+1, 1))
		}
	}
	if len(h.stops) == 0 {
		h.position = 1
	}
	return h
}
