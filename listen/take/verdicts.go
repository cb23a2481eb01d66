package take

import (
	"fmt"
	"math"
	"strings"

	"bordon/listen"
	"bordon/listen/match"
	"bordon/theory"
)

// Verdicts are the take's own verdicts and extras as a judge gives them, so
// that a page can be written of them; the player's rulings are not in them. set
// are the take's Settings. Causes are not kept: the reasons stand in the check.
func (s *Stored) Verdicts(set listen.Settings) ([]match.Verdict, []match.Extra, error) {
	c := &s.Take.Check
	rate := float64(s.Take.Settings.Rate)
	sample := func(seconds float64) int64 { return int64(math.Round(seconds * rate)) }
	items := map[string]theory.Item{}
	for _, it := range set.Line.Items {
		items[it.Position.String()] = it
	}
	heard := func(n *listen.Note) *match.Heard {
		if n == nil {
			return nil
		}
		return &match.Heard{MIDI: n.MIDI, Cents: n.Cents, Onset: sample(n.Time), Confidence: n.Confidence}
	}
	var verdicts []match.Verdict
	for i := range c.Beats {
		b := &c.Beats[i]
		it, ok := items[b.Beat]
		if !ok {
			return nil, nil, fmt.Errorf("the take %q has a verdict on beat %q, which its line does not name", s.ID, short(b.Beat))
		}
		v := match.Verdict{
			Turn: b.Turn, Item: it, Time: sample(b.Time), Pitch: b.Pitch, ExpectedMIDI: b.Expected.MIDI,
			Expected: it.Choices[0], Heard: heard(b.Heard), Decided: sample(b.Decided),
		}
		for _, ch := range it.Choices {
			if ch.Kind == theory.ExactNote && ch.Note.MIDI()+set.Cejilla == b.Expected.MIDI {
				v.Expected = ch
			}
		}
		if b.Timing != nil && b.Offset != nil {
			v.Timing, v.Offset = *b.Timing, sample(*b.Offset/1000)
		}
		verdicts = append(verdicts, v)
	}
	var extras []match.Extra
	for i := range c.Extra {
		extras = append(extras, match.Extra{Turn: s.turnAt(c.Extra[i].Time), Heard: *heard(&c.Extra[i])})
	}
	return verdicts, extras, nil
}

// turnAt is the turn of the verdict nearest in time.
func (s *Stored) turnAt(seconds float64) int {
	turn, least := 1, math.Inf(1)
	for _, b := range s.Take.Check.Beats {
		if d := math.Abs(b.Time - seconds); d < least {
			turn, least = b.Turn, d
		}
	}
	return turn
}

// BeatOf is a position as written without the line's turn before it: "8" of
// "2/8", "9+1/2" of "2/9+1/2".
func BeatOf(position string) string {
	whole, fraction, _ := strings.Cut(position, "+")
	if _, beat, ok := strings.Cut(whole, "/"); ok {
		whole = beat
	}
	if fraction != "" {
		return whole + "+" + fraction
	}
	return whole
}
