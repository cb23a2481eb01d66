package main

import (
	"math"

	"bordon/fixtures"
)

// Note tracking as MIREX scores it (the task "Multiple Fundamental Frequency
// Estimation & Tracking", note onsets only): an estimated note is right that
// begins within 50 ms of a reference note and lies within a quarter tone of it,
// each note being matched once, as many as can be. mir_eval's
// transcription.precision_recall_f1_overlap without offsets gives the same.
const (
	onsetWithin = 0.050 // seconds
	pitchWithin = 50.0  // cents
)

// note of a list.
type note struct {
	at float64 // onset, seconds
	hz float64
}

// noteScore counts notes: of the reference, estimated, and matched.
type noteScore struct{ reference, estimated, matched int }

func (s *noteScore) add(o noteScore) {
	s.reference += o.reference
	s.estimated += o.estimated
	s.matched += o.matched
}

// precision, recall and fMeasure are 0 where nothing was to be found or was.
func (s noteScore) precision() float64 { return ratio(s.matched, s.estimated) }
func (s noteScore) recall() float64    { return ratio(s.matched, s.reference) }

func (s noteScore) fMeasure() float64 {
	p, r := s.precision(), s.recall()
	if p+r == 0 {
		return 0
	}
	return 2 * p * r / (p + r)
}

func ratio(n, of int) float64 {
	if of == 0 {
		return 0
	}
	return float64(n) / float64(of)
}

// scoreNotes matches estimated notes with those of the reference.
func scoreNotes(reference, estimated []note) noteScore {
	hits := make([][]int, len(reference))
	for i, r := range reference {
		for k, e := range estimated {
			// mir_eval rounds differences of onsets to four decimals.
			apart := math.Round(math.Abs(r.at-e.at)*1e4) / 1e4
			if apart <= onsetWithin && 1200*math.Abs(math.Log2(r.hz)-math.Log2(e.hz)) <= pitchWithin {
				hits[i] = append(hits[i], k)
			}
		}
	}
	return noteScore{len(reference), len(estimated), pairUp(hits, len(estimated))}
}

// pairUp is the size of a maximum matching between the rows of hits and the n
// columns that they name: by augmenting paths (Kuhn, Naval Research Logistics
// Quarterly 2, 1955).
func pairUp(hits [][]int, n int) int {
	taken := make([]int, n) // row of each column, plus 1
	var seen []bool
	var try func(row int) bool
	try = func(row int) bool {
		for _, k := range hits[row] {
			if seen[k] {
				continue
			}
			seen[k] = true
			if taken[k] == 0 || try(taken[k]-1) {
				taken[k] = row + 1
				return true
			}
		}
		return false
	}
	matched := 0
	for row := range hits {
		seen = make([]bool, n)
		if try(row) {
			matched++
		}
	}
	return matched
}

// noteLists are the bass notes of a take that were to be told, those of the line
// and planted extras, and those that were: all that was sworn to, and extras.
func noteLists(j judged) (reference, estimated []note) {
	hz := func(midi int) float64 { return 440 * math.Exp2(float64(midi-69)/12) }
	for _, p := range j.pairs {
		if p.truth.MIDI > 0 {
			reference = append(reference, note{p.truth.Time, hz(p.truth.MIDI)})
		}
		if p.beat.Heard != nil && p.beat.Pitch.Sworn() {
			estimated = append(estimated, note{p.beat.Heard.Time, hz(p.beat.Heard.MIDI)})
		}
	}
	for _, n := range j.take.Truth {
		if n.Mistake == fixtures.Extra {
			reference = append(reference, note{n.Time, hz(n.MIDI)})
		}
	}
	for _, x := range j.check.Extra {
		estimated = append(estimated, note{x.Time, hz(x.MIDI)})
	}
	return reference, estimated
}
