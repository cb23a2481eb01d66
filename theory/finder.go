package theory

import (
	"container/heap"
	"errors"
	"fmt"
	"slices"
)

// MaxWalks is how many walks Find lists at most.
const MaxWalks = 1000

// Walk is a way of the bass from the dominant to the tonic, one note a beat,
// with what it asks of the hand.
type Walk struct {
	Notes  []WalkNote // in order of time
	Counts [traits]int
	Key    Key
	Form   Form
	Tuning Tuning
}

// WalkNote is a note of a walk, as fingered.
type WalkNote struct {
	Position Position
	Note     Note
	Degree   string // as Key.Degree writes it
	Place    Place  // on strings 6 to 4
	Chord    Chord  // sounding by the form
	Damped   int    // treble strings whose finger must leave the chord's shape
	Stretch  int    // frets that the hand must open
	Shift    bool   // the hand must leave its place
}

// Cost is the sum of the walk's traits by their weights; 0 is a walk that
// nothing speaks against.
func (w Walk) Cost() int {
	sum := 0
	for t, n := range w.Counts {
		sum += n * weights[t].cost
	}
	return sum
}

// Count is how often a trait occurs in the walk.
func (w Walk) Count(t Trait) int {
	if t < 0 || t >= traits {
		return 0
	}
	return w.Counts[t]
}

// Line is the walk as a line, one exact note an item.
func (w Walk) Line() Line {
	l := Line{Turns: 1, Key: w.Key, Form: w.Form, Tuning: w.Tuning, Items: make([]Item, len(w.Notes))}
	for i, n := range w.Notes {
		l.Items[i] = Item{
			Position: n.Position,
			Choices:  []Choice{{Kind: ExactNote, Note: n.Note, Text: n.Note.String()}},
			Chord:    n.Chord,
			Landing:  i == len(w.Notes)-1 && n.Note.PitchClass() == w.Key.Tonic.PitchClass(),
		}
		l.Turns = max(l.Turns, n.Position.Turn)
	}
	return l
}

// Find lists the walks of a form in a key, the best first, count of them at
// most (1 to MaxWalks). It considers every way to reach the tonic on the
// form's landing over the beats where its line runs, with one note of the
// key's scale a beat, none twice in a row, on strings 6 to 4 within reach of
// the hand that holds the chord of the beat. Each trait that speaks against a
// walk has a weight, the same in every key; of equals the lower-sounding comes
// first.
//
// All is as fingered: a cejilla changes nothing.
func Find(key Key, form Form, tuning Tuning, count int) ([]Walk, error) {
	if count < 1 || count > MaxWalks {
		return nil, fmt.Errorf("%d walks cannot be listed; ask for 1 to %d", count, MaxWalks)
	}
	s, err := newSearch(key, form, tuning)
	if err != nil {
		return nil, fmt.Errorf("finding the walks of %s in %v: %w", form.Name, key, err)
	}
	var walks []Walk
	for len(walks) < count {
		picks, ok := s.next()
		if !ok {
			break
		}
		walks = append(walks, s.walk(picks))
	}
	if len(walks) == 0 {
		return nil, fmt.Errorf("finding the walks of %s in %v: no hand reaches the tonic on these strings", form.Name, key)
	}
	return walks, nil
}

// candidate is a note that a beat may have.
type candidate struct {
	midi  int
	place Place
	grasp grasp
	cost  int // of all that depends on this note alone
}

// search is a best-first search over the beats. What remains from a pair of
// notes on costs at least what rest says, exactly so, and so the walks come
// out in order of their cost, and none is left out.
type search struct {
	key    Key
	form   Form
	tuning Tuning
	beats  []Position
	chords []Chord
	notes  [][]candidate // by beat, from low to high
	lowest int           // the lowest landing
	rest   [][][]int     // by beat, the note before, the note: cost of what follows
	open   frontier
}

func newSearch(key Key, form Form, tuning Tuning) (*search, error) {
	if !key.valid() {
		return nil, errors.New("there is no key; give one such as G or por-medio")
	}
	beats, err := form.lineBeats(key)
	if err != nil {
		return nil, err
	}
	s := &search{key: key, form: form, tuning: tuning, beats: beats}
	hands := map[string]*hand{}
	for i, b := range beats {
		chord := form.ChordAt(key, float64(b.Beat)+b.fraction())
		h := hands[chord.String()]
		if h == nil {
			held := handOn(key, chord, tuning)
			h = &held
			hands[chord.String()] = h
		}
		s.chords = append(s.chords, chord)
		s.notes = append(s.notes, s.candidates(h, chord, i == len(beats)-1))
	}
	s.lowest = lowestTonic(key, tuning)
	s.measure()
	s.begin()
	return s, nil
}

// candidates are the notes that a beat may have.
func (s *search) candidates(h *hand, chord Chord, landing bool) []candidate {
	var all []candidate
	for midi := s.tuning.low(); midi <= s.tuning[basses-1]+LastFret; midi++ {
		tonic := mod(midi, 12) == s.key.Tonic.PitchClass()
		if landing && !tonic || !s.key.Contains(midi) {
			continue
		}
		place, g, ok := h.place(s.tuning, midi)
		if !ok || g.shift {
			continue
		}
		var counts [traits]int
		alone(&counts, chord, midi, g)
		if landing {
			counts[HighLanding] = (midi - lowestTonic(s.key, s.tuning)) / 12
		}
		all = append(all, candidate{midi, place, g, Walk{Counts: counts}.Cost()})
	}
	return all
}

// lowestTonic is the lowest tonic that the guitar has.
func lowestTonic(key Key, tuning Tuning) int {
	return tuning.low() + mod(key.Tonic.PitchClass()-tuning.low(), 12)
}

// between is the cost of the move from note j of beat i-1 to note k of beat i,
// after note h of beat i-2 (-1 where there is none).
func (s *search) between(i, h, j, k int) int {
	var counts [traits]int
	before := noNote
	if h >= 0 {
		before = s.notes[i-2][h].midi
	}
	move(&counts, s.key, before, s.notes[i-1][j].midi, s.notes[i][k].midi, i == len(s.beats)-1)
	return Walk{Counts: counts}.Cost()
}

const unreachable = 1 << 30

// measure fills rest from the landing back.
func (s *search) measure() {
	last := len(s.beats) - 1
	s.rest = make([][][]int, last+1)
	for i := last; i > 0; i-- {
		s.rest[i] = make([][]int, len(s.notes[i-1]))
		for j := range s.notes[i-1] {
			s.rest[i][j] = make([]int, len(s.notes[i]))
			for k := range s.notes[i] {
				if s.notes[i-1][j].midi == s.notes[i][k].midi {
					s.rest[i][j][k] = unreachable
					continue
				}
				if i == last {
					continue
				}
				least := unreachable
				for n := range s.notes[i+1] {
					if r := s.rest[i+1][k][n]; r < unreachable {
						least = min(least, s.between(i+1, j, k, n)+s.notes[i+1][n].cost+r)
					}
				}
				s.rest[i][j][k] = least
			}
		}
	}
}

// node is the beginning of a walk: what it has cost, and what it costs at
// least when it is whole.
type node struct {
	picks       []uint8 // index of each beat's note
	cost, total int
}

// frontier is a heap of nodes, the cheapest first, of equals the lower.
type frontier []node

func (f frontier) Len() int      { return len(f) }
func (f frontier) Swap(i, j int) { f[i], f[j] = f[j], f[i] }
func (f frontier) Less(i, j int) bool {
	if f[i].total != f[j].total {
		return f[i].total < f[j].total
	}
	return slices.Compare(f[i].picks, f[j].picks) < 0
}
func (f *frontier) Push(x any) { *f = append(*f, x.(node)) }
func (f *frontier) Pop() any {
	last := (*f)[len(*f)-1]
	*f = (*f)[:len(*f)-1]
	return last
}

// begin puts the first notes on the frontier.
func (s *search) begin() {
	for k, n := range s.notes[0] {
		least := 0
		if len(s.beats) > 1 {
			least = unreachable
			for m, after := range s.notes[1] {
				if r := s.rest[1][k][m]; r < unreachable {
					least = min(least, s.between(1, -1, k, m)+after.cost+r)
				}
			}
		}
		if least < unreachable {
			heap.Push(&s.open, node{[]uint8{uint8(k)}, n.cost, n.cost + least})
		}
	}
}

// next is the next best walk, as the index of each beat's note.
func (s *search) next() (picks []uint8, ok bool) {
	for len(s.open) > 0 {
		n := heap.Pop(&s.open).(node)
		i := len(n.picks)
		if i == len(s.beats) {
			return n.picks, true
		}
		h, j := -1, int(n.picks[i-1])
		if i > 1 {
			h = int(n.picks[i-2])
		}
		for k, c := range s.notes[i] {
			r := s.rest[i][j][k]
			if r >= unreachable {
				continue
			}
			cost := n.cost + s.between(i, h, j, k) + c.cost
			picks := append(slices.Clip(n.picks), uint8(k))
			heap.Push(&s.open, node{picks, cost, cost + r})
		}
	}
	return nil, false
}

// walk writes out what next found.
func (s *search) walk(picks []uint8) Walk {
	w := Walk{Key: s.key, Form: s.form, Tuning: s.tuning, Notes: make([]WalkNote, len(picks))}
	for i, k := range picks {
		c := s.notes[i][k]
		w.Notes[i] = WalkNote{
			Position: s.beats[i], Note: s.key.Spell(c.midi), Degree: s.key.Degree(c.midi), Place: c.place,
			Chord: s.chords[i], Damped: c.grasp.damped, Stretch: c.grasp.stretch, Shift: c.grasp.shift,
		}
	}
	w.count()
	return w
}
