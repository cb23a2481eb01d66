// Package dsp hears the bass note of a guitar in a stream of samples. It is
// streaming and deterministic, does no I/O, reads no clock, and allocates
// nothing once constructed.
package dsp

// The pitches the ear can name, MIDI: C2, below a sixth string in D, to E4,
// the first string open.
const (
	LowestMIDI  = 36
	HighestMIDI = 64
	Pitches     = HighestMIDI - LowestMIDI + 1
)

// Note is what the ear found at one onset. The ear looks at an onset once or
// twice: a Note whose Last is false is followed by one with the same ID.
type Note struct {
	ID      int64 // counts the onsets of the stream, from 0
	Onset   int64 // input sample at which the sound began
	Decided int64 // end (exclusive) of the last input sample that was used
	Last    bool  // no further look at this onset follows
	// Glance marks what is said early, of no onset in particular: ID is -1, no
	// note with that ID follows, and it counts for nothing later.
	Glance bool

	// Began is the probability that a bass note began here, 0 to 1; its
	// complement covers treble notes, strums, taps, claps and noise.
	Began float64
	// Likelihood of each pitch from LowestMIDI up, given that a bass note
	// began. It sums to 1 and holds no expectation of what is played.
	Likelihood [Pitches]float64
	// Cents of each pitch's partials from equal temperament, the guitar's own
	// offset (Tuning) taken off, -50 to 50.
	Cents [Pitches]float64

	// Strum is the probability that several strings were struck together
	// across the guitar, 0 to 1.
	Strum float64
	// Presence of each pitch as a source sounding now, 0 to 1 each; unlike
	// Likelihood it is not exclusive: a chord has several.
	Presence [Pitches]float64

	Level float64 // RMS level of the onset, dB relative to full scale
}

// likeliest is the index of the likeliest pitch.
func (n *Note) likeliest() int {
	best := 0
	for i, p := range n.Likelihood {
		if p > n.Likelihood[best] {
			best = i
		}
	}
	return best
}
