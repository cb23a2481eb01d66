package theory

const (
	shapeFrets   = 4 // that a hand covers without a stretch (common practice, no source)
	shapeHighest = 12
	shapeStrings = 4 // sounding, at least
)

// shapeSearch tries every string from the sixth on.
type shapeSearch struct {
	chord    Chord
	tuning   Tuning
	position int
	frets    [6]int
	seen     map[[6]int]bool
	found    []Shape
}

// from chooses the frets of string i+1 and those above it. Strings are muted
// only below the root, which is the lowest that sounds, and above the last.
func (s *shapeSearch) from(i int, begun, ended bool) {
	if i < 0 {
		s.keep()
		return
	}
	s.frets[i] = Muted
	s.from(i-1, begun, begun)
	if ended {
		return
	}
	for _, fret := range [...]int{0, s.position, s.position + 1, s.position + 2, s.position + 3} {
		midi := s.tuning[i] + fret
		if begun && s.chord.Contains(midi) || !begun && mod(midi, 12) == s.chord.Tones[0].PitchClass() {
			s.frets[i] = fret
			s.from(i-1, true, false)
		}
	}
	s.frets[i] = Muted
}

func (s *shapeSearch) keep() {
	shape := Shape{Chord: s.chord, Tuning: s.tuning, Frets: s.frets}
	sounding, held := 0, 0
	for _, fret := range s.frets {
		if fret != Muted {
			sounding++
		}
		if fret > 0 {
			held++
		}
	}
	if sounding < shapeStrings || s.seen[s.frets] {
		return
	}
	s.seen[s.frets] = true
	if shape.give(held) && shape.Validate() == nil {
		s.found = append(s.found, shape)
	}
}

// give gives the fingers: fret by fret, from the sixth string on, each no
// further back than its fret. More strings than fingers take a barre of the
// index on the lowest fret.
func (s *Shape) give(held int) bool {
	low, finger := s.Position(), 0
	left := held // still to be held
	if held > 4 {
		for i, fret := range s.Frets {
			if fret == low {
				s.Fingers[i] = 1
				left--
			}
		}
		finger = 1
	}
	if left > 4-finger {
		return false
	}
	for fret := low; fret < low+shapeFrets && left > 0; fret++ {
		for i := 5; i >= 0; i-- {
			if s.Frets[i] != fret || s.Fingers[i] != 0 || fret == 0 {
				continue
			}
			finger = min(max(finger+1, 1+fret-low), 5-left)
			s.Fingers[i] = finger
			left--
		}
	}
	return left == 0
}

// effort is what the search ranks by, less being easier: far up the neck, many
// fingers, a barre, a wide hand, and strings that must not be struck (common
// practice, no source).
func (s Shape) effort() int {
	effort, low, high := 0, s.Position(), 0
	for i, fret := range s.Frets {
		switch {
		case fret == Muted:
			effort++
		case fret > 0:
			effort++
			high = max(high, fret)
		}
		if fret == Muted && i == 0 { // the first string is the one that is heard
			effort++
		}
	}
	if _, _, from, to, ok := s.Barre(); ok {
		effort += 2 - (from - to)
	}
	if low > 1 {
		effort += 2 * (low - 1)
	}
	return effort + high - low
}
