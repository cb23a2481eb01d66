package main

import (
	"math/rand/v2"
	"sort"

	"bordon/dsp/pluck"
)

// open strings, MIDI, string 1 first.
var open = [6]int{64, 59, 55, 50, 45, 40}

// scene is what a made-up guitarist does for some seconds: bass notes, rolled
// and held arpeggios, strums, taps, in no order that a line would have, so
// that the ear learns no line by heart.
type scene struct {
	rng     *rand.Rand
	cejilla int
	dropD   bool
	events  []pluck.Event
	thumbs  []float64 // when the thumb plays a note for itself, in order
	at      float64
	chord   [6]int // fret of each string, -1 not played
	bass    int    // string of the last bass note
	fret    int
	vel     float64
	apoyado float64
}

func (s *scene) chance(p float64) bool        { return s.rng.Float64() < p }
func (s *scene) between(a, b float64) float64 { return a + (b-a)*s.rng.Float64() }

// newChord holds a triad or a seventh in open position: on each string the
// lowest fret, up to the fourth, that belongs to it.
func (s *scene) newChord() {
	root := s.rng.IntN(12)
	third := 3 + s.rng.IntN(2)
	tones := map[int]bool{root: true, (root + third) % 12: true, (root + 7) % 12: true}
	if s.chance(0.3) {
		tones[(root+10)%12] = true
	}
	for i, o := range open {
		s.chord[i] = -1
		first := 0
		if s.chance(0.2) {
			first = 1
		}
		for f := first; f <= 4; f++ {
			if tones[(o+f)%12] {
				s.chord[i] = f
				break
			}
		}
	}
}

func (s *scene) pluck(at float64, str, fret int, vel float64) {
	if fret < 0 {
		return
	}
	s.events = append(s.events, pluck.Event{At: at, Kind: pluck.Pluck, String: str, Fret: fret + s.cejilla,
		Velocity: min(1, max(0.05, vel))})
}

// midi is the pitch that an event sounds.
func (s *scene) midi(e pluck.Event) int {
	m := open[e.String-1] + e.Fret
	if s.dropD && e.String == 6 {
		m -= 2
	}
	return m
}

// thumb plays one bass note.
func (s *scene) thumb(at float64) {
	str := 4 + s.rng.IntN(3)
	fret := s.rng.IntN(5)
	switch r := s.rng.Float64(); {
	case r < 0.12: // the same note again
		str, fret = s.bass, s.fret
	case r < 0.4: // a note of the chord
		if f := s.chord[str-1]; f >= 0 {
			fret = f
		}
	}
	s.bass, s.fret = str, fret
	s.thumbs = append(s.thumbs, at)
	s.pluck(at, str, fret, s.vel*s.between(0.3, 1))
	s.events[len(s.events)-1].Apoyado = s.chance(s.apoyado)
	if s.chance(0.04) { // the left hand alone sounds a second note
		s.pluck(at+s.between(0.12, 0.4), str, (fret+1+s.rng.IntN(3))%5, s.vel*s.between(0.4, 0.8))
		s.events[len(s.events)-1].Ligado = true
	}
}

// beside touches open strings beside the bass note that was just played: the
// thumb comes over one or two below it, or brushes one before or after.
func (s *scene) beside() {
	e := s.events[len(s.events)-1]
	if e.Ligado {
		return
	}
	if s.chance(0.65) {
		at := e.At
		for str := e.String + 1; str <= min(6, e.String+2); str++ {
			at -= s.between(0.018, 0.042)
			s.pluck(at, str, 0, e.Velocity*s.between(0.4, 1))
			if s.chance(0.5) {
				break
			}
		}
		return
	}
	str := e.String + 1
	if str > 6 || str == 5 && s.chance(0.5) {
		str -= 2
	}
	at := e.At - s.between(0.015, 0.05)
	if s.chance(0.5) {
		at = e.At + s.between(0.02, 0.08)
	}
	s.pluck(at, str, 0, e.Velocity*s.between(0.15, 0.6))
}

// trebles plays the upper strings from at on, gap seconds apart.
func (s *scene) trebles(at, gap float64, vel float64) float64 {
	order := [][]int{{3, 2, 1}, {3, 2, 1, 2}, {1, 2, 3}, {2, 1}, {3, 1}, {3, 2}, {1}, {2}, {3, 2, 1, 2, 3}}[s.rng.IntN(9)]
	for _, str := range order {
		fret := s.chord[str-1]
		if fret < 0 || s.chance(0.15) {
			fret = s.rng.IntN(6)
		}
		s.pluck(at, str, fret, vel*s.between(0.6, 1))
		at += gap * s.between(0.8, 1.2)
	}
	return at
}

func (s *scene) strum(at, spread float64, vel float64) {
	from, to, step := 6, 1, -1
	if s.chance(0.35) {
		from, to, step = 1, 6, 1
	}
	from += step * s.rng.IntN(2)
	n := 0
	for str := from; str != to+step; str += step {
		if f := s.chord[str-1]; f >= 0 {
			s.pluck(at+spread*float64(n)/5, str, f, vel*s.between(0.6, 1))
			n++
		}
	}
}

func (s *scene) noise(kind pluck.Kind, at, vel float64) {
	s.events = append(s.events, pluck.Event{At: at, Kind: kind, Velocity: vel})
}

// newScene draws about seconds of playing.
func newScene(rng *rand.Rand, seconds float64) *scene {
	s := &scene{rng: rng, bass: 5, fret: 2}
	if s.chance(0.5) {
		s.cejilla = rng.IntN(8)
	}
	s.dropD = s.chance(0.1)
	s.vel = s.between(0.4, 1)
	s.apoyado = []float64{0, 0.5, 1}[rng.IntN(3)]
	treble := s.vel * s.between(0.4, 1.5)
	pace := s.between(0.2, 0.75)
	if s.chance(0.12) {
		pace = s.between(0.11, 0.2)
	}
	golpes := s.chance(0.4)
	s.at = s.between(0.1, 0.5)
	for s.at < seconds-0.8 {
		if s.chance(0.2) {
			s.newChord()
		}
		step := pace * s.between(0.85, 1.15)
		switch r := s.rng.Float64(); {
		case r < 0.08: // bare
			s.thumb(s.at)
		case r < 0.29: // rolled
			s.thumb(s.at)
			gap := s.between(0.022, 0.06)
			s.trebles(s.at+gap, gap, treble)
		case r < 0.44: // together
			s.thumb(s.at)
			s.trebles(s.at+s.between(-0.006, 0.008), 0.003, treble)
		case r < 0.57: // one at a time
			s.thumb(s.at)
			gap := s.between(0.07, 0.2)
			step = max(step, s.trebles(s.at+gap, gap, treble)-s.at)
		case r < 0.70: // trebles alone
			gap := s.between(0.02, 0.2)
			step = max(step, s.trebles(s.at, gap, treble)-s.at)
		case r < 0.78: // trebles together: their common period is no bass note
			s.trebles(s.at, s.between(0.001, 0.006), treble)
			if s.chance(0.4) {
				s.noise(pluck.Tap, s.at+s.between(-0.008, 0.008), s.between(0.1, 0.9))
			}
		case r < 0.89:
			n := 1 + s.rng.IntN(3)
			for range n {
				s.strum(s.at, s.between(0.01, 0.06), s.vel*s.between(0.5, 1.1))
				s.at += s.between(0.09, 0.3)
			}
		case r < 0.905: // two bass notes close together
			s.thumb(s.at)
			s.thumb(s.at + s.between(0.018, 0.12))
		case r < 0.95: // a string beside the note's
			s.thumb(s.at)
			s.beside()
			if s.chance(0.7) {
				s.trebles(s.at+s.between(0, 0.05), s.between(0.002, 0.05), treble)
			}
		case r < 0.965: // a hand laid on the strings
			for str := 1; str <= 6; str++ {
				s.events = append(s.events, pluck.Event{At: s.at, Kind: pluck.Damp, String: str})
			}
		default:
			s.noise(pluck.Tap, s.at, s.between(0.2, 1))
		}
		if golpes && s.chance(0.15) {
			s.noise(pluck.Tap, s.at+s.between(-0.01, 0.01), s.between(0.1, 0.9))
		}
		s.at += step
	}
	sort.SliceStable(s.events, func(i, j int) bool { return s.events[i].At < s.events[j].At })
	sort.Float64s(s.thumbs)
	return s
}

// fallSilent leaves only what is played in the first seconds, one event at least.
func (s *scene) fallSilent(after float64) {
	n := 0
	for n < len(s.events) && s.events[n].At < after {
		n++
	}
	s.events = s.events[:max(n, 1)]
}

// strumming draws somebody who strums chords in the pulse and does nothing
// else.
func strumming(rng *rand.Rand, seconds float64) *scene {
	s := &scene{rng: rng, vel: 0.7}
	s.newChord()
	pulse := s.between(0.2, 0.6)
	for at := s.between(0.05, 1); at < seconds-0.8; at += pulse {
		if s.chance(0.15) {
			s.newChord()
		}
		if s.chance(0.7) {
			s.strum(at+s.between(-0.01, 0.01), s.between(0.01, 0.05), s.between(0.3, 1))
		}
	}
	sort.SliceStable(s.events, func(i, j int) bool { return s.events[i].At < s.events[j].At })
	return s
}

// lowest and highest bound the bass strings as they sound.
func (s *scene) lowest() int {
	if s.dropD {
		return 38 + s.cejilla
	}
	return 40 + s.cejilla
}

func (s *scene) highest() int { return 54 + s.cejilla }
