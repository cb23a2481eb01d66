package match

import (
	"errors"
	"fmt"

	"bordon/dsp"
	"bordon/listen/grid"
	"bordon/theory"
)

// Config is all that verdicts depend on beside the sound.
type Config struct {
	Rate    int         // samples a second of the input, 1 or more
	Line    theory.Line // as fingered; its key, form and tuning count too
	Cejilla int         // semitones from fingered to sounding, 0 to 12
	Grid    grid.Grid

	Tolerance  Tolerance
	Delay      int64 // samples by which a beat of the grid is heard later on the input
	DelayKnown bool  // false: no timing word is given, and nothing is held against a note for its place in time
	OnsetError int64 // samples; the ear's own measured onset error, by which tolerances are widened

	Turns int  // of the take that are judged; 0 for as many as the stream holds
	Exact bool // the line is played exactly as written: repeats and ornaments are extras too

	// Planned tells that the line is played wherever it asks for something: no
	// turn is taken for a strummed one, and what is played in turns that ask
	// for nothing is nobody's extra note.
	Planned bool

	// Blind makes no note likelier for being asked for, in the key, or an
	// octave of it: to measure what knowing the line gives.
	Blind bool

	// EarDelay is the most samples between an onset and the Decided of its
	// last look.
	EarDelay int64
}

// validate says what is wrong with the configuration, in one sentence.
func (c *Config) validate() error {
	switch {
	case c.Rate < 1:
		return fmt.Errorf("a rate of %d samples a second is not usable; it must be positive", c.Rate)
	case c.Grid == nil:
		return errors.New("verdicts need a grid of beats")
	case len(c.Line.Items) == 0:
		return errors.New("verdicts need a line of at least one note, such as 7:B2 8:A2 9:F#2 10:G2")
	case c.Line.Form.Beats < 1:
		return errors.New("verdicts need a form with at least one beat, such as alegrias")
	case c.Cejilla < 0 || c.Cejilla > 12:
		return fmt.Errorf("a cejilla at fret %d is not usable; it must be 0 to 12", c.Cejilla)
	case c.Tolerance != Learning && c.Tolerance != Performing:
		return fmt.Errorf("tolerance %q is unknown; it must be %s or %s", string(c.Tolerance), Learning, Performing)
	case c.OnsetError < 0:
		return fmt.Errorf("an onset error of %d samples is not usable; it must not be negative", c.OnsetError)
	case c.EarDelay < 0:
		return fmt.Errorf("an ear's delay of %d samples is not usable; it must not be negative", c.EarDelay)
	case c.Turns < 0:
		return fmt.Errorf("%d turns cannot be judged; it must be 0 (all) or more", c.Turns)
	}
	for i := range c.Line.Items {
		if err := c.audible(&c.Line.Items[i]); err != nil {
			return err
		}
	}
	return nil
}

// audible checks that the ear can name every note that an item asks for.
func (c *Config) audible(item *theory.Item) error {
	if len(item.Choices) == 0 {
		return fmt.Errorf("beat %v asks for nothing; it must ask for a note, a degree, scale or chord", item.Position)
	}
	for i := range item.Choices {
		choice := &item.Choices[i]
		if choice.Kind != theory.ExactNote {
			continue
		}
		if midi := choice.Note.MIDI() + c.Cejilla; midi < dsp.LowestMIDI || midi > dsp.HighestMIDI {
			return fmt.Errorf("beat %v asks for %v, which sounds as MIDI %d; bass notes are heard from MIDI %d to %d",
				item.Position, choice.Note, midi, dsp.LowestMIDI, dsp.HighestMIDI)
		}
	}
	return nil
}
