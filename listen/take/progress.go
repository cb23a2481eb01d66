package take

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// State is what can be said of a spot without concluding from noise.
type State string

// The states: the whole Wilson interval lies below Secure, at or above it, or
// neither.
const (
	Weak State = "weak"
	Safe State = "safe"
	Open State = "open" // too few notes to tell
)

// Spot is one beat of one line in one key: where a player is weak or safe.
type Spot struct {
	Key     string `json:"key"` // as fingered
	Cejilla int    `json:"cejilla"`
	Form    string `json:"form"`
	Line    string `json:"line"`
	Beat    string `json:"beat"`

	Recent Count   `json:"-"`     // of the last four weeks of playing
	Right  int     `json:"right"` // right and on time, of the last four weeks
	Of     int     `json:"of"`    // notes that count
	Low    float64 `json:"low"`   // Wilson's 95 % interval of the share
	High   float64 `json:"high"`
	State  State   `json:"state"`
	Needed int     `json:"needed"` // notes more until it can be told; -1: more than is worth it
	Takes  int     `json:"takes"`  // that Needed comes to at the usual length; -1 likewise
	Trend  string  `json:"trend"`  // "better" or "worse" than before these weeks; "" where that cannot be told
	Weeks  []Week  `json:"weeks"`  // all that was played, oldest first; weeks without any are left out
}

// Week is how a spot went in one week.
type Week struct {
	Monday string `json:"monday"` // its first day, 2006-01-02
	Right  int    `json:"right"`
	Of     int    `json:"of"`
}

// Exercise is a spot to practise, with tempos to go through.
type Exercise struct {
	Spot   Spot      `json:"spot"`
	Tempos []float64 `json:"tempos_bpm"` // one after the other
	Turns  int       `json:"turns"`      // of each
	// Held tells that the first tempo is one at which the spot went well;
	// otherwise it is four fifths of the usual one.
	Held  bool    `json:"held"`
	Usual float64 `json:"usual_bpm"`
	Why   string  `json:"why"` // a sentence, filled in by who tells it
}

// ProgressSchema is the name and version of what Progress is written as.
const ProgressSchema = "bordon-progress/1"

// Progress is what many takes show together.
type Progress struct {
	Schema  string     `json:"schema"`
	Takes   int        `json:"takes"`
	First   string     `json:"first"` // when the oldest began; "" for no takes
	Last    string     `json:"last"`
	Spots   []Spot     `json:"spots"`   // by key, line and beat
	Weakest []Spot     `json:"weakest"` // at most three, the surest weakness first
	Plan    []Exercise `json:"plan"`    // for each of Weakest
}

// recentDays is how far back from the newest take a player's present state is
// looked for: four weeks (common practice, no source).
const recentDays = 28

// weakest is how many spots are practised at a time.
const weakest = 3

// exerciseTurns is how often a spot is played at one tempo: with three tempos
// two dozen notes, enough for Wilson's interval to move.
const exerciseTurns = 8

// leastNotes is how many notes a spot needs before anything is concluded from
// them: two of a beat are an accident, whatever their interval says (common
// practice, no source).
const leastNotes = 8

type spotKey struct {
	key        string
	cejilla    int
	form, line string
	beat       string
}

type spotSum struct {
	order          int // of the beat in its line
	recent, before Count
	takes, notes   int // of the recent ones
	weeks          map[string]*Week
	byTempo        map[float64]*Count
	tempos         []float64 // of the recent takes
}

// ProgressOf counts the takes of a history, oldest first. Now is the time of
// the newest take, so that the same takes always show the same.
func ProgressOf(entries []Entry) Progress {
	p := Progress{Schema: ProgressSchema, Takes: len(entries), Spots: []Spot{}, Weakest: []Spot{}, Plan: []Exercise{}}
	if len(entries) == 0 {
		return p
	}
	times := make([]time.Time, len(entries))
	var newest time.Time
	for i := range entries {
		times[i] = entries[i].When()
		if times[i].After(newest) {
			newest = times[i]
		}
	}
	p.First, p.Last = entries[0].Started, entries[len(entries)-1].Started
	since := newest.AddDate(0, 0, -recentDays)
	sums := map[spotKey]*spotSum{}
	for i := range entries {
		e := &entries[i]
		monday := mondayOf(times[i])
		recent := times[i].After(since)
		for j := range e.Beats {
			b := &e.Beats[j]
			k := spotKey{e.Key, e.Cejilla, e.Form, e.Line, b.Beat}
			s := sums[k]
			if s == nil {
				s = &spotSum{order: j, weeks: map[string]*Week{}, byTempo: map[float64]*Count{}}
				sums[k] = s
			}
			s.add(e.Tempo, b, monday, recent)
		}
	}
	keys := make([]spotKey, 0, len(sums))
	for k := range sums {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b spotKey) int {
		return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.cejilla, b.cejilla), cmp.Compare(a.form, b.form),
			cmp.Compare(a.line, b.line), cmp.Compare(sums[a].order, sums[b].order), cmp.Compare(a.beat, b.beat))
	})
	for _, k := range keys {
		p.Spots = append(p.Spots, sums[k].spot(k))
	}
	for _, s := range p.Spots {
		if s.State == Weak {
			p.Weakest = append(p.Weakest, s)
		}
	}
	// The surest weakness first: the one whose best case is worst.
	slices.SortStableFunc(p.Weakest, func(a, b Spot) int { return cmp.Or(cmp.Compare(a.High, b.High), cmp.Compare(a.Low, b.Low)) })
	p.Weakest = p.Weakest[:min(len(p.Weakest), weakest)]
	for _, s := range p.Weakest {
		p.Plan = append(p.Plan, sums[spotKey{s.Key, s.Cejilla, s.Form, s.Line, s.Beat}].exercise(s))
	}
	return p
}

func mondayOf(t time.Time) string {
	return t.AddDate(0, 0, -(int(t.Weekday())+6)%7).Format("2006-01-02")
}

func (s *spotSum) add(tempo float64, b *Count, monday string, recent bool) {
	n := b.Judged()
	if n == 0 {
		return
	}
	if recent {
		s.recent.add(*b)
		s.takes++
		s.notes += n
		s.tempos = append(s.tempos, tempo)
	} else {
		s.before.add(*b)
	}
	w := s.weeks[monday]
	if w == nil {
		w = &Week{Monday: monday}
		s.weeks[monday] = w
	}
	w.Right += b.Right
	w.Of += n
	c := s.byTempo[tempo]
	if c == nil {
		c = &Count{}
		s.byTempo[tempo] = c
	}
	c.add(*b)
}

func (s *spotSum) spot(k spotKey) Spot {
	x := Spot{Key: k.key, Cejilla: k.cejilla, Form: k.form, Line: k.line, Beat: k.beat, Recent: s.recent, State: Open, Weeks: []Week{}}
	x.Right, x.Of = s.recent.Right, s.recent.Judged()
	x.Low, x.High = Wilson(x.Right, x.Of)
	switch {
	case x.Of < leastNotes:
	case x.High < Secure:
		x.State = Weak
	case x.Low >= Secure:
		x.State = Safe
	}
	if x.State == Open {
		if x.Needed = Needed(x.Right, x.Of); x.Needed >= 0 {
			x.Needed = max(x.Needed, leastNotes-x.Of)
		}
		x.Takes = x.Needed
		if x.Needed > 0 && s.takes > 0 {
			x.Takes = int(math.Ceil(float64(x.Needed) * float64(s.takes) / float64(s.notes)))
		}
	}
	if s.before.Judged() > 0 && x.Of > 0 {
		// Two intervals that do not meet: more than the 95 % of either.
		low, high := Wilson(s.before.Right, s.before.Judged())
		switch {
		case x.Low > high:
			x.Trend = "better"
		case x.High < low:
			x.Trend = "worse"
		}
	}
	for _, w := range s.weeks {
		x.Weeks = append(x.Weeks, *w)
	}
	slices.SortFunc(x.Weeks, func(a, b Week) int { return cmp.Compare(a.Monday, b.Monday) })
	return x
}

// heldNotes is how many notes at a tempo it takes to begin there.
const heldNotes = 8

// exercise begins at the fastest tempo below the usual one at which the spot
// went well, else at four fifths of the usual one, and goes in two steps to
// the usual one.
func (s *spotSum) exercise(x Spot) Exercise {
	slices.Sort(s.tempos)
	e := Exercise{Spot: x, Turns: exerciseTurns, Usual: s.tempos[len(s.tempos)/2]}
	start := 0.0
	for tempo, c := range s.byTempo {
		if n := c.Judged(); tempo < e.Usual && n >= heldNotes && float64(c.Right) >= Secure*float64(n) && tempo > start {
			start, e.Held = tempo, true
		}
	}
	if !e.Held {
		start = math.Max(math.Round(0.8*e.Usual), 20)
	}
	e.Tempos = []float64{start}
	if middle := math.Round((start + e.Usual) / 2); middle > start && middle < e.Usual {
		e.Tempos = append(e.Tempos, middle)
	}
	if e.Usual > start {
		e.Tempos = append(e.Tempos, e.Usual)
	}
	return e
}
