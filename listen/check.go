package listen

import (
	"encoding/json"

	"bordon/listen/match"
	"bordon/theory"
)

// CheckSchema is the name and version of what Check is written as.
const CheckSchema = "bordon-check/1"

// Check is the contract's bordon-check/1 object, its fields named and in order
// as there. Times are in seconds from the first sample, to a tenth of a
// millisecond.
type Check struct {
	Schema    string    `json:"schema"`
	File      string    `json:"file"`
	Key       string    `json:"key"`
	Form      string    `json:"form"`
	Cejilla   int       `json:"cejilla"`
	Line      string    `json:"line"`
	Tempo     float64   `json:"tempo_bpm"`
	FirstBeat float64   `json:"first_beat_s"`
	A4        float64   `json:"a4_hz"`
	Tuning    *float64  `json:"tuning_cents"` // nil where too little was heard to tell
	Tolerance string    `json:"tolerance"`
	Delay     float64   `json:"delay_ms"`
	Beats     []Beat    `json:"beats"`
	Extra     Extras    `json:"extra"`
	Score     Score     `json:"score"`
	Chords    []Chord   `json:"chords,omitempty"`    // changes of chord, where something was struck
	Grid      *Found    `json:"grid,omitempty"`      // where the beats were not given but found in the sound
	OtherKey  *OtherKey `json:"other_key,omitempty"` // that it sounds like, clearly; nil where it may be the one given
	Undecided *TwoWays  `json:"undecided,omitempty"` // where they may be counted in two ways: then there are no beats
}

// CheckError stands in an array of checks for a file that failed.
type CheckError struct {
	File  string `json:"file"`
	Error string `json:"error"`
}

// Beat is a verdict as the contract writes it.
type Beat struct {
	Turn     int           `json:"turn"`
	Beat     string        `json:"beat"`   // as written
	Time     float64       `json:"time_s"` // where the grid expects it
	Expected Expected      `json:"expected"`
	Heard    *Note         `json:"heard"`
	Pitch    match.Word    `json:"pitch"`
	Timing   *match.Timing `json:"timing"`
	Offset   *float64      `json:"offset_ms"`
	Decided  float64       `json:"decided_s"`
	Reason   string        `json:"reason"`
}

// Expected is the choice that a verdict was made against.
type Expected struct {
	MIDI     int      `json:"midi"` // sounding
	Name     string   `json:"name"` // sounding
	Degree   string   `json:"degree"`
	Fingered string   `json:"fingered,omitempty"` // with a cejilla
	Accepts  []string `json:"accepts,omitempty"`  // where several notes were accepted, as written
}

// Note is a note that was heard. Time is where it lies in the sound, the delay
// not taken off.
type Note struct {
	MIDI       int     `json:"midi"`
	Name       string  `json:"name"`
	Fingered   string  `json:"fingered,omitempty"`
	Cents      float64 `json:"cents"`
	Time       float64 `json:"time_s"`
	Confidence float64 `json:"confidence"`
}

// Extras are the notes that no beat asked for. They are written with their
// time first, as the contract has it.
type Extras []Note

// MarshalJSON implements json.Marshaler.
func (x Extras) MarshalJSON() ([]byte, error) {
	written := make([]extra, len(x)) // an empty array, not null
	for i, n := range x {
		written[i] = extraOf(n)
	}
	return json.Marshal(written)
}

// extra is a Note as it stands among the extras.
type extra struct {
	Time       float64 `json:"time_s"`
	MIDI       int     `json:"midi"`
	Name       string  `json:"name"`
	Fingered   string  `json:"fingered,omitempty"`
	Cents      float64 `json:"cents"`
	Confidence float64 `json:"confidence"`
}

func extraOf(n Note) extra {
	return extra{n.Time, n.MIDI, n.Name, n.Fingered, n.Cents, n.Confidence}
}

// Score is a match.Score as the contract writes it. What cannot be told is
// nil: an accuracy where nothing is left to judge, offsets where no note was
// timed.
type Score struct {
	Judged         int      `json:"judged"`
	Right          int      `json:"right"`
	RightOnTime    int      `json:"right_on_time"`
	Octave         int      `json:"octave"`
	InScale        int      `json:"in_scale"`
	OutOfScale     int      `json:"out_of_scale"`
	Missing        int      `json:"missing"`
	Unsure         int      `json:"unsure"`
	Strummed       int      `json:"strummed"`
	Extra          int      `json:"extra"`
	Accuracy       *float64 `json:"accuracy"`
	AccuracyOnTime *float64 `json:"accuracy_on_time"`
	OffsetMean     *float64 `json:"offset_mean_ms"`
	OffsetSD       *float64 `json:"offset_sd_ms"`
}

// Check is the contract's object on what was heard so far, of the whole stream
// after Close. File is the name that it goes under.
func (s *Session) Check(file string) Check {
	c := Check{
		Schema:    CheckSchema,
		File:      file,
		Key:       s.set.Key.String(),
		Form:      s.set.Form.Name,
		Cejilla:   s.set.Cejilla,
		Line:      s.set.lineText(),
		Tempo:     s.set.Tempo,
		FirstBeat: s.set.FirstBeat,
		A4:        s.set.A4,
		Tolerance: string(s.set.Tolerance),
		Delay:     round(s.set.Delay, 1),
		Beats:     []Beat{}, // an empty array, not null
		Extra:     Extras{},
		Score:     ScoreOf(s.Score()),
		Grid:      s.found,
		Undecided: s.two,
		OtherKey:  s.other,
	}
	if cents, known := s.Tuning(); known {
		c.Tuning = rounded(cents, 1)
	}
	for _, v := range s.Verdicts() {
		c.Beats = append(c.Beats, s.beat(v))
	}
	for _, v := range s.Chords() {
		c.Chords = append(c.Chords, s.chord(v))
	}
	for _, x := range s.Extras() {
		c.Extra = append(c.Extra, s.note(x.Heard))
	}
	return c
}

func (s *Session) beat(v match.Verdict) Beat {
	b := Beat{
		Turn:     v.Turn,
		Beat:     v.Item.Position.String(),
		Time:     s.seconds(v.Time),
		Expected: s.expected(v),
		Pitch:    v.Pitch,
		Decided:  s.seconds(v.Decided),
	}
	if v.Heard != nil {
		n := s.note(*v.Heard)
		b.Heard = &n
	}
	if v.Timing != "" {
		timing := v.Timing
		b.Timing = &timing
		b.Offset = rounded(1000*float64(v.Offset)/float64(s.rate), 1)
	}
	if s.set.Reason != nil {
		b.Reason = s.set.Reason(v, s.set)
	}
	return b
}

func (s *Session) expected(v match.Verdict) Expected {
	e := Expected{
		MIDI:     v.ExpectedMIDI,
		Name:     s.sounding(v.ExpectedMIDI),
		Degree:   s.set.Key.Degree(v.ExpectedMIDI - s.set.Cejilla),
		Fingered: s.fingered(v.ExpectedMIDI),
	}
	if len(v.Item.Choices) > 1 || v.Expected.Kind != theory.ExactNote {
		for _, c := range v.Item.Choices {
			text := c.Text
			if text == "" {
				text = c.String()
			}
			e.Accepts = append(e.Accepts, text)
		}
	}
	return e
}

func (s *Session) note(h match.Heard) Note {
	return Note{
		MIDI:       h.MIDI,
		Name:       s.sounding(h.MIDI),
		Fingered:   s.fingered(h.MIDI),
		Cents:      round(h.Cents, 1),
		Time:       s.seconds(h.Onset),
		Confidence: round(h.Confidence, 2),
	}
}

// sounding names a sounding pitch in the key that sounds.
func (s *Session) sounding(midi int) string {
	return s.set.Key.Transpose(s.set.Cejilla).Spell(midi).String()
}

// fingered names a sounding pitch as it is fingered, "" without a cejilla.
func (s *Session) fingered(midi int) string {
	if s.set.Cejilla == 0 {
		return ""
	}
	return s.set.Key.Spell(midi - s.set.Cejilla).String()
}

func (s *Session) seconds(sample int64) float64 {
	return round(float64(sample)/float64(s.rate), 4)
}

// Match is the score as the judge counts it, which words tell.
func (s Score) Match() match.Score {
	m := match.Score{Judged: s.Judged, Right: s.Right, RightOnTime: s.RightOnTime, Octave: s.Octave, InScale: s.InScale,
		OutOfScale: s.OutOfScale, Missing: s.Missing, Unsure: s.Unsure, Strummed: s.Strummed, Extra: s.Extra,
		Accuracy: s.Accuracy, AccuracyOnTime: s.AccuracyOnTime}
	if s.OffsetMean != nil && s.OffsetSD != nil {
		m.OffsetMean, m.OffsetSD, m.Timed = *s.OffsetMean, *s.OffsetSD, s.Judged-s.Unsure-s.Missing
	}
	return m
}

// ScoreOf writes a score as the contract does.
func ScoreOf(m match.Score) Score {
	s := Score{
		Judged: m.Judged, Right: m.Right, RightOnTime: m.RightOnTime, Octave: m.Octave,
		InScale: m.InScale, OutOfScale: m.OutOfScale, Missing: m.Missing, Unsure: m.Unsure,
		Strummed: m.Strummed, Extra: m.Extra,
	}
	if m.Accuracy != nil {
		s.Accuracy = rounded(*m.Accuracy, 4)
	}
	if m.AccuracyOnTime != nil {
		s.AccuracyOnTime = rounded(*m.AccuracyOnTime, 4)
	}
	if m.Timed > 0 {
		s.OffsetMean = rounded(m.OffsetMean, 1)
		s.OffsetSD = rounded(m.OffsetSD, 1)
	}
	return s
}
