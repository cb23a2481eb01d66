package chords

import (
	"math"

	"bordon/dsp"
	"bordon/listen/grid"
	"bordon/theory"
)

// Config says what was asked for, and where.
type Config struct {
	Rate    int // samples a second
	Key     theory.Key
	Form    theory.Form
	Line    theory.Line // its thumb is no part of the chords
	Cejilla int
	Beats   grid.Grid
	Delay   int64   // samples that the sound lies behind the grid
	End     int64   // samples of the stream
	Thumbs  []Thumb // in order of time
}

// sample is where a beat of the grid lies in the sound.
func (c *Config) sample(beat int) int64 { return c.Beats.Sample(float64(beat)) + c.Delay }

// turnOf is the turn of a beat of the grid, from 1, and the form's beat.
func (c *Config) turnOf(beat int) (turn, of int) {
	turn = int(math.Floor(float64(beat) / float64(c.Form.Beats)))
	return turn + 1, beat - turn*c.Form.Beats + 1
}

// walks reports whether the line asks for something on a beat of the grid.
func (c *Config) walks(beat int) bool {
	if c.Line.Turns < 1 {
		return false
	}
	turn, of := c.turnOf(beat)
	turn = ((turn-1)%c.Line.Turns+c.Line.Turns)%c.Line.Turns + 1
	for i := range c.Line.Items {
		if p := &c.Line.Items[i].Position; p.Turn == turn && p.Beat == of {
			return true
		}
	}
	return false
}

// maxBeats bounds the work on a grid gone wild: a day of 400 beats a minute.
const maxBeats = 400 * 60 * 24

// beats are the first beat of the grid in the stream, of its first turn or
// later, and the last whole one.
func (c *Config) beats() (first, last int) {
	first = max(0, int(math.Ceil(max(-1, c.Beats.Beat(-c.Delay)))))
	return first, int(math.Floor(min(c.Beats.Beat(c.End-c.Delay), maxBeats))) - 1
}

// odds are those of the families on the beats from first to last, and how much
// was struck on each.
func (c *Config) odds(frames []dsp.ChromaFrame, first, last int) (odds [][families]float64, struck []float64) {
	for i, e := range evidenceOf(c, frames, first, last) {
		s := &strummed
		if c.walks(first + i) {
			s = &walked
		}
		struck = append(struck, e.struck)
		odds = append(odds, s.odds(&e))
	}
	return odds, struck
}

// Judge says of every change of chord in the stream what became of it, in
// order of time. A form that changes no chord gives none.
func Judge(cfg Config, frames []dsp.ChromaFrame) []Verdict {
	plan := cfg.Form.Plan(cfg.Key.Mode)
	if len(plan) < 2 || len(frames) == 0 || cfg.Form.Beats < 1 {
		return nil
	}
	first, last := cfg.beats()
	if last <= first {
		return nil
	}
	j := judge{cfg: &cfg, first: first - 1}
	j.odds, j.struck = cfg.odds(frames, j.first, last)
	var out []Verdict
	for from := 0; from <= last; from += cfg.Form.Beats {
		for i, c := range plan {
			next := from + cfg.Form.Beats + plan[0].Beat - 1
			if i+1 < len(plan) {
				next = from + plan[i+1].Beat - 1
			}
			s := span{from: from + c.Beat - 1, to: min(next, last+1),
				before: j.asked(plan[(i+len(plan)-1)%len(plan)]), asked: j.asked(c), after: j.asked(plan[(i+1)%len(plan)])}
			if s.from < first || s.from > last {
				continue
			}
			held := len(out) == 0 || out[len(out)-1].Word == Right
			v := j.judge(s, held)
			v.Asked = cfg.Key.Chord(c.Degree, c.Seventh)
			if v.Word == Right || j.cfg.family(v.Heard) == s.asked {
				v.Heard = v.Asked
			}
			v.Turn, v.Beat = cfg.turnOf(s.from)
			v.Time = cfg.Beats.Sample(float64(s.from))
			out = append(out, v)
		}
	}
	return out
}

// judge weighs the beats of a stream.
type judge struct {
	cfg    *Config
	first  int // beat of the first in the next two
	odds   [][families]float64
	struck []float64
}

func (j *judge) asked(c theory.Change) int { return j.cfg.family(j.cfg.Key.Chord(c.Degree, c.Seventh)) }

// likely is the log-probability of a family on a beat; all are alike where
// nothing was heard.
func (j *judge) likely(beat, family int) float64 {
	if beat -= j.first; beat >= 0 && beat < len(j.odds) && family >= 0 {
		return j.odds[beat][family]
	}
	return -math.Log(families)
}

// span is a stretch from one change to the next, with the families of the
// chords asked for in and around it.
type span struct {
	from, to             int // beats, to exclusive
	before, asked, after int
}

const (
	// The beats of a stretch do not err apart: the same fingers lie on the same
	// strings.
	together = 0.6
	// What a beat costs that has a neighbour's chord, as a log-likelihood.
	neighbour = 2

	sure        = 3.0  // odds as differences of log-likelihood from which a chord is sworn to,
	accuse      = 3.5  // a player is told of a wrong one,
	sureWhen    = 0.5  // a change is said to be on its beat
	accuseWhen  = 3.0  // or is not
	chosen      = -0.3 // the log-probability that a chord needs on a beat beside that,
	struckLeast = 0.2  // and how much must be new there
)

// of is how likely a span is under a family. The first of several beats may
// still have the chord before, and the last one already the chord after.
func (j *judge) of(s span, family int) float64 {
	sum := 0.0
	for b := s.from; b < s.to; b++ {
		l := j.likely(b, family)
		if b == s.from && s.to-s.from > 1 {
			l = max(l, j.likely(b, s.before)-neighbour)
		}
		if b == s.to-1 && s.to-s.from > 2 {
			l = max(l, j.likely(b, s.after)-neighbour)
		}
		sum += l
	}
	return together * sum
}

func (j *judge) judge(s span, held bool) Verdict {
	v := Verdict{Word: Unsure, When: Unknown}
	if s.asked < 0 { // no chord that is told apart
		return v
	}
	var all [families]float64
	best, other := s.asked, -1
	for f := range all {
		all[f] = j.of(s, f)
		if f != s.asked && (other < 0 || all[f] > all[other]) {
			other = f
		}
	}
	if all[other] > all[s.asked] {
		best = other
	}
	total := 0.0
	for _, l := range all {
		total += math.Exp(l - all[best])
	}
	v.Confidence = 1 / total
	struck := 0.0
	for b := s.from; b < s.to; b++ {
		struck += j.struck[b-j.first]
	}
	if struck == 0 {
		v.Confidence = 0
		return v
	}
	v.Heard = j.cfg.chord(best)
	switch d := all[s.asked] - all[other]; {
	case d > sure:
		v.Word = Right
		v.When = j.when(s, held)
	case d < -accuse:
		v.Word = Wrong
	}
	return v
}

// heard reports whether a chord was struck on a beat, and no other.
func (j *judge) heard(beat, family int) bool {
	return beat >= j.first && j.struck[beat-j.first] >= struckLeast && j.likely(beat, family) > chosen
}

// when says on which beat the change came. A change from another chord than
// the one asked for, where that was not held, is never called early or late.
func (j *judge) when(s span, held bool) When {
	if s.before < 0 || s.before == s.asked {
		return Unknown
	}
	early := j.likely(s.from-1, s.asked) - j.likely(s.from-1, s.before)
	late := j.likely(s.from, s.before) - j.likely(s.from, s.asked)
	switch {
	case early > accuseWhen && late < 0 && held && j.heard(s.from-1, s.asked):
		return Early
	case late > accuseWhen && early < 0 && held && j.heard(s.from, s.before):
		return Late
	case late < -sureWhen && early < -sureWhen:
		return OnTime
	}
	return Unknown
}

// Families is how many chords are told apart: the major ones on C, C sharp and
// so on, and then the minor ones, as they sound; a seventh makes no other.
const Families = families

// Family is a chord's place among the Families with a cejilla at a fret, -1
// where it has none.
func Family(c theory.Chord, cejilla int) int { return (&Config{Cejilla: cejilla}).family(c) }

// Odds are the log-probabilities of the families on each beat of the stream,
// the first of which is beat first of the grid. Where nothing new is heard all
// are alike. No key needs to be known.
func Odds(cfg Config, frames []dsp.ChromaFrame) (first int, odds [][Families]float64) {
	if len(frames) == 0 || cfg.Form.Beats < 1 {
		return 0, nil
	}
	first, last := cfg.beats()
	if last < first {
		return 0, nil
	}
	odds, _ = cfg.odds(frames, first, last)
	return first, odds
}
