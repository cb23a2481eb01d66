package listen

import (
	"errors"
	"fmt"
	"math"

	"bordon/dsp"
	"bordon/listen/grid"
	"bordon/listen/match"
	"bordon/theory"
)

// Settings of a session, all that verdicts depend on beside the sound.
type Settings struct {
	Key        theory.Key // as fingered
	Form       theory.Form
	Line       theory.Line // as fingered
	LineText   string      // as the player wrote it; "" for the default line
	Tempo      float64     // units of the form a minute (beats for most), 20 to 400
	FirstBeat  float64     // seconds on the input stream, delay not included; may be negative
	Cejilla    int         // 0 to 12
	A4         float64     // Hz, 415 to 466
	Tolerance  match.Tolerance
	Delay      float64                              // ms, taken off every onset
	DelayKnown bool                                 // false: no timing word is given
	Tempos     []TempoChange                        // from which turns on the tempo is another, in order
	Turns      int                                  // 0: as many as the sound holds
	Planned    bool                                 // the line, of Line.Turns turns, is a turn plan: where it asks for something it is played
	Exact      bool                                 // the line is played exactly as written: repeats and ornaments are extras too
	Followed   *grid.Followed                       // where the beats were found in the sound; nil: Tempo, FirstBeat and Tempos tell
	Find       *grid.Options                        // what is known of beats that must be found in the sound; nil where they are given
	Reason     func(match.Verdict, Settings) string // the sentence; nil leaves it empty

	// Glance has provisional verdicts come some 50 ms sooner, for a screen; the
	// final ones are the same.
	Glance bool

	// For measuring; zero for players.
	Weights *dsp.Weights // the ear's; nil means the built-in ones
	Without dsp.Part     // what the ear must do without
	Blind   bool         // no note counts as likelier for being asked for
}

// The limits of Settings.
const (
	MinA4      = 415.0 // Hz
	MaxA4      = 466.0
	MaxCejilla = 12
	MaxDelay   = 2000.0 // ms either way
	MaxTurns   = 100000
)

// onsetError is the ear's own error of an onset's place in ms, the 95th
// percentile of the right notes of the scenario's takes (9.1), rounded up:
// tolerances are widened by it.
const onsetError = 10.0

// Validate says what is wrong with the settings, in one sentence that names
// the thing and says what would be right.
func (s *Settings) Validate() error {
	switch {
	case s.Key.Tonic.Letter == 0:
		return errors.New("there is no key; give one such as G, F#m or por-medio")
	case s.Form.Beats < 1:
		return errors.New("there is no form; give one such as alegrias")
	case len(s.Line.Items) == 0:
		return errors.New("there is no line; give one such as 7:3 8:2 9:7 10:1")
	case s.Line.Key != s.Key:
		return fmt.Errorf("the line was read in %v and the key is %v; read the line in the key that is played", s.Line.Key, s.Key)
	case s.Line.Form.Beats != s.Form.Beats:
		return fmt.Errorf("the line was read in a form of %d beats and the form has %d; read the line in the form that is played", s.Line.Form.Beats, s.Form.Beats)
	case s.Cejilla < 0 || s.Cejilla > MaxCejilla:
		return fmt.Errorf("a cejilla at fret %d is not usable; it must be 0 to %d", s.Cejilla, MaxCejilla)
	case !(s.A4 >= MinA4 && s.A4 <= MaxA4):
		return fmt.Errorf("a concert pitch of %v Hz is not usable; it must be %v to %v", s.A4, MinA4, MaxA4)
	case s.Tolerance != match.Learning && s.Tolerance != match.Performing:
		return fmt.Errorf("tolerance %q is unknown; it must be %s or %s", string(s.Tolerance), match.Learning, match.Performing)
	case !(math.Abs(s.Delay) <= MaxDelay):
		return fmt.Errorf("a delay of %v ms is not usable; it must be within %v ms", s.Delay, MaxDelay)
	case s.Turns < 0 || s.Turns > MaxTurns:
		return fmt.Errorf("%d turns cannot be judged; it must be 1 to %d, or 0 for all", s.Turns, MaxTurns)
	}
	// The rate is not a setting: any usable one serves to check the rest.
	_, err := s.Grid(grid.MinRate)
	return err
}

// Grid is where the beats are on an input of rate samples a second, delay not
// included.
func (s *Settings) Grid(rate int) (grid.Grid, error) {
	if s.Followed != nil {
		return s.Followed, nil
	}
	base, err := grid.New(rate, s.Tempo, s.FirstBeat, s.Form.Lengths)
	if err != nil || len(s.Tempos) == 0 {
		return base, err
	}
	return s.changing(base)
}

// matching is what match needs of the settings, all but the ear's delay.
func (s *Settings) matching(rate int) (match.Config, error) {
	beats, err := s.Grid(rate)
	if err != nil {
		return match.Config{}, err
	}
	samples := float64(rate) / 1000 // in a ms
	return match.Config{
		Rate:       rate,
		Line:       s.Line,
		Cejilla:    s.Cejilla,
		Grid:       beats,
		Tolerance:  s.Tolerance,
		Delay:      int64(math.Round(s.Delay * samples)),
		DelayKnown: s.DelayKnown,
		OnsetError: int64(math.Round(onsetError * samples)),
		Turns:      s.Turns,
		Exact:      s.Exact,
		Planned:    s.Planned,
		Blind:      s.Blind,
	}, nil
}

// hearing is what the ear needs: where the bass strings lie with the cejilla,
// the open sixth to the fourth fret of the fourth or as high as the line goes.
func (s *Settings) hearing(rate int) dsp.EarConfig {
	low, high := s.Line.Tuning[5], s.Line.Tuning[3]+4
	for _, item := range s.Line.Items {
		for _, c := range item.Choices {
			if c.Kind == theory.ExactNote {
				high = max(high, c.Note.MIDI())
			}
		}
	}
	return dsp.EarConfig{
		Rate: rate, A4: s.A4,
		Lowest:  max(low+s.Cejilla, dsp.LowestMIDI),
		Highest: min(high+s.Cejilla, dsp.HighestMIDI),
		Net:     s.Weights,
		Without: s.Without,
	}
}

// lineText is the line as the player wrote it, or the default line.
func (s *Settings) lineText() string {
	if s.LineText != "" {
		return s.LineText
	}
	return s.Line.String()
}
