package main

import (
	"math"

	"bordon/dsp"
)

// example is the evidence at one moment of a rendered take and what was true
// of it.
type example struct {
	looks           [looks]packed
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

// The looks that the ear takes at a moment, each with a net of its own.
const (
	early = iota
	short
	long
	looks
)

// packed is Evidence in a byte a value, so that hours of playing fit in
// memory: steps of 0.4 dB, well under what noise does to it.
type packed [dsp.EvidenceLen]int8

const packing = 50 // steps a unit; values lie within -2 to 2.5

func pack(ev *dsp.Evidence) (p packed) {
	i := 0
	for _, part := range ev.Parts() {
		for _, v := range part {
			p[i] = int8(math.Round(min(max(float64(v)*packing, -128), 127)))
			i++
		}
	}
	return p
}

func (p *packed) unpack(ev *dsp.Evidence) {
	i := 0
	for _, part := range ev.Parts() {
		for k := range part {
			part[k] = float32(p[i]) / packing
			i++
		}
	}
}
