package listen

import (
	"errors"
	"math"

	"bordon/listen/grid"
	"bordon/listen/match"
	"bordon/theory"
)

// TwoWays tells of a recording that may be counted in two ways: which one is
// right cannot be told, so there are no turns, and what is said holds whichever
// it is.
type TwoWays struct {
	Readings []FoundReading `json:"readings"` // the likelier first; neither is picked
	Notes    []Agreed       `json:"notes"`    // judged alike in both, in order of time
}

// Agreed is a verdict that does not depend on where the turn begins.
type Agreed struct {
	Time     float64    `json:"time_s"` // the onset; of a missing note, where it was expected
	Heard    *Note      `json:"heard"`
	Expected *Expected  `json:"expected"` // nil where a note is foreign to the key whatever was asked for
	Pitch    match.Word `json:"pitch"`    // never unsure or strummed
	Reason   string     `json:"reason"`
	// Places are where the note stands counted in each of the ways.
	Places []AgreedPlace `json:"places"`
}

// AgreedPlace is a turn and a beat as written.
type AgreedPlace struct {
	Turn int    `json:"turn"`
	Beat string `json:"beat"`
}

// Verdict is an agreed note as a judge gives it, in the settings of its take
// and in samples at rate, to be worded: its place in the line is not known.
func (n *Agreed) Verdict(set Settings, rate int) match.Verdict {
	v := match.Verdict{Time: int64(math.Round(n.Time * float64(rate))), Pitch: n.Pitch}
	if n.Heard != nil {
		v.Heard = &match.Heard{MIDI: n.Heard.MIDI, Cents: n.Heard.Cents, Onset: v.Time, Confidence: n.Heard.Confidence}
	}
	if n.Expected == nil {
		return v
	}
	v.ExpectedMIDI = n.Expected.MIDI
	for _, it := range set.Line.Items {
		if len(n.Places) > 0 && it.Position.String() == n.Places[0].Beat {
			v.Item.Choices = it.Choices
			v.Item.Chord = it.Chord
		}
	}
	for _, c := range v.Item.Choices {
		v.Expected = c
		if c.Kind == theory.ExactNote && c.Note.MIDI()+set.Cejilla == v.ExpectedMIDI {
			break
		}
	}
	return v
}

// Err says that nothing was picked, as Judge does.
func (t *TwoWays) Err() *Undecided {
	of := func(r FoundReading) grid.Reading {
		return grid.Reading{FirstBeat: r.FirstBeat, Tempo: r.Tempo, Share: r.Share}
	}
	return &Undecided{of(t.Readings[0]), of(t.Readings[1])}
}

// Score counts the agreed notes; nothing is told of when they came.
func (t *TwoWays) Score() match.Score {
	verdicts := make([]match.Verdict, len(t.Notes))
	for i, n := range t.Notes {
		verdicts[i].Pitch = n.Pitch
	}
	return match.Count(verdicts, nil, 1)
}

// TwoWays is what can be said of a recording whose place in the compás cannot
// be told, nil of any other.
func (s *Session) TwoWays() *TwoWays { return s.two }

// JudgeAny is Judge; where two readings are too close to pick one, the session
// holds the verdicts in which they agree, see TwoWays. The error is that of
// Judge where they agree in none.
func (f *Free) JudgeAny() (*Session, error) {
	s, err := f.Judge()
	var close *Undecided
	if !errors.As(err, &close) {
		return s, err
	}
	s, bad := f.agreed(f.aligned)
	if bad != nil {
		return nil, bad
	}
	if s == nil {
		return nil, err
	}
	return s, nil
}

// agreed judges by each of the readings between which it is not decided, and
// keeps what they say alike; nil where that is nothing.
func (f *Free) agreed(a *grid.Alignment) (*Session, error) {
	i := longest(a.Segments)
	var by []*Session
	for _, r := range a.Segments[i].Readings[:2] {
		ways, err := f.waysOf(a, i, r)
		if err != nil || len(ways) == 0 {
			return nil, err
		}
		for _, way := range ways {
			s, err := f.judgeBy(way)
			if err != nil {
				return nil, err
			}
			by = append(by, s)
		}
	}
	two := &TwoWays{Notes: alike(by)}
	if len(two.Notes) == 0 {
		return nil, nil
	}
	two.Readings = readingsOf(&a.Segments[i], f.rate)[:2]
	set := f.set
	set.Tempo = round(min(max(two.Readings[0].Tempo, grid.MinTempo), grid.MaxTempo), 2)
	set.FirstBeat = two.Readings[0].FirstBeat
	s, err := newSession(set, f.rate, &replayed{f})
	if err != nil {
		return nil, err
	}
	s.closed, s.heard, s.two = true, f.heard, two
	s.gaps = append(s.gaps, f.gaps...)
	s.alike, s.other = sameScore(by), f.OtherKey()
	return s, nil
}

// waysOf are the alignments that a reading of segment i may mean, its place
// taken for certain: more than one where the line has several turns and the
// reading does not tell which comes first; none where it is found no more.
func (f *Free) waysOf(a *grid.Alignment, i int, r grid.Reading) ([]*grid.Alignment, error) {
	seg := &a.Segments[i]
	if math.Abs(r.Tempo/seg.Tempo-1) > sameTempo {
		other, err := grid.Align(f.Evidence(), f.plan, grid.Options{Tempo: r.Tempo, FirstBeat: r.FirstBeat / float64(f.rate), FirstKnown: true})
		if err != nil || len(other.Segments) == 0 {
			return nil, err
		}
		other.Segments[longest(other.Segments)].Confidence = 1
		return []*grid.Alignment{other}, nil
	}
	pass, turn := f.plan.Beats(), f.set.Form.Beats
	first := int(seg.Beats[0].Beat)
	var ways []*grid.Alignment
	for shift := range pass {
		ahead := mod(-(first + shift), turn) // beats to the next beat 1
		at := seg.Beats[0].Sample + float64(ahead)*60/r.Tempo*float64(f.rate)
		if ahead < len(seg.Beats) {
			at = seg.Beats[ahead].Sample
		}
		if math.Abs(at-r.FirstBeat) > sameFirst*float64(f.rate) {
			continue
		}
		way, err := recounted(a, i, float64(shift), float64(pass))
		if err != nil {
			return nil, err
		}
		ways = append(ways, way)
	}
	return ways, nil
}

// Two readings of the same beats differ in what is beat 1 alone.
const (
	sameTempo = 0.01 // share
	sameFirst = 0.05 // s: no beat is as short
)

func mod(a, n int) int { return ((a % n) + n) % n }

func longest(segments []grid.Segment) int {
	best := 0
	for i := range segments {
		if len(segments[i].Beats) > len(segments[best].Beats) {
			best = i
		}
	}
	return best
}

// recounted is an alignment whose segment i is counted from so many beats later
// in the pass; what comes after it moves on by a whole pass.
func recounted(a *grid.Alignment, i int, shift, pass float64) (*grid.Alignment, error) {
	out := *a
	out.Segments = append([]grid.Segment(nil), a.Segments...)
	out.Segments[i].Confidence = 1
	if shift == 0 {
		return &out, nil
	}
	from, to := math.Inf(-1), math.Inf(1) // beats of the grid that are the segment's
	if i > 0 {
		before := a.Segments[i-1].Beats
		from = before[len(before)-1].Beat
	}
	if i+1 < len(a.Segments) {
		to = a.Segments[i+1].Beats[0].Beat
	}
	moved := func(k grid.Knot) grid.Knot {
		switch {
		case k.Beat >= to:
			k.Beat += pass
		case k.Beat > from:
			k.Beat += shift
		}
		return k
	}
	for j := i; j < len(out.Segments); j++ {
		seg := &out.Segments[j]
		beats := make([]grid.Knot, len(seg.Beats))
		for k, b := range seg.Beats {
			beats[k] = moved(b)
		}
		seg.Beats = beats
	}
	knots := a.Grid.Knots()
	for k := range knots {
		knots[k] = moved(knots[k])
	}
	var err error
	out.Grid, err = grid.NewFollowed(knots, 0)
	return &out, err
}

// alike are the verdicts of the first session that all others share.
func alike(by []*Session) []Agreed {
	out := []Agreed{}
	first := by[0]
	for _, v := range first.Verdicts() {
		if v.Pitch == match.Unsure || v.Pitch == match.Strummed {
			continue
		}
		b := first.beat(v)
		n := Agreed{Time: b.Time, Heard: b.Heard, Expected: &b.Expected, Pitch: v.Pitch, Reason: b.Reason, Places: []AgreedPlace{{b.Turn, b.Beat}}}
		if b.Heard != nil {
			n.Time = b.Heard.Time
		}
		shared := true
		for _, s := range by[1:] {
			w, ok := s.sameAs(v)
			if !ok {
				shared = false
				break
			}
			other := s.beat(w)
			if w.ExpectedMIDI != v.ExpectedMIDI {
				n.Expected = nil
			}
			if other.Reason != n.Reason {
				n.Reason = ""
			}
			if p := (AgreedPlace{other.Turn, other.Beat}); len(n.Places) == 1 || p != n.Places[len(n.Places)-1] {
				n.Places = append(n.Places, p)
			}
		}
		if !shared {
			continue
		}
		if n.Reason == "" && b.Reason != "" { // what is said of the place differs
			n.Reason = first.set.Reason(unplaced(v, n.Expected != nil), first.set)
		}
		out = append(out, n)
	}
	return out
}

// unplaced is a verdict without its place in the line; without what was asked
// for, too, unless that is known.
func unplaced(v match.Verdict, known bool) match.Verdict {
	asked := theory.Item{Choices: v.Item.Choices, Chord: v.Item.Chord}
	if v.Item, v.Cause = (theory.Item{}), match.NoCause; known {
		v.Item = asked
	}
	return v
}

// sameAs finds the verdict of s that says the same as v of the same moment: the
// same word on the same note, the same asked for. A note that is foreign to the
// key is that whatever was asked for.
func (s *Session) sameAs(v match.Verdict) (match.Verdict, bool) {
	for _, w := range s.verdicts {
		switch {
		case w.Pitch != v.Pitch, (w.Heard == nil) != (v.Heard == nil):
		case v.Heard != nil && (w.Heard.Onset != v.Heard.Onset || w.Heard.MIDI != v.Heard.MIDI):
		case v.Heard == nil && math.Abs(float64(w.Time-v.Time)) > sameFirst*float64(s.rate):
		case w.ExpectedMIDI == v.ExpectedMIDI || v.Pitch == match.OutOfScale:
			return w, true
		}
	}
	return match.Verdict{}, false
}

// sameScore is the score that all sessions give alike, nil where they differ.
// Offsets are told where they are the same.
func sameScore(by []*Session) *match.Score {
	first := by[0].Score()
	for _, s := range by[1:] {
		other := s.Score()
		a, b := first, other
		a.Accuracy, a.AccuracyOnTime, b.Accuracy, b.AccuracyOnTime = nil, nil, nil, nil // which follow from the rest
		a.Timed, a.OffsetMean, a.OffsetSD, b.Timed, b.OffsetMean, b.OffsetSD = 0, 0, 0, 0, 0, 0
		if a != b || first.Judged == 0 {
			return nil
		}
		if math.Abs(first.OffsetMean-other.OffsetMean) >= 0.1 || math.Abs(first.OffsetSD-other.OffsetSD) >= 0.1 {
			first.Timed, first.OffsetMean, first.OffsetSD = 0, 0, 0
		}
	}
	return &first
}
