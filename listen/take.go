package listen

import (
	"math"
	"strings"
	"time"

	"bordon/listen/grid"
	"bordon/theory"
)

// TakeSchema is the name and version of a take's description.
const TakeSchema = "bordon-take/1"

// Take is the contract's bordon-take/1 object: what take.json beside the sound
// of a take holds.
type Take struct {
	Schema   string       `json:"schema"`
	Started  string       `json:"started"`    // RFC 3339
	Length   float64      `json:"duration_s"` // of the sound
	Settings TakeSettings `json:"settings"`
	Devices  Devices      `json:"devices"`
	Delay    *float64     `json:"delay_ms"` // that was corrected for; nil where it was not known
	Gaps     []TakeGap    `json:"gaps"`
	Check    Check        `json:"check"`
}

// Take describes the session as a take that began at started and whose sound
// is kept as file. Call it after Close.
func (s *Session) Take(started time.Time, d Devices, file string) Take {
	t := Take{
		Schema:   TakeSchema,
		Started:  started.Format(time.RFC3339),
		Length:   s.seconds(s.heard),
		Settings: s.settings(),
		Devices:  d,
		Delay:    s.delay(),
		Gaps:     []TakeGap{},
		Check:    s.Check(file),
	}
	for _, g := range s.gaps {
		kept := s.gap(g)
		kept.Sample = &g.At
		t.Gaps = append(t.Gaps, kept)
	}
	return t
}

// TakeSettings are the settings as a take and the start of the event stream
// write them.
type TakeSettings struct {
	Key       string  `json:"key"`
	Form      string  `json:"form"`
	Cejilla   int     `json:"cejilla"`
	Line      string  `json:"line"`
	Tempo     float64 `json:"tempo_bpm"`
	FirstBeat float64 `json:"first_beat_s"`
	A4        float64 `json:"a4_hz"`
	Tolerance string  `json:"tolerance"`
	Turns     int     `json:"turns"` // 0: as many as the sound holds
	Exact     bool    `json:"exact"`
	Rate      int     `json:"rate_hz"`

	Strings  string `json:"strings,omitempty"`   // the tuning, as theory.ParseTuning reads it; "" is the standard one
	FormText string `json:"form_text,omitempty"` // a form that is not built in, as theory.ParseForm reads it

	PlanTurns int `json:"plan_turns,omitempty"` // where the line is a turn plan: how many turns that has

	Tempos []TempoChange `json:"tempos,omitempty"` // where the tempo changed, the clocks' own drift too

	Follow bool   `json:"follow,omitempty"` // the beats were found in the sound; tempo and first beat are those found
	Given  *Given `json:"given,omitempty"`  // what was said of them, if anything was
}

// Given is what was said of beats that were found in the sound; nil for what
// was not.
type Given struct {
	Tempo     *float64 `json:"tempo_bpm,omitempty"`
	FirstBeat *float64 `json:"first_beat_s,omitempty"`
}

// givenOf is nil where nothing was said.
func givenOf(o *grid.Options) *Given {
	if o == nil || o.Tempo == 0 && !o.FirstKnown {
		return nil
	}
	g, given := &Given{}, *o
	if given.Tempo != 0 {
		g.Tempo = &given.Tempo
	}
	if given.FirstKnown {
		g.FirstBeat = &given.FirstBeat
	}
	return g
}

// Options are how the beats were looked for.
func (g *Given) Options() *grid.Options {
	o := &grid.Options{}
	if g != nil && g.Tempo != nil {
		o.Tempo = *g.Tempo
	}
	if g != nil && g.FirstBeat != nil {
		o.FirstBeat, o.FirstKnown = *g.FirstBeat, true
	}
	return o
}

func (s *Session) settings() TakeSettings {
	t := TakeSettings{
		Key: s.set.Key.String(), Form: s.set.Form.Name, Cejilla: s.set.Cejilla, Line: s.set.lineText(),
		Tempo: s.set.Tempo, FirstBeat: s.set.FirstBeat, A4: s.set.A4, Tolerance: string(s.set.Tolerance),
		Turns: s.set.Turns, Exact: s.set.Exact, Rate: s.rate, Tempos: s.set.Tempos,
		Follow: s.set.Find != nil, Given: givenOf(s.set.Find),
	}
	if s.set.Line.Tuning != theory.Standard && s.set.Line.Tuning != (theory.Tuning{}) {
		t.Strings = s.set.Line.Tuning.String()
	}
	if s.set.Planned {
		t.PlanTurns = s.set.Line.Turns
	}
	if _, err := theory.LookupForm(t.Form); err != nil {
		own := s.set.Form // a section is kept as a form
		own.Name = strings.ReplaceAll(own.Name, "/", "-")
		t.FormText = theory.FormatForm(own)
	}
	return t
}

// Music reads what the settings name of music: key, form, and the line in
// them.
func (t TakeSettings) Music() (theory.Key, theory.Form, theory.Line, error) {
	key, err := theory.ParseKey(t.Key)
	if err != nil {
		return theory.Key{}, theory.Form{}, theory.Line{}, err
	}
	var form theory.Form
	if t.FormText == "" {
		form, err = theory.LookupForm(t.Form)
	} else if form, err = theory.ParseForm(t.FormText); err == nil {
		form.Name = t.Form
	}
	if err != nil {
		return theory.Key{}, theory.Form{}, theory.Line{}, err
	}
	tuning := theory.Standard
	if t.Strings != "" {
		if tuning, err = theory.ParseTuning(t.Strings); err != nil {
			return theory.Key{}, theory.Form{}, theory.Line{}, err
		}
	}
	line, err := theory.ParseLine(t.Line, key, form, tuning)
	if t.PlanTurns > 0 && err == nil {
		line = line.Over(t.PlanTurns)
	}
	return key, form, line, err
}

// delay that is corrected for, in ms; nil where it is not known. It is not
// rounded: the take is judged again with it, to the sample.
func (s *Session) delay() *float64 {
	if !s.set.DelayKnown {
		return nil
	}
	d := s.set.Delay
	return &d
}

// TakeGap is a Gap as a take and the event stream write it.
type TakeGap struct {
	Time   float64 `json:"time_s"`
	Lost   int64   `json:"lost_samples"`
	Sample *int64  `json:"sample,omitempty"` // of the first that was lost, in a take; nil in those of before
}

func (s *Session) gap(g Gap) TakeGap { return TakeGap{Time: s.seconds(g.At), Lost: g.Lost} }

// Gap is where it lies in sound of rate samples a second.
func (g TakeGap) Gap(rate int) Gap {
	at := int64(math.Round(g.Time * float64(rate)))
	if g.Sample != nil {
		at = *g.Sample
	}
	return Gap{At: at, Lost: g.Lost}
}
