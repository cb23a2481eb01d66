package theory

// Trait is something that speaks against a walk, in a player's words.
type Trait int

// The traits, in the order of the table of weights.
const (
	Third        Trait = iota // a move of three or four semitones, unless only the landing, which follows, lies in it
	Leap                      // a fourth, a fifth or an octave
	Chromatic                 // one degree in two sizes, a semitone apart
	AwkwardLeap               // a tritone, a sixth, a seventh, or beyond the octave
	TurnsBack                 // the direction changes
	Returns                   // the note before last comes again
	Foreign                   // a note that is no tone of the sounding chord
	Clash                     // such a note a semitone above a tone of the chord
	WholeLanding              // the landing is reached by a whole tone
	LeapLanding               // the landing is reached by more than a step
	HighLanding               // octaves between the landing and the lowest one there is
	Damped                    // a treble string of the chord whose finger must leave it
	Stretch                   // frets that the hand must open beyond a finger a fret
	Shift                     // a note for which the hand must leave its place
	traits
)

// weights are what each trait costs each time, and why. They are the same in
// every key and form: a key differs from another only by what its notes ask of
// the hand. The unit is a quarter of a third; the figures are a player's
// judgement (common practice, no source), and each stands for a reason, so a
// walk that ranks too low needs a better reason here rather than an exception.
var weights = [traits]struct {
	cost   int
	reason string
}{
	Third:        {4, "a walk goes by step; a third is a small gap in it, but no gap where the note left out is the landing, kept for last"},
	Leap:         {10, "a fourth or a fifth is heard as a new bass, not as a walk; so is an octave"},
	Chromatic:    {4, "a degree in two sizes slides; a walk goes from degree to degree"},
	AwkwardLeap:  {16, "a tritone, a sixth or a seventh is hard to hear and to place"},
	TurnsBack:    {4, "one direction tells the dancer where it is going"},
	Returns:      {4, "a walk that goes back to the note it just left gets nowhere"},
	Foreign:      {3, "a note of the chord agrees with the arpeggio above it; others only pass"},
	Clash:        {3, "a semitone above a tone of the chord is a minor ninth against it"},
	WholeLanding: {4, "a semitone pulls into the landing; a whole tone only leads to it"},
	LeapLanding:  {14, "the landing is reached by step, or the close is not heard coming"},
	HighLanding:  {6, "the close is the lowest tonic there is: nothing sounds beneath it"},
	Damped:       {2, "a finger that leaves the treble strings breaks the chord above the thumb"},
	Stretch:      {4, "a hand that must open while it holds a chord tires, and is late"},
	Shift:        {20, "a hand that must leave its place and come back is late both times"},
}

// margin is by how much another walk must be better before it is worth leaving
// one that the player knows: a third.
const margin = 4
