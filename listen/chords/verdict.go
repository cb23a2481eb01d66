package chords

import "bordon/theory"

// Word is what was held where the form asks for a chord.
type Word string

// The words on a chord.
const (
	Right  Word = "right"  // the chord that the form asks for, a seventh more or less
	Wrong  Word = "wrong"  // another one
	Unsure Word = "unsure" // too little was struck, or it could be either
)

// When is when a change of chord came.
type When string

// The words on a change.
const (
	OnTime  When = "on-time"
	Early   When = "early"  // a beat
	Late    When = "late"   // a beat
	Unknown When = "unsure" // also where the chord itself is not sworn to be right
)

// Verdict on one change of chord.
type Verdict struct {
	Turn  int          // of the take, from 1
	Beat  int          // of the form, where the change is asked for
	Time  int64        // sample of the grid at which it is asked for, the delay not added
	Asked theory.Chord // as fingered
	// Heard is the likeliest chord, as fingered: Asked where Word is Right, of
	// no tones where nothing was struck.
	Heard theory.Chord
	Word  Word
	When  When
	// Confidence is the probability of what Word says, or of Heard where that
	// is Unsure, 0 to 1.
	Confidence float64
}
