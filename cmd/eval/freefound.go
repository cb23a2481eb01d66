package main

import (
	"bordon/fixtures"
	"bordon/listen"
)

// found is what was made of a recording.
type found struct {
	refused  string // why no compás was found; "" where one was
	close    bool   // two readings of the place were too close to pick one
	segments []foundSegment
	beats    []listen.Beat // verdicts
	extras   []listen.Note
	chords   []foundChord
	key      string // named from the notes; "" where none was
	tuning   *float64
}

// foundSegment is a stretch in compás.
type foundSegment struct {
	beats []fixtures.FreeBeat // their turns as they were counted
}

func (s foundSegment) span() (from, to float64) {
	if len(s.beats) == 0 {
		return 0, 0
	}
	return s.beats[0].Time, s.beats[len(s.beats)-1].Time
}

// foundChord is the verdict on a change of chord.
type foundChord struct {
	time float64 // where the grid expects it, seconds
	beat int
	word string // right, wrong or unsure
	when string // on-time, early, late or unsure
}

// reading makes something of the samples of a take. Of the truth it may use
// what the player would be asked for: key, form, line, cejilla, concert pitch;
// one that is given the grid uses that too.
type reading func(t fixtures.FreeTake, x []float32, e ear) (found, error)
