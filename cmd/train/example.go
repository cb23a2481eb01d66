package main

import "bordon/dsp"

// example is the evidence at one moment of a rendered take and what was true
// of it.
type example struct {
	short, long     dsp.Evidence
	lowest, highest int8
	// class is 0 where no bass note began, or 1 + MIDI - dsp.LowestMIDI.
	class int8
	late  float32 // onset minus the moment, in units of dsp.LateUnit; where class > 0
	strum bool
	// sounding has bit i set where LowestMIDI+i was plucked just here; known
	// is false where that is too close to call.
	sounding uint64
	known    bool
	weight   float32
}
