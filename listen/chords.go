package listen

import (
	"cmp"
	"math"
	"slices"

	"bordon/dsp"
	"bordon/listen/chords"
)

// chordFrames is how much of a stream chords are followed in: two hours.
const chordFrames = 2 * 60 * 60 * 22

// holding follows which chords are held; nothing where the form changes none.
type holding struct {
	sound  *dsp.Chroma
	frames []dsp.ChromaFrame
	said   []chords.Verdict
}

func newHolding(set Settings, rate int) (h holding, err error) {
	if len(set.Form.Plan(set.Key.Mode)) < 2 {
		return holding{}, nil
	}
	h.sound, err = dsp.NewChroma(rate, set.A4)
	return h, err
}

// hear takes in the next samples.
func (h *holding) hear(x []float32) {
	if h.sound != nil {
		h.keep(h.sound.Write(x))
	}
}

func (h *holding) keep(frames []dsp.ChromaFrame) {
	h.frames = append(h.frames, frames[:min(len(frames), chordFrames-len(h.frames))]...)
}

// judgeChords says what became of the changes of chord, once the stream has
// ended.
func (s *Session) judgeChords() {
	h := &s.holding
	if h.sound == nil {
		return
	}
	h.keep(h.sound.Flush())
	cfg := chords.Config{Rate: s.rate, Key: s.set.Key, Form: s.set.Form, Line: s.set.Line, Cejilla: s.set.Cejilla,
		Beats: s.grid, Delay: int64(math.Round(s.set.Delay * float64(s.rate) / 1000)), End: s.heard}
	for _, v := range s.verdicts {
		if v.Heard != nil {
			cfg.Thumbs = append(cfg.Thumbs, chords.Thumb{Onset: v.Heard.Onset, MIDI: v.Heard.MIDI})
		}
	}
	for _, x := range s.extras {
		cfg.Thumbs = append(cfg.Thumbs, chords.Thumb{Onset: x.Heard.Onset, MIDI: x.Heard.MIDI})
	}
	slices.SortFunc(cfg.Thumbs, func(a, b chords.Thumb) int {
		return cmp.Or(cmp.Compare(a.Onset, b.Onset), cmp.Compare(a.MIDI, b.MIDI))
	})
	h.said = slices.DeleteFunc(chords.Judge(cfg, h.frames), func(v chords.Verdict) bool {
		return len(v.Heard.Tones) == 0 || s.set.Turns > 0 && v.Turn > s.set.Turns
	})
	h.frames = nil
}

// Chords are the verdicts on the changes of chord where something was struck,
// in order of time: after Close, of the stream's first two hours.
func (s *Session) Chords() []chords.Verdict { return slices.Clone(s.holding.said) }

// Chord is a verdict on a change of chord as the contract writes it. Chords
// are named as fingered.
type Chord struct {
	Turn       int         `json:"turn"`
	Beat       int         `json:"beat"`
	Time       float64     `json:"time_s"` // where the grid has the change
	Asked      string      `json:"asked"`
	Heard      string      `json:"heard"`
	Verdict    chords.Word `json:"verdict"`
	Change     chords.When `json:"change"`
	Confidence float64     `json:"confidence"`
}

func (s *Session) chord(v chords.Verdict) Chord {
	return Chord{Turn: v.Turn, Beat: v.Beat, Time: s.seconds(v.Time), Asked: v.Asked.String(), Heard: v.Heard.String(),
		Verdict: v.Word, Change: v.When, Confidence: round(v.Confidence, 2)}
}
