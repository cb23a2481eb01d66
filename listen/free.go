package listen

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bordon/dsp"
	"bordon/listen/chords"
	"bordon/listen/grid"
	"bordon/listen/match"
)

// Free hears a recording of which it is not known where the beats are: all that
// sounds is kept, in notes and chords, until Close finds the compás in it. It
// is for one goroutine.
type Free struct {
	set    Settings
	rate   int
	given  grid.Options
	ear    hearer
	chroma *dsp.Chroma
	plan   *grid.Plan
	meter  meter

	heard  int64
	closed bool
	full   bool
	chunk  []float32
	notes  []dsp.Note // every look
	sound  []dsp.ChromaFrame
	gaps   []Gap

	aligned *grid.Alignment // by Judge
}

// MaxFree is how long a recording may be for its beats to be found, in hours.
const MaxFree = 2

// NewFree returns a Free for samples at rate. Of the settings, the tempo and
// the first beat are used as far as given tells them.
func NewFree(set Settings, given grid.Options, rate int) (*Free, error) {
	if given.Tempo == 0 {
		set.Tempo = usualTempo
	}
	if !given.FirstKnown {
		set.FirstBeat = 0
	}
	set.Delay = 0 // the beats are found where they are heard
	if err := checkSession(&set, rate); err != nil {
		return nil, err
	}
	plan, err := grid.NewPlan(set.Line, set.Cejilla)
	if err != nil {
		return nil, fmt.Errorf("%w; give the tempo and the first beat", err)
	}
	ear, err := dsp.NewEar(set.hearing(rate))
	if err != nil {
		return nil, err
	}
	chroma, err := dsp.NewChroma(rate, set.A4)
	if err != nil {
		return nil, err
	}
	ear.Beside(chroma)
	return &Free{set: set, rate: rate, given: given, ear: ear, chroma: chroma, plan: plan, meter: newMeter(rate), chunk: make([]float32, 4096)}, nil
}

// usualTempo stands in settings whose tempo is not known yet.
const usualTempo = 100

// Rate is in samples a second.
func (f *Free) Rate() int { return f.rate }

// Heard is the number of samples so far, lost ones included.
func (f *Free) Heard() int64 { return f.heard }

// Write hears samples. It has nothing to say before the end.
func (f *Free) Write(samples []float32) []Event {
	for len(samples) > 0 {
		n := copy(f.chunk, samples)
		samples = samples[n:]
		f.hear(f.chunk[:n])
	}
	return nil
}

// Lose tells of samples that were lost; silence is heard instead.
func (f *Free) Lose(samples int64) []Event {
	if samples <= 0 || f.closed {
		return nil
	}
	f.gaps = append(f.gaps, Gap{At: f.heard, Lost: samples})
	for samples > 0 {
		n := min(samples, int64(len(f.chunk)))
		samples -= n
		clear(f.chunk[:n])
		f.hear(f.chunk[:n])
	}
	return nil
}

func (f *Free) hear(chunk []float32) {
	if f.closed || f.full {
		return
	}
	for i, x := range chunk {
		if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
			chunk[i] = 0
		}
	}
	f.meter.write(chunk)
	f.heard += int64(len(chunk))
	f.full = f.heard > MaxFree*3600*int64(f.rate)
	f.notes = append(f.notes, f.ear.Write(chunk)...)
	f.sound = append(f.sound, f.chroma.Write(chunk)...)
}

// Close ends the recording.
func (f *Free) Close() []Event {
	if !f.closed {
		f.closed = true
		f.notes = append(f.notes, f.ear.Flush()...)
		f.sound = append(f.sound, f.chroma.Flush()...)
	}
	return nil
}

// Evidence is what was heard, for whoever looks for beats in it.
func (f *Free) Evidence() *grid.Evidence {
	e := &grid.Evidence{Rate: f.rate, Length: f.heard}
	for i := range f.notes {
		if f.notes[i].Last {
			e.Notes = append(e.Notes, f.notes[i])
		}
	}
	for i := range f.sound {
		e.Chroma = append(e.Chroma, classesOf(&f.sound[i]))
	}
	return e
}

// classesOf folds a frame into its pitch classes.
func classesOf(sound *dsp.ChromaFrame) grid.Chroma {
	c := grid.Chroma{At: sound.At}
	for k, v := range sound.Fold(dsp.LowestPitch, dsp.HighestPitch) {
		c.Classes[k] = float32(v)
	}
	return c
}

// Why no compás was found. The sentences are for the player.
var (
	ErrTooLong = fmt.Errorf("the recording is longer than %d hours, too long for the compás to be found in it; give the tempo and the first beat", MaxFree)
	ErrQuiet   = errors.New("no compás was found: there is next to no sound in the recording")
	ErrNoNotes = errors.New("no compás was found: hardly a bass note or a strum of a guitar is in the recording")
)

// NoCompas says that what was played does not go with the form and the line.
type NoCompas struct{ Form, Line string }

func (e *NoCompas) Error() string {
	return fmt.Sprintf("no compás was found: what was played does not repeat as %s with the line %s; if it is that, give the tempo and the first beat", e.Form, e.Line)
}

// Close readings: which one is right cannot be told.
type Undecided struct{ A, B grid.Reading } // FirstBeat in seconds

func (e *Undecided) Error() string {
	return fmt.Sprintf("two ways to count it are as likely: beat 1 at %.2f s and %.0f a minute, or beat 1 at %.2f s and %.0f a minute; tell with the first beat or the tempo which one it is",
		e.A.FirstBeat, e.A.Tempo, e.B.FirstBeat, e.B.Tempo)
}

// Judge finds the compás in a recording that has ended and judges it: the
// session that it returns has ended, too. The error says why no compás was
// found, or that two readings are too close to pick one.
func (f *Free) Judge() (*Session, error) {
	f.Close()
	if f.full {
		return nil, ErrTooLong
	}
	e := f.Evidence()
	a, err := grid.Align(e, f.plan, f.given)
	if err != nil {
		return nil, err
	}
	f.aligned = a
	if err := f.refuse(e, a); err != nil {
		return nil, err
	}
	s, err := f.judgeBy(a)
	if err == nil {
		s.other = f.OtherKey()
	}
	return s, err
}

// judgeBy judges the recording on the beats of an alignment.
func (f *Free) judgeBy(a *grid.Alignment) (*Session, error) {
	set := f.set
	set.Followed = a.Grid
	set.Tempo = round(min(max(a.Tempo, grid.MinTempo), grid.MaxTempo), 2)
	set.FirstBeat = round(float64(a.Grid.Sample(0))/float64(f.rate), 4)
	s, err := newSession(set, f.rate, &replayed{f})
	if err != nil {
		return nil, err
	}
	s.found = foundOf(a, set, f.rate)
	for _, gap := range f.gaps {
		s.gaps = append(s.gaps, gap)
		s.match.Lose(gap.At, gap.At+gap.Lost)
	}
	for i := range f.notes {
		s.keep(s.match.Note(&f.notes[i]))
	}
	s.heard = f.heard
	s.holding.frames = f.sound
	s.Close()
	s.strum(f)
	s.within(a)
	return s, nil
}

// Unjudged is an ended session of the sound in which nothing is judged.
func (f *Free) Unjudged() (*Session, error) {
	s, err := newSession(f.set, f.rate, &replayed{f})
	if err != nil {
		return nil, err
	}
	s.closed, s.heard, s.gaps = true, f.heard, slices.Clone(f.gaps)
	return s, nil
}

// refuse says why there is nothing to judge, nil where there is.
func (f *Free) refuse(e *grid.Evidence, a *grid.Alignment) error {
	if f.given.FirstKnown && f.given.FirstBeat >= 0 && len(a.Segments) > 0 && a.Segments[0].Beats[0].Beat != 0 {
		return fmt.Errorf("no compás was found that has its beat 1 at %.2f s; give another first beat, or none", f.given.FirstBeat)
	}
	if len(a.Segments) == 0 {
		sounds := 0.0
		for i := range e.Notes {
			n := &e.Notes[i]
			sounds += n.Began + (1-n.Began)*n.Strum
		}
		switch {
		case f.quiet():
			return ErrQuiet
		case sounds < fewSounds:
			return ErrNoNotes
		}
		return &NoCompas{f.set.Form.Title, f.set.lineText()}
	}
	// The longest stretch decides whether the reading is told apart.
	if long := a.Segments[longest(a.Segments)]; long.Confidence < grid.Sure && len(long.Readings) > 1 {
		u := &Undecided{long.Readings[0], long.Readings[1]}
		u.A.FirstBeat /= float64(f.rate)
		u.B.FirstBeat /= float64(f.rate)
		return u
	}
	return nil
}

// fewSounds are fewer notes and strums than any line has in a turn and a half.
const fewSounds = 4

// quiet reports whether nothing louder than the noise of a converter was heard.
func (f *Free) quiet() bool {
	for i := range f.sound {
		if f.sound[i].Level > -65 {
			return false
		}
	}
	return true
}

// within strikes what was judged outside the stretches in compás, or in one of
// which it is not sure how to count it.
func (s *Session) within(a *grid.Alignment) {
	near := int64(s.rate / 50)
	inside := func(at int64) bool {
		for i := range a.Segments {
			g := &a.Segments[i]
			from, to := int64(g.Beats[0].Sample), int64(g.Beats[len(g.Beats)-1].Sample)
			if g.Confidence >= grid.Sure && at >= from-near && at <= to+near {
				return true
			}
		}
		return false
	}
	s.verdicts = slices.DeleteFunc(s.verdicts, func(v match.Verdict) bool { return !inside(v.Time) })
	s.extras = slices.DeleteFunc(s.extras, func(x match.Extra) bool { return !inside(x.Heard.Onset) })
	s.holding.said = slices.DeleteFunc(s.holding.said, func(v chords.Verdict) bool { return !inside(v.Time) })
	s.cut = [2]int{}
}

// replayed is the ear of a session whose notes have all been heard.
type replayed struct{ f *Free }

func (*replayed) Write([]float32) []dsp.Note { return nil }
func (*replayed) Flush() []dsp.Note          { return nil }
func (r *replayed) Tuning() (float64, bool)  { return r.f.ear.Tuning() }
func (r *replayed) Delay() int               { return r.f.ear.Delay() }
