package tonality

import (
	"math"

	"bordon/dsp"
	"bordon/theory"
)

// Listener hears a recording through to name its key. It is for one goroutine.
type Listener struct {
	ear   *dsp.Ear
	sound *dsp.Chroma
	heard Heard
	notes map[int64]int // place in heard.Bass of the ear's notes
	limit int64
	chunk [4096]float32
}

// sworn is how sure the ear must be of a note.
const sworn = 0.6

// highest is the fourth fret of the fourth string under the highest cejilla
// that is played.
const highest = 54 + theory.MaxPlayedCejilla

// Listen returns a Listener for samples at rate, 8000 to 192000 a second, and a
// concert pitch in Hz, 0 meaning 440.
func Listen(rate int, a4 float64) (*Listener, error) {
	ear, err := dsp.NewEar(dsp.EarConfig{Rate: rate, A4: a4, Lowest: theory.SixthInD[5], Highest: highest})
	if err != nil {
		return nil, err
	}
	sound, err := dsp.NewChroma(rate, a4)
	if err != nil {
		return nil, err
	}
	ear.Beside(sound)
	return &Listener{ear: ear, sound: sound, heard: Heard{Rate: rate}, notes: map[int64]int{},
		limit: int64(minutes) * 60 * int64(rate)}, nil
}

// Write hears the next samples; one that is no number is heard as 0. What comes after ten minutes is passed over.
func (l *Listener) Write(x []float32) {
	if l.heard.End += int64(len(x)); l.heard.End > l.limit {
		return
	}
	for len(x) > 0 {
		chunk := l.chunk[:copy(l.chunk[:], x)]
		x = x[len(chunk):]
		for i, v := range chunk {
			if math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) {
				chunk[i] = 0
			}
		}
		l.take(l.ear.Write(chunk))
		l.heard.Frames = append(l.heard.Frames, l.sound.Write(chunk)...)
	}
}

// Lose tells of samples that were lost at this place: silence is heard instead.
func (l *Listener) Lose(samples int64) {
	var quiet [512]float32
	for ; samples > 0 && l.heard.End <= l.limit; samples -= int64(len(quiet)) {
		l.Write(quiet[:min(samples, int64(len(quiet)))])
	}
}

// Collect gives what was heard of a recording of which all is kept: end samples,
// the frames and every look of the ear, in order.
func Collect(rate int, end int64, frames []dsp.ChromaFrame, notes []dsp.Note) Heard {
	limit := int64(minutes) * 60 * int64(rate)
	l := &Listener{heard: Heard{Rate: rate, End: end}, notes: map[int64]int{}}
	for i := range frames {
		if frames[i].At < limit {
			l.heard.Frames = append(l.heard.Frames, frames[i])
		}
	}
	for i := range notes {
		if notes[i].Onset < limit {
			l.take(notes[i : i+1])
		}
	}
	l.sift()
	return l.heard
}

func (l *Listener) take(notes []dsp.Note) {
	for i := range notes {
		n := &notes[i]
		best := 0
		for k, p := range n.Likelihood {
			if p > n.Likelihood[best] {
				best = k
			}
		}
		if n.Last {
			l.heard.Notes = append(l.heard.Notes, *n)
		}
		b := Bass{n.Onset, dsp.LowestMIDI + best, n.Began * n.Likelihood[best]}
		if at, again := l.notes[n.ID]; again {
			l.heard.Bass[at] = b
			continue
		}
		if !n.Last {
			l.notes[n.ID] = len(l.heard.Bass)
		}
		l.heard.Bass = append(l.heard.Bass, b)
	}
}

// Close ends the recording and gives what was heard of it.
func (l *Listener) Close() Heard {
	l.take(l.ear.Flush())
	l.heard.Frames = append(l.heard.Frames, l.sound.Flush()...)
	l.sift()
	return l.heard
}

// sift keeps the notes that the ear is sure of.
func (l *Listener) sift() {
	sure := l.heard.Bass[:0]
	for _, b := range l.heard.Bass {
		if b.Sure >= sworn {
			sure = append(sure, b)
		}
	}
	l.heard.Bass = sure
}
