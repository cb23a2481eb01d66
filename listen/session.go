package listen

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bordon/dsp"
	"bordon/listen/grid"
	"bordon/listen/match"
)

// hearer is what a session needs of dsp.Ear.
type hearer interface {
	Write(x []float32) []dsp.Note
	Flush() []dsp.Note
	Tuning() (cents float64, known bool)
	Delay() int
}

// Session judges one stream of mono samples against Settings. Chunk sizes
// never matter. It is for one goroutine.
type Session struct {
	set   Settings
	rate  int
	ear   hearer
	match *match.Matcher
	grid  *movable
	meter meter

	holding holding // of chords

	heard  int64
	closed bool
	chunk  []float32

	verdicts []match.Verdict // final, as they came
	extras   []match.Extra
	gaps     []Gap
	found    *Found       // where the beats were found in the sound
	two      *TwoWays     // where that cannot be told
	alike    *match.Score // of both ways, nil where they differ
	other    *OtherKey    // that it sounds like
	cut      [2]int       // turns that the end cut off, first and last
	events   []Event
}

// NewSession returns a session for samples at rate, 8000 to 192000 a second.
// The error says what is wrong with the settings or the rate.
func NewSession(set Settings, rate int) (*Session, error) {
	if err := checkSession(&set, rate); err != nil {
		return nil, err
	}
	hearing := set.hearing(rate)
	hearing.Glance = set.Glance
	ear, err := dsp.NewEar(hearing)
	if err != nil {
		return nil, err
	}
	s, err := newSession(set, rate, ear)
	if err == nil && s.holding.sound != nil {
		ear.Beside(s.holding.sound)
	}
	return s, err
}

func checkSession(set *Settings, rate int) error {
	if rate < grid.MinRate || rate > grid.MaxRate {
		return fmt.Errorf("a rate of %d samples a second is not usable; it must be %d to %d", rate, grid.MinRate, grid.MaxRate)
	}
	return set.Validate()
}

func newSession(set Settings, rate int, ear hearer) (*Session, error) {
	cfg, err := set.matching(rate)
	if err != nil {
		return nil, err
	}
	cfg.EarDelay = int64(ear.Delay())
	beats := &movable{cfg.Grid}
	cfg.Grid = beats
	m, err := match.New(cfg)
	if err != nil {
		return nil, err
	}
	held, err := newHolding(set, rate)
	if err != nil {
		return nil, err
	}
	return &Session{
		set: set, rate: rate, ear: ear, match: m, grid: beats,
		meter: newMeter(rate), holding: held,
		chunk: make([]float32, 4096),
	}, nil
}

// Settings are those that the session was made with.
func (s *Session) Settings() Settings { return s.set }

// Rate is in samples a second.
func (s *Session) Rate() int { return s.rate }

// Write hears samples, full scale being -1 to 1; one that is no number is
// heard as 0. The slice that it returns is valid until the next call, the
// events in it stay valid.
func (s *Session) Write(samples []float32) []Event {
	s.events = s.events[:0]
	for len(samples) > 0 {
		n := copy(s.chunk, samples)
		samples = samples[n:]
		s.hear(s.chunk[:n])
	}
	return s.events
}

// Lose tells of samples that were lost at this place. Silence of the same
// length is heard instead.
func (s *Session) Lose(samples int64) []Event {
	s.events = s.events[:0]
	if samples <= 0 || s.closed {
		return s.events
	}
	gap := Gap{At: s.heard, Lost: samples}
	s.gaps = append(s.gaps, gap)
	s.events = append(s.events, Event{Kind: GapFound, Gap: gap})
	s.match.Lose(s.heard, s.heard+samples)
	for samples > 0 {
		n := min(samples, int64(len(s.chunk)))
		samples -= n
		clear(s.chunk[:n])
		s.hear(s.chunk[:n])
	}
	return s.events
}

// hear takes in part of the session's own chunk.
func (s *Session) hear(chunk []float32) {
	if s.closed {
		return
	}
	for i, x := range chunk {
		if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
			chunk[i] = 0
		}
	}
	s.meter.write(chunk)
	s.heard += int64(len(chunk))
	s.judge(s.ear.Write(chunk))
	s.holding.hear(chunk)
	s.keep(s.match.Advance(s.heard))
}

func (s *Session) judge(notes []dsp.Note) {
	for i := range notes {
		s.keep(s.match.Note(&notes[i]))
	}
}

// Close ends the stream: what is still open is decided, turns that the stream
// does not hold whole are struck out, and the score of the take is given. More
// calls change nothing.
func (s *Session) Close() []Event {
	s.events = s.events[:0]
	if s.closed {
		return s.events
	}
	s.closed = true
	s.judge(s.ear.Flush())
	s.keep(s.match.End(s.heard))
	s.judgeChords()
	s.events = append(s.events, Event{Kind: TurnScore, Score: s.score(math.MaxInt)})
	return s.events
}

// keep turns what the matcher says into events and remembers it. What the
// matcher owns is copied.
func (s *Session) keep(said []match.Event) {
	for i := range said {
		switch e := &said[i]; e.Kind {
		case match.Judged:
			v := e.Verdict
			if v.Heard != nil {
				heard := *v.Heard
				v.Heard = &heard
			}
			kind := Provisional
			if !v.Provisional {
				kind = Final
				s.verdicts = append(s.verdicts, v)
			}
			s.events = append(s.events, Event{Kind: kind, Verdict: v})
		case match.Added:
			s.extras = append(s.extras, e.Extra)
			s.events = append(s.events, Event{Kind: ExtraNote, Extra: e.Extra})
		case match.Ended:
			s.events = append(s.events, Event{Kind: TurnScore, Score: s.score(e.LastTurn), Turn: e.LastTurn})
		case match.Cut:
			said := len(s.verdicts) + len(s.extras)
			s.verdicts = slices.DeleteFunc(s.verdicts, func(v match.Verdict) bool { return v.Turn >= e.Turn && v.Turn <= e.LastTurn })
			s.extras = slices.DeleteFunc(s.extras, func(x match.Extra) bool { return x.Turn >= e.Turn && x.Turn <= e.LastTurn })
			if len(s.verdicts)+len(s.extras) < said {
				if s.cut[0] == 0 {
					s.cut[0] = e.Turn
				}
				s.cut[1] = e.LastTurn
			}
		}
	}
}

// score of the turns up to and including last.
func (s *Session) score(last int) match.Score {
	verdicts := make([]match.Verdict, 0, len(s.verdicts))
	for _, v := range s.verdicts {
		if v.Turn <= last {
			verdicts = append(verdicts, v)
		}
	}
	extras := make([]match.Extra, 0, len(s.extras))
	for _, x := range s.extras {
		if x.Turn <= last {
			extras = append(extras, x)
		}
	}
	return match.Count(verdicts, extras, s.rate)
}

// Heard is the number of samples so far, lost ones included.
func (s *Session) Heard() int64 { return s.heard }

// Level of the last 0.3 s: RMS and peak in dB relative to full scale, at
// least -120, and whether three samples in a row stood at full scale.
func (s *Session) Level() (rms, peak float64, clipped bool) { return s.meter.level() }

// Tuning is the guitar's offset from concert pitch in cents, and whether
// enough was heard to tell.
func (s *Session) Tuning() (cents float64, known bool) { return s.ear.Tuning() }

// Gaps are the places where samples were lost so far.
func (s *Session) Gaps() []Gap { return slices.Clone(s.gaps) }

// CutOff are the turns, first to last, in which the stream ended after final
// verdicts or extras of them had been told: those count no longer. Both are 0
// where there are none.
func (s *Session) CutOff() (first, last int) { return s.cut[0], s.cut[1] }

// Verdicts are the final verdicts so far, in order of time.
func (s *Session) Verdicts() []match.Verdict {
	v := slices.Clone(s.verdicts)
	slices.SortStableFunc(v, func(a, b match.Verdict) int { return cmp.Compare(a.Time, b.Time) })
	return v
}

// Extras are the extra notes so far, in order of time.
func (s *Session) Extras() []match.Extra {
	x := slices.Clone(s.extras)
	slices.SortStableFunc(x, func(a, b match.Extra) int { return cmp.Compare(a.Heard.Onset, b.Heard.Onset) })
	return x
}

// Score of all that is final so far.
func (s *Session) Score() match.Score {
	if s.alike != nil {
		return *s.alike
	}
	return s.score(math.MaxInt)
}
