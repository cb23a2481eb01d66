package match

import (
	"bordon/dsp"
	"bordon/theory"
)

// ask is what one item of the line asks for, laid out by the ear's pitches
// (index 0 is dsp.LowestMIDI) so that nothing is looked up while it sounds.
type ask struct {
	item  theory.Item
	beats float64 // after beat 1 of the line's first turn

	reach  [dsp.Pitches]float64 // weight of each pitch by the thumb's range
	favour [dsp.Pitches]float64 // weight of each pitch by what is asked for
	word   [dsp.Pitches]Word
	answer [dsp.Pitches]answer // what each pitch is judged against
	silent answer              // what silence is judged against

	landing  bool
	tonic    [dsp.Pitches]bool // of the key, in the bass
	harmless [dsp.Pitches]bool // under a strummed landing it accuses nobody
	onTheWay [dsp.Pitches]bool // of an open string that the thumb may come over
}

// answer is the choice that a pitch is judged against and its sounding MIDI.
type answer struct{ choice, midi int }

// newAsk lays out an item; nil asks for nothing, as between the beats.
func newAsk(c *Config, item *theory.Item) ask {
	a := ask{}
	top := c.topNote()
	key := c.Line.Key
	for i := range dsp.Pitches {
		fingered := dsp.LowestMIDI + i - c.Cejilla
		a.reach[i] = rangeWeight(fingered, c.Line.Tuning[5], top)
		a.favour[i] = 1
		a.word[i] = OutOfScale
		if key.Contains(fingered) {
			a.favour[i], a.word[i] = scaleWeight, InScale
		}
	}
	if item != nil {
		a.item, a.landing = *item, item.Landing
		a.beats = item.Position.Offset(c.Line.Form.Beats)
		a.layOut(c, top)
	}
	if c.Blind {
		for i := range a.favour {
			a.favour[i] = 1
		}
	}
	return a
}

func (a *ask) layOut(c *Config, top int) {
	accepted := 0 // notes in the thumb's range that share the expectation
	for i := range dsp.Pitches {
		fingered := dsp.LowestMIDI + i - c.Cejilla
		if c.Line.Accepts(a.item, fingered) {
			a.word[i] = Right
			if fingered >= c.Line.Tuning[5] && fingered <= top {
				accepted++
			}
		} else if octaveOf(&a.item, fingered) {
			a.word[i], a.favour[i] = Octave, octaveWeight
		}
		a.answer[i] = nearestAnswer(c, a.item, fingered)
		a.onTheWay[i] = openBelow(&c.Line.Tuning, fingered, a.answer[i].midi-c.Cejilla)
	}
	a.silent = answer{0, nearestAccepted(c, a.item, 0, c.Line.Tuning[4])}
	tonicChord := c.Line.Key.Chord(1, false)
	for i := range dsp.Pitches {
		fingered := dsp.LowestMIDI + i - c.Cejilla
		if a.word[i] == Right {
			a.favour[i] = 1 + (expectedWeight-1)/float64(max(accepted, 1))
		}
		a.harmless[i] = tonicChord.Contains(fingered) || a.item.Chord.Contains(fingered)
		a.tonic[i] = fingered <= c.Line.Tuning[2] && mod12(fingered) == c.Line.Key.Tonic.PitchClass()
	}
}

// topNote is the highest fingered note that a thumb is expected on.
func (c *Config) topNote() int {
	top := c.Line.Tuning[3] + 4
	for i := range c.Line.Items {
		for j := range c.Line.Items[i].Choices {
			if choice := &c.Line.Items[i].Choices[j]; choice.Kind == theory.ExactNote {
				top = max(top, choice.Note.MIDI())
			}
		}
	}
	return top
}

func rangeWeight(fingered, low, top int) float64 {
	switch {
	case fingered < low:
		return belowWeight
	case fingered <= top:
		return 1
	case fingered <= top+aboveReach:
		return aboveWeight
	}
	return trebleWeight
}

// octaveOf reports whether a note has the name of one that the item asks for.
func octaveOf(item *theory.Item, fingered int) bool {
	for i := range item.Choices {
		if c := &item.Choices[i]; c.Kind == theory.ExactNote && mod12(c.Note.MIDI()) == mod12(fingered) {
			return true
		}
	}
	return false
}

// nearestAnswer is the choice that a fingered note is judged against: one that
// accepts it, else one of its name, else the nearest, the first of equals.
func nearestAnswer(c *Config, item theory.Item, fingered int) answer {
	best, cost := answer{}, int(^uint(0)>>1)
	for i := range item.Choices {
		midi := nearestAccepted(c, item, i, fingered)
		d := 2 * max(midi-c.Cejilla-fingered, fingered-midi+c.Cejilla)
		if choice := &item.Choices[i]; d > 0 && choice.Kind == theory.ExactNote && mod12(choice.Note.MIDI()) == mod12(fingered) {
			d = 1
		}
		if d < cost {
			best, cost = answer{i, midi}, d
		}
	}
	return best
}

// nearestAccepted is the sounding MIDI of the note that a choice of the item
// accepts nearest to a fingered one, the lower of two.
func nearestAccepted(c *Config, item theory.Item, choice, fingered int) int {
	if one := item.Choices[choice]; one.Kind == theory.ExactNote {
		return one.Note.MIDI() + c.Cejilla
	}
	item.Choices = item.Choices[choice : choice+1]
	low := c.Line.Tuning[5]
	for d := range dsp.Pitches {
		if m := fingered - d; m >= low && c.Line.Accepts(item, m) {
			return m + c.Cejilla
		}
		if m := fingered + d; m >= low && c.Line.Accepts(item, m) {
			return m + c.Cejilla
		}
	}
	return low + c.Cejilla // a chord without tones: no form has one
}

func mod12(n int) int { return ((n % 12) + 12) % 12 }
