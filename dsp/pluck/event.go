package pluck

import "fmt"

// Kind is what happens at an Event.
type Kind int

const (
	Pluck  Kind = iota // a string is plucked; if it was sounding, it is stopped first
	Damp               // a finger stops String, or all strings when String is 0
	Tap                // golpe: the ring finger's nail taps the top
	Clap               // palmas: one clap in the room
	Click              // a short broadband knock on the microphone or its cable
	Squeak             // a finger slides along a wound string
)

var kindNames = [...]string{"pluck", "damp", "tap", "clap", "click", "squeak"}

func (k Kind) String() string {
	if k < 0 || int(k) >= len(kindNames) {
		return fmt.Sprintf("Kind(%d)", int(k))
	}
	return kindNames[k]
}

// MaxFret is the highest fret of an Event, in semitones above the open string.
const MaxFret = 24

// Event is one thing the player does.
//
// Its onset is the sample nearest to At: there the pluck's excitation leaves
// the bridge and the first non-zero sample of the new sound is put out. The
// excitation rises within the first millisecond; no delay lies between it and
// the output.
type Event struct {
	At       float64 // seconds from the start
	Kind     Kind
	String   int     // 1 (highest) to 6; 0 for Tap, Clap, Click and for a Damp of all strings
	Fret     int     // semitones above the open string, cejilla included, 0 to MaxFret
	Velocity float64 // 0 (softest) to 1 (loudest)
	// Apoyado is a rest stroke: the finger comes to rest on the next string
	// and damps it. The thumb, on strings 4 to 6, goes to the next higher
	// string (from 5 to 4); the fingers, on strings 1 to 3, to the next lower.
	Apoyado bool
	// Ligado sounds the note by the left hand alone: the string goes on
	// swinging at the new pitch, with a soft attack.
	Ligado bool
	// Position overrides the guitar's plucking place for this event when it is
	// not zero, 0.03 to 0.5.
	Position float64
}

func (e Event) validate() error {
	switch {
	case !(e.At >= 0 && e.At < 1e6):
		return fmt.Errorf("event at %g s: the time must lie between 0 and 1000000 s", e.At)
	case e.Kind < 0 || int(e.Kind) >= len(kindNames):
		return fmt.Errorf("event at %g s: there is no %v", e.At, e.Kind)
	case e.Kind == Pluck && (e.String < 1 || e.String > 6):
		return fmt.Errorf("event at %g s: string %d does not exist, strings are 1 to 6", e.At, e.String)
	case e.String < 0 || e.String > 6:
		return fmt.Errorf("event at %g s: string %d does not exist, strings are 1 to 6 (0 for all)", e.At, e.String)
	case e.Fret < 0 || e.Fret > MaxFret:
		return fmt.Errorf("event at %g s: fret %d does not exist, frets are 0 to %d", e.At, e.Fret, MaxFret)
	case !(e.Velocity >= 0 && e.Velocity <= 1):
		return fmt.Errorf("event at %g s: velocity %g must lie between 0 and 1", e.At, e.Velocity)
	case e.Position != 0 && !(e.Position >= 0.03 && e.Position <= 0.5):
		return fmt.Errorf("event at %g s: position %g must lie between 0.03 and 0.5", e.At, e.Position)
	}
	return nil
}
