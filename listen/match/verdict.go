package match

import "bordon/theory"

// Word is the verdict on a pitch.
type Word string

// The pitch words of a verdict.
const (
	Right      Word = "right"        // the expected note, or one the line accepts
	Octave     Word = "octave"       // its name in another octave
	InScale    Word = "in-scale"     // another note of the key's scale
	OutOfScale Word = "out-of-scale" // a note foreign to the scale
	Missing    Word = "missing"      // no bass note was played
	Unsure     Word = "unsure"       // something sounded; the ear will not swear to it
	Strummed   Word = "strummed"     // the turn had no thumb line; not judged
)

// Sworn reports whether the word swears to a note that was heard.
func (w Word) Sworn() bool {
	return w == Right || w == Octave || w == InScale || w == OutOfScale
}

// Heard is the note that a verdict was made on. Pitches sound, cejilla included.
type Heard struct {
	MIDI       int
	Cents      float64 // from equal temperament, the guitar's own offset taken off
	Onset      int64   // input sample, the delay not taken off
	Confidence float64 // calibrated probability that MIDI was played, 0 to 1
	Level      float64 // dB relative to full scale
	Strum      bool    // heard as a whole chord (the landing)
}

// Verdict on one expected note.
type Verdict struct {
	Turn     int           // of the take, 1-based
	Item     theory.Item   // what the line asked for, as fingered
	Time     int64         // sample of the grid at which it was expected, the delay not added
	Expected theory.Choice // the choice the verdict was made against, the nearest to what was heard
	// ExpectedMIDI is the sounding pitch of Expected; for a "scale" or
	// "chord" choice the accepted pitch nearest to what was heard.
	ExpectedMIDI int
	Heard        *Heard // nil where nothing was heard; for Unsure the ear's best guess
	Pitch        Word
	Timing       Timing
	Offset       int64 // onset minus delay minus Time, samples; valid where Timing is not empty
	Decided      int64 // end of the last input sample that the verdict needed
	Provisional  bool  // may still change
	Lost         bool  // Unsure because samples were lost there, perhaps
	Cause        Cause // the nearest cause of a wrong pitch
}

// Extra is a bass note that no beat asked for, inside the line's own stretch.
type Extra struct {
	Turn  int
	Heard Heard
}
