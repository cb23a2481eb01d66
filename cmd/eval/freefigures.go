package main

import (
	"math"
	"slices"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"
	"bordon/theory"
)

// freeFigures are the figures of free takes, as counts that can be added up.
type freeFigures struct {
	takes int
	// beats, downs and inside are the F-measures of beats, of beats 1, and of
	// the beats in compás only; aubio's are beside them. One for each take.
	beats, downs, inside    []float64
	aubioBeats, aubioInside []float64
	given, follow           figures // on the true grid, on the one found
	accuracy, accused       share   // on the one found, what was asked where nothing is due counted
	coverage                share   // on the one found, notes without a verdict counted
	segments, short         share   // found: those of a turn and more, and the shorter ones
	segmentsFound, invented int
	refused, close          share // of takes with some compás
	refusedRightly          share // of the others
	chordsGiven, chords     chordFigures
	key, keyWrong, anyKey   share // named right and wrong in the usual keys of the form; right in all
}

func (f *freeFigures) add(o *freeFigures) {
	f.takes += o.takes
	f.beats, f.downs, f.inside = append(f.beats, o.beats...), append(f.downs, o.downs...), append(f.inside, o.inside...)
	f.aubioBeats, f.aubioInside = append(f.aubioBeats, o.aubioBeats...), append(f.aubioInside, o.aubioInside...)
	f.given.add(o.given)
	f.follow.add(o.follow)
	f.segmentsFound += o.segmentsFound
	f.invented += o.invented
	from := o.shares()
	for i, to := range f.shares() {
		to.add(*from[i])
	}
}

func (f *freeFigures) shares() []*share {
	return []*share{&f.accuracy, &f.accused, &f.coverage, &f.segments, &f.short, &f.refused, &f.close,
		&f.refusedRightly, &f.key, &f.keyWrong, &f.anyKey, &f.chords.accused, &f.chords.letOff, &f.chords.unsure, &f.chords.timed,
		&f.chordsGiven.accused, &f.chordsGiven.letOff, &f.chordsGiven.unsure, &f.chordsGiven.timed}
}

// chordFigures are what became of the changes of chord.
type chordFigures struct {
	accused, letOff, unsure share
	timed                   share // early and late ones told so, of those of which a time was told
}

// mean is NaN of none.
func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// measureFree makes the figures of a take but those of its beats.
func measureFree(t fixtures.FreeTake, given, follow found) *freeFigures {
	f := &freeFigures{takes: 1}
	if len(t.Segments) == 0 {
		f.refusedRightly.count(follow.refused != "" && len(follow.beats) == 0)
		if follow.refused == "" {
			f.segmentsFound, f.invented = len(follow.segments), len(follow.segments)
		}
		return f
	}
	f.refused.count(follow.refused != "")
	f.close.count(follow.close)
	f.found(t, follow)
	g, _ := pairFree(t, given)
	f.given = measure(g)
	j, strays := pairFree(t, follow)
	f.follow = measure(j)
	f.accuracy, f.accused, f.coverage = f.follow.accuracy, f.follow.accused, f.follow.coverage
	f.coverage.Of += j.lost
	for _, b := range strays {
		switch b.Pitch {
		case match.Unsure, match.Strummed:
		case match.Right: // luck is no merit
			f.accuracy.Of++
		default:
			f.accuracy.Of++
			f.accused.N++ // of a note that nobody owed
		}
	}
	f.chordsGiven, f.chords = measureChords(t, given), measureChords(t, follow)
	if wholeTurns(t) >= 2 {
		f.anyKey.count(sameKey(follow.key, t.Key))
		if usualKey(t) {
			f.key.count(sameKey(follow.key, t.Key))
			f.keyWrong.count(follow.key != "" && !sameKey(follow.key, t.Key))
		}
	}
	return f
}

// found counts the segments: a true one is found where one that was not taken
// yet covers half of it, and one is invented where less than half of it is true
// or disputed.
func (f *freeFigures) found(t fixtures.FreeTake, follow found) {
	f.segmentsFound = len(follow.segments)
	taken := make([]bool, len(follow.segments))
	form, err := theory.LookupForm(t.Form)
	for _, s := range t.Segments {
		if heard := struck(t, s); heard.from == heard.to {
			continue // nobody could know of it
		}
		best, at := 0.5, -1
		for i, g := range follow.segments {
			from, to := g.span()
			if o := overlap(stretch{from, to}, span(s)) / span(s).length(); o >= best && !taken[i] {
				best, at = o, i
			}
		}
		if at >= 0 {
			taken[at] = true
		}
		if err == nil && len(s.Beats) < form.Beats {
			f.short.count(at >= 0)
		} else {
			f.segments.count(at >= 0)
		}
	}
	for _, g := range follow.segments {
		from, to := g.span()
		covered := 0.0
		for _, s := range t.Segments {
			covered += overlap(stretch{from, to}, span(s))
		}
		for _, s := range disputed(t) {
			covered += overlap(stretch{from, to}, s)
		}
		if covered < (to-from)/2 || to == from {
			f.invented++
		}
	}
}

// span is from a segment's first beat to its last.
func span(s fixtures.Segment) stretch { return stretch{s.Beats[0].Time, s.Beats[len(s.Beats)-1].Time} }

func (s stretch) length() float64 { return math.Max(s.to-s.from, 1e-6) }

func overlap(a, b stretch) float64 { return math.Max(0, math.Min(a.to, b.to)-math.Max(a.from, b.from)) }

// pairFree finds the verdict on each note that was asked: on the same beat of the
// form, nearer than half a beat. Strays are the verdicts on nothing. A note
// without a verdict is lost, unless only part of its walk was played.
func pairFree(t fixtures.FreeTake, f found) (j judged, strays []listen.Beat) {
	j = judged{take: t.Take}
	j.check.Extra, j.check.Tuning = f.extras, f.tuning
	used := make([]bool, len(f.beats))
	asked, whole := notesOfWalks(t)
	for _, s := range t.Segments {
		for _, n := range s.Notes {
			if n.Asked == 0 {
				continue
			}
			best, at := beatAround(s, n.Due)/2, -1
			for i, b := range f.beats {
				if d := math.Abs(b.Time - n.Due); d < best && !used[i] && b.Beat == n.Beat {
					best, at = d, i
				}
			}
			switch {
			case at >= 0:
				used[at] = true
				j.pairs = append(j.pairs, pair{truth: n, beat: f.beats[at], first: math.NaN()})
			case asked[n.Turn] == whole:
				j.lost++
			}
		}
	}
	for i, b := range f.beats {
		if !used[i] {
			strays = append(strays, b)
		}
	}
	return j, strays
}

// beatAround is the length of the beat that a moment of a segment falls into.
func beatAround(s fixtures.Segment, at float64) float64 {
	for i := len(s.Beats) - 1; i > 0; i-- {
		if s.Beats[i].Time <= at+1e-6 {
			if i+1 < len(s.Beats) {
				return s.Beats[i+1].Time - s.Beats[i].Time
			}
			return s.End - s.Beats[i].Time
		}
	}
	if len(s.Beats) > 1 {
		return s.Beats[1].Time - s.Beats[0].Time
	}
	return s.End - s.Beats[0].Time
}

// notesOfWalks is how many notes were asked in each turn, and in one whose walk
// was played to its end.
func notesOfWalks(t fixtures.FreeTake) (inTurn map[int]int, whole int) {
	inTurn = map[int]int{}
	for _, n := range t.Truth {
		if n.Asked != 0 {
			inTurn[n.Turn]++
			whole = max(whole, inTurn[n.Turn])
		}
	}
	return inTurn, whole
}

// measureChords counts the changes of chord that were struck and have a
// verdict.
func measureChords(t fixtures.FreeTake, got found) chordFigures {
	var f chordFigures
	used := make([]bool, len(got.chords))
	for _, s := range t.Segments {
		for _, c := range s.Chords {
			best, at := beatAround(s, c.Due)/2, -1
			for i, g := range got.chords {
				if d := math.Abs(g.time - c.Due); d < best && !used[i] && g.beat == c.Beat {
					best, at = d, i
				}
			}
			if at < 0 || c.Time == 0 {
				continue
			}
			used[at] = true
			f.count(c, got.chords[at])
		}
	}
	return f
}

func (f *chordFigures) count(c fixtures.TruthChord, g foundChord) {
	right := g.word == "right"
	told := right && (g.when == "early" || g.when == "late")
	f.unsure.count(g.word == "unsure")
	switch c.Mistake {
	case fixtures.None:
		f.accused.count(g.word == "wrong" || told)
	case fixtures.WrongChord:
		f.letOff.count(right)
	default:
		f.letOff.count(right && g.when == "on-time")
		if told {
			f.timed.count((g.when == "early") == (c.Mistake == fixtures.EarlyChord))
		}
	}
}

// wholeTurns is how many turns' worth of beats was played.
func wholeTurns(t fixtures.FreeTake) int {
	form, err := theory.LookupForm(t.Form)
	if err != nil {
		return 0
	}
	n := 0
	for _, s := range t.Segments {
		n += len(s.Beats)
	}
	return n / form.Beats
}

// sameKey reports whether two names stand for one key, however it is spelled.
func sameKey(a, b string) bool {
	x, errX := theory.ParseKey(a)
	y, errY := theory.ParseKey(b)
	return errX == nil && errY == nil && x.Mode == y.Mode && x.Tonic.PitchClass() == y.Tonic.PitchClass()
}

// lists are what is scored of a take's beats: all, those numbered 1, those in
// compás; and aubio's, all and in compás.
func lists(t fixtures.FreeTake, follow found, aubio []float64) [5]beatLists {
	var all, downs []float64
	for _, s := range follow.segments {
		all, downs = append(all, timesOf(s.beats, false)...), append(downs, timesOf(s.beats, true)...)
	}
	slices.Sort(all)
	slices.Sort(downs)
	no, in := disputed(t), inCompas(t)
	all, downs, aubio = without(all, no), without(downs, no), without(aubio, no)
	beats := trueBeats(t, false)
	return [5]beatLists{{beats, all}, {trueBeats(t, true), downs}, {beats, within(all, in)}, {beats, aubio}, {beats, within(aubio, in)}}
}
