package grid

import (
	"math"
	"sort"

	"bordon/dsp"
)

// Evidence is all that was heard of a recording and tells where its beats are.
type Evidence struct {
	Rate   int   // samples a second of the input
	Length int64 // samples
	// Notes are the last looks of the ear, in order of onset.
	Notes []dsp.Note
	// Chroma is what sounded, in order of time, nil where that is not known.
	Chroma []Chroma
}

// Chroma is how much of each pitch class, C first, sounded about a sample.
type Chroma struct {
	At      int64
	Classes [12]float32 // not negative
}

// Frames are the steps of time in which beats are looked for.
const (
	frameRate = 100 // a second
	frame     = 1.0 / frameRate
)

// frames of the recording.
func (e *Evidence) frames() int {
	return int(float64(e.Length)/float64(e.Rate)*frameRate) + 1
}

// onset is a note of the evidence as the model sees it.
type onset struct {
	at     float64 // frames
	weight float64 // probability that something of the guitar's began
	note   float64 // that it was a single bass note
	strum  float64 // that it was a strum
	loud   float64 // against what lies around it, -1.5 to 1.5
	dense  float64 // onsets a second around it
	likely *[dsp.Pitches]float64
}

// How dense onsets are is counted in so many frames either side. Where they are
// sparse a few of them prove little, so they count as fastest as this.
const (
	denseSpan  = 4 * frameRate
	leastDense = 2.0  // onsets a second
	mostDense  = 15.0 // likewise
	loudUnit   = 4.0  // dB
	// What is neither a bass note nor a strum, a treble note or a tap, counts
	// this much as an onset.
	otherWeight = 0.25
	// A chord is struck string by string: what is no single note and follows
	// an onset this closely is the same stroke, mostly.
	stroke     = 8.0 // frames
	sameStroke = 0.3 // weight that is left to it
)

// onsets prepares the notes, those that next to nothing speaks for left out.
func (e *Evidence) onsets() []onset {
	var out []onset
	var level []float64
	for i := range e.Notes {
		n := &e.Notes[i]
		if !n.Last || n.Onset < 0 || n.Onset >= e.Length {
			continue
		}
		note := clamp(n.Began, 0, 1)
		strum := (1 - note) * clamp(n.Strum, 0, 1)
		out = append(out, onset{
			at:     float64(n.Onset) / float64(e.Rate) * frameRate,
			weight: note + strum + otherWeight*(1-note-strum),
			note:   note, strum: strum,
			likely: &n.Likelihood,
		})
		level = append(level, clamp(n.Level, -120, 20))
	}
	sortOnsets(out, level)
	for i := len(out) - 1; i > 0; i-- {
		if out[i].at-out[i-1].at <= stroke {
			out[i].strum *= sameStroke
			out[i].weight = out[i].note + (out[i].weight-out[i].note)*sameStroke
		}
	}
	lo, hi := 0, 0
	var weight, loud, heard float64
	add := func(i int, sign float64) {
		weight += sign * out[i].weight
		loud += sign * level[i] * (out[i].note + out[i].strum)
		heard += sign * (out[i].note + out[i].strum)
	}
	for i := range out {
		for hi < len(out) && out[hi].at <= out[i].at+denseSpan {
			add(hi, 1)
			hi++
		}
		for out[lo].at < out[i].at-denseSpan {
			add(lo, -1)
			lo++
		}
		out[i].dense = clamp(weight/(2*denseSpan*frame), leastDense, mostDense)
		if heard > 1e-6 {
			out[i].loud = clamp((level[i]-loud/heard)/loudUnit, -1.5, 1.5)
		}
	}
	return out
}

// sortOnsets puts onsets in order of time, with their levels.
func sortOnsets(o []onset, level []float64) {
	sort.Stable(&byTime{o, level})
}

type byTime struct {
	o     []onset
	level []float64
}

func (b *byTime) Len() int           { return len(b.o) }
func (b *byTime) Less(i, j int) bool { return b.o[i].at < b.o[j].at }
func (b *byTime) Swap(i, j int) {
	b.o[i], b.o[j] = b.o[j], b.o[i]
	b.level[i], b.level[j] = b.level[j], b.level[i]
}

// clamp holds x between lo and hi; what is no number becomes lo.
func clamp(x, lo, hi float64) float64 {
	if !(x >= lo) {
		return lo
	}
	return math.Min(x, hi)
}
