package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"bordon/listen"
	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/theory"
)

// takes are the words on takes that are looked back at.
type takes struct {
	repaired  string // {take}, {seconds}
	stopped   string // {why}
	ruled     string // {word}
	right     string
	uncertain string

	list                 [7]string // the heads of the columns of a list
	none, noneChosen     string
	note                 string  // {note}
	ruling               string  // {place}, {word}, {ear}
	rulingWhy            string  // {ruling}, {why}
	newer                string  // {place}, {now}, {then}
	newerNone            string  // in place of a verdict
	same                 string  // {take}
	differ               counted // {n}
	askDelete            counted // {n}
	deleted              string  // {take}
	cases                counted // {n}
	compared             [5]string
	of                   string  // {right}, {of}
	ms                   string  // {mean}, {sd}
	spot                 string  // {beat}, {key}
	inForm               string  // {spot}, {form}, {line}
	weak, safe, about    string  // {right}, {of}, {percent}, {low}, {high}
	openTakes, openNotes counted // {right}, {of}, {low}, {high}; of takes or notes
	better, worse        string
	mostly               string // {fault}
	faults               [7]string
	weakest, plan, spots string
	noWeak               string
	tempos               string  // {tempos}, {turns}
	held, slower         string  // {tempo}, {usual}
	progress             counted // {first}, {last}; of takes
	wilson               string
}

// Repaired tells of a take whose recording was cut short: its name, and how
// many seconds of sound there are.
func (l *Language) Repaired(take string, seconds float64) string {
	return fill(l.takes.repaired, "take", take, "seconds", l.number(seconds, 'f', 1))
}

// RecordingStopped tells that nothing more is recorded, and why.
func (l *Language) RecordingStopped(why string) string {
	return fill(l.takes.stopped, "why", why)
}

// Pitch says a pitch word of a verdict that the player gives.
func (l *Language) Pitch(w match.Word) string {
	switch w {
	case match.Right:
		return l.takes.right
	case match.Octave:
		return l.takes.faults[0]
	case match.Unsure:
		return l.takes.uncertain
	}
	return l.Label(match.Verdict{Pitch: w})
}

// Ruled says what the player says of a note, against the ear.
func (l *Language) Ruled(w match.Word) string { return fill(l.takes.ruled, "word", l.Pitch(w)) }

// Ruling tells of a verdict that the player overruled.
func (l *Language) Ruling(r take.Ruling) string {
	said := fill(l.takes.ruling, "place", l.At(r.Turn, take.BeatOf(r.Beat)), "word", l.Pitch(r.Pitch), "ear", l.Pitch(r.Ear))
	if r.Why != "" {
		return fill(l.takes.rulingWhy, "ruling", said, "why", r.Why)
	}
	return said
}

// Newer tells of a verdict that a newer ear gives otherwise; either may be nil.
func (l *Language) Newer(then, now *listen.Beat) string {
	b := then
	if b == nil {
		b = now
	}
	return fill(l.takes.newer, "place", l.At(b.Turn, take.BeatOf(b.Beat)), "now", l.verdict(now), "then", l.verdict(then))
}

func (l *Language) verdict(b *listen.Beat) string {
	if b == nil {
		return l.takes.newerNone
	}
	s := l.Pitch(b.Pitch)
	if b.Heard != nil {
		s = l.Read(b.Heard.Name) + ", " + s
	}
	if b.Offset != nil {
		s += l.Sprintf(", %+.1f ms", *b.Offset)
	}
	return s
}

// TakeHeads are the heads of a list of takes: take, key, form, line, tempo,
// turns, score.
func (l *Language) TakeHeads() []string { return append([]string(nil), l.takes.list[:]...) }

// NoTakes, NoTakesChosen and the like say what there is to say of takes.
func (l *Language) NoTakes() string                { return l.takes.none }
func (l *Language) NoTakesChosen() string          { return l.takes.noneChosen }
func (l *Language) PlayersNote(note string) string { return fill(l.takes.note, "note", note) }
func (l *Language) SameAgain(take string) string   { return fill(l.takes.same, "take", take) }
func (l *Language) DifferAgain(n int) string       { return l.takes.differ.of(n) }
func (l *Language) AskDelete(n int) string         { return l.takes.askDelete.of(n) }
func (l *Language) Deleted(take string) string     { return fill(l.takes.deleted, "take", take) }
func (l *Language) CasesWritten(n int) string      { return l.takes.cases.of(n) }

// CompareHeads are the words of a comparison: beat, right, on the whole, the
// offset, the score.
func (l *Language) CompareHeads() []string { return append([]string(nil), l.takes.compared[:]...) }

// RightOf says how many of how many; Offset a mean and its spread in ms.
func (l *Language) RightOf(right, of int) string {
	return fill(l.takes.of, "right", strconv.Itoa(right), "of", strconv.Itoa(of))
}

// OffsetOf tells a mean offset and its spread in ms; "" where none is known.
func (l *Language) OffsetOf(s listen.Score) string {
	if s.OffsetMean == nil || s.OffsetSD == nil {
		return ""
	}
	return fill(l.takes.ms, "mean", fmt.Sprintf("%+.0f", *s.OffsetMean), "sd", fmt.Sprintf("%.0f", *s.OffsetSD))
}

// SpotName names a beat in a key: "beat 8 in G, cejilla 3".
func (l *Language) SpotName(s take.Spot) string {
	return fill(l.takes.spot, "beat", s.Beat, "key", l.KeyAt(s.Key, s.Cejilla))
}

// KeyAt is a key as it is typed, with its cejilla: "G +3". Where notes are not
// named by letters it is the key's name.
func (l *Language) KeyAt(key string, cejilla int) string {
	if k, err := theory.ParseKey(key); err == nil && l.letters != asLetters {
		key = l.Key(k)
	}
	if cejilla > 0 {
		key += fmt.Sprintf(" +%d", cejilla)
	}
	return key
}

// SpotLine names the form and the line of a spot with it.
func (l *Language) SpotLine(s take.Spot) string {
	return fill(l.takes.inForm, "spot", l.SpotName(s), "form", s.Form, "line", s.Line)
}

// SpotState says what can be said of a spot, and what not yet.
func (l *Language) SpotState(s take.Spot) string {
	t := &l.takes
	percent := func(x float64) string { return strconv.Itoa(int(math.Round(100 * x))) }
	message := t.about
	switch {
	case s.State == take.Weak:
		message = t.weak
	case s.State == take.Safe:
		message = t.safe
	case s.Takes > 0 && s.Of > 0:
		message = t.openTakes.of(s.Takes)
	case s.Needed > 0:
		message = t.openNotes.of(s.Needed)
	}
	share := 0.0
	if s.Of > 0 {
		share = float64(s.Right) / float64(s.Of)
	}
	said := fill(message, "right", strconv.Itoa(s.Right), "of", strconv.Itoa(s.Of), "percent", percent(share),
		"low", percent(s.Low), "high", percent(s.High))
	if f := l.fault(s.Recent); f != "" && s.State == take.Weak {
		said += fill(t.mostly, "fault", f)
	}
	switch s.Trend {
	case "better":
		said += t.better
	case "worse":
		said += t.worse
	}
	return said
}

// fault names the most frequent fault; "" where there is none.
func (l *Language) fault(c take.Count) string {
	most, name := 0, ""
	for i, n := range []int{c.Octave, c.InScale, c.OutOfScale, c.Missing, c.Early, c.Late} {
		if n > most {
			most, name = n, l.takes.faults[i]
		}
	}
	return name
}

// ExerciseSteps says what to play: the tempos, and how often.
func (l *Language) ExerciseSteps(e take.Exercise) string {
	var tempos []string
	for _, t := range e.Tempos {
		tempos = append(tempos, l.number(t, 'g', 4))
	}
	return fill(l.takes.tempos, "tempos", strings.Join(tempos, ", "), "turns", strconv.Itoa(e.Turns))
}

// ExerciseReason says why these tempos.
func (l *Language) ExerciseReason(e take.Exercise) string {
	message := l.takes.slower
	if e.Held {
		message = l.takes.held
	}
	return fill(message, "tempo", l.number(e.Tempos[0], 'g', 4), "usual", l.number(e.Usual, 'g', 4))
}

// ProgressOver says over how many takes, from when to when.
func (l *Language) ProgressOver(p take.Progress) string {
	return fill(l.takes.progress.of(p.Takes), "first", day(p.First), "last", day(p.Last))
}

func day(rfc3339 string) string { return rfc3339[:min(len(rfc3339), 10)] }

// The heads over the parts of a progress, and what is said of its method.
func (l *Language) WeakestHead() string { return l.takes.weakest }
func (l *Language) PlanHead() string    { return l.takes.plan }
func (l *Language) SpotsHead() string   { return l.takes.spots }
func (l *Language) NoWeakSpot() string  { return l.takes.noWeak }
func (l *Language) WilsonSays() string  { return l.takes.wilson }
