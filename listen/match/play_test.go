package match

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"bordon/dsp"
	"bordon/listen/grid"
	"bordon/theory"

	"github.com/stretchr/testify/require"
)

// A hand-made ear: played notes become the looks that an ear would give.

const (
	rate     = 48000
	earDelay = 150 * rate / 1000 // of the hand-made ear: its last look ends 140 ms after the onset
)

func ms(x float64) int64 { return int64(x * rate / 1000) }

// played is one thing that sounds.
type played struct {
	at    int64 // onset, sample
	midi  int   // sounding
	began float64
	share float64 // likelihood of midi; the rest is spread over the other pitches
	other int     // takes the rest of the likelihood instead, where not 0
	strum float64
	bass  []int // MIDI pitches present under a strum
	faint int   // one that is there, but hard to see
	cents float64

	presence map[int]float64 // of MIDI pitches
	late     bool            // the first look is not the last, and share comes with the last
	first    float64

	atLast bool // there is no first look

	second *played // what the last look makes of it, where that is something else
}

// note is a bass note that a good ear is sure of.
func note(at int64, midi int) played { return played{at: at, midi: midi, began: 0.98, share: 0.97} }

func strum(at int64, bass ...int) played {
	return played{at: at, midi: 50, began: 0.2, share: 0.3, strum: 0.95, bass: bass}
}

func (p played) look(id int64, share float64, after int64, last bool) dsp.Note {
	n := dsp.Note{ID: id, Onset: p.at, Decided: p.at + after, Last: last, Began: p.began, Strum: p.strum, Level: -20}
	for i := range n.Likelihood {
		n.Likelihood[i] = (1 - share) / (dsp.Pitches - 1)
		if p.other != 0 {
			n.Likelihood[i] = 0
		}
		n.Cents[i] = p.cents - 2
	}
	if p.other != 0 {
		n.Likelihood[p.other-dsp.LowestMIDI] = 1 - share
	}
	n.Likelihood[p.midi-dsp.LowestMIDI] = share
	for _, b := range p.bass {
		n.Presence[b-dsp.LowestMIDI] = 0.9
	}
	for midi, present := range p.presence {
		n.Presence[midi-dsp.LowestMIDI] = present
	}
	if p.faint != 0 {
		n.Presence[p.faint-dsp.LowestMIDI] = 0.35
	}
	return n
}

// looks are what the ear says to all that is played, in order of Decided.
func looks(take []played) []dsp.Note {
	var notes []dsp.Note
	for i, p := range slices.SortedFunc(slices.Values(take), func(a, b played) int { return cmp.Compare(a.at, b.at) }) {
		if p.second != nil {
			last := *p.second
			last.at = p.at
			notes = append(notes, p.look(int64(i), p.share, ms(80), false), last.look(int64(i), last.share, ms(140), true))
			continue
		}
		if p.atLast {
			notes = append(notes, p.look(int64(i), p.share, ms(140), true))
			continue
		}
		if p.late {
			notes = append(notes, p.look(int64(i), p.first, ms(80), false), p.look(int64(i), p.share, ms(140), true))
			continue
		}
		notes = append(notes, p.look(int64(i), p.share, ms(80), true))
	}
	slices.SortStableFunc(notes, func(a, b dsp.Note) int { return cmp.Compare(a.Decided, b.Decided) })
	return notes
}

// result of a take.
type result struct {
	events  []Event // all, their Heard copied
	final   []Verdict
	extras  []Extra
	ended   []int
	cut     []int
	pending int // provisional verdicts
}

// hearTake feeds a take to a new Matcher in chunks of that many samples. A right
// note was heard just before it, so that nothing waits for a guitar.
func hearTake(t testing.TB, cfg Config, take []played, total int64, chunk int64) result {
	t.Helper()
	return hearFrom(t, cfg, take, total, chunk, func(m *Matcher) { m.trustedAt = 0 })
}

// hearAtFirst does the same where nothing was heard before.
func hearAtFirst(t testing.TB, cfg Config, take []played, total int64, chunk int64) result {
	t.Helper()
	return hearFrom(t, cfg, take, total, chunk, func(*Matcher) {})
}

func hearFrom(t testing.TB, cfg Config, take []played, total, chunk int64, before func(*Matcher)) result {
	t.Helper()
	m, err := New(cfg)
	require.NoError(t, err)
	before(m)
	var r result
	keep := func(events []Event) {
		for _, e := range events {
			if e.Verdict.Heard != nil {
				h := *e.Verdict.Heard
				e.Verdict.Heard = &h
			}
			r.events = append(r.events, e)
		}
	}
	notes := looks(take)
	for now := int64(0); now < total; {
		now = min(now+chunk, total)
		for len(notes) > 0 && notes[0].Decided <= now {
			keep(m.Note(&notes[0]))
			notes = notes[1:]
		}
		keep(m.Advance(now))
	}
	for i := range notes { // what the ear says when the stream is flushed
		notes[i].Decided = min(notes[i].Decided, total)
		keep(m.Note(&notes[i]))
	}
	keep(m.End(total))
	for _, e := range r.events {
		switch {
		case e.Kind == Added:
			r.extras = append(r.extras, e.Extra)
		case e.Kind == Ended:
			r.ended = append(r.ended, e.Turn)
		case e.Kind == Cut:
			r.cut = append(r.cut, e.Turn)
			r.final = slices.DeleteFunc(r.final, func(v Verdict) bool { return v.Turn >= e.Turn && v.Turn <= e.LastTurn })
		case e.Verdict.Provisional:
			r.pending++
		default:
			r.final = append(r.final, e.Verdict)
		}
	}
	slices.SortStableFunc(r.final, func(a, b Verdict) int { return cmp.Compare(a.Time, b.Time) })
	return r
}

func (r result) words() []Word {
	words := make([]Word, len(r.final))
	for i, v := range r.final {
		words[i] = v.Pitch
	}
	return words
}

// setting is the scenario: the walk of alegrías in a key, 120 beats a minute,
// beat 1 after one second. A beat is 24000 samples.
func setting(t testing.TB, key, line string) Config {
	t.Helper()
	k, err := theory.ParseKey(key)
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	l, err := theory.ParseLine(line, k, form, theory.Standard)
	require.NoError(t, err)
	g, err := grid.NewFixed(rate, 120, 1)
	require.NoError(t, err)
	return Config{Rate: rate, Line: l, Grid: g, Tolerance: Learning, DelayKnown: true, OnsetError: ms(10), EarDelay: earDelay}
}

const walk = "7:B2 8:A2 9:F#2 10:G2"

// The walk's pitches, as MIDI.
const (
	fs2 = 42
	g2  = 43
	a2  = 45
	bb2 = 46
	b2  = 47
)

// beat is the sample of a beat (1 to 12) of a turn of the scenario.
func beat(turn int, b float64) int64 { return int64((1 + (float64(turn-1)*12+b-1)*0.5) * rate) }

// turnsLength is a stream that holds that many turns.
func turnsLength(turns int) int64 { return beat(turns+1, 1) }

// rightTake plays the walk as written in so many turns.
func rightTake(turns int) []played {
	var take []played
	for turn := 1; turn <= turns; turn++ {
		take = append(take, note(beat(turn, 7), b2), note(beat(turn, 8), a2), note(beat(turn, 9), fs2), note(beat(turn, 10), g2))
	}
	return take
}

// randomTake plays the walk with slips: wrong pitches, uneven time, notes left
// out, doubtful ones.
func randomTake(r *rand.Rand, turns int) []played {
	take := rightTake(turns)
	for i := range take {
		take[i].at += ms(r.Float64()*80 - 40)
		switch r.IntN(6) {
		case 0:
			take[i].midi = 40 + r.IntN(12)
		case 1:
			take[i].late, take[i].first, take[i].share = true, 0.5, 0.6+0.35*r.Float64()
		case 2:
			take[i].share = 0.3 + 0.3*r.Float64()
		}
	}
	return slices.DeleteFunc(take, func(played) bool { return r.IntN(8) == 0 })
}

func gridAt(firstBeat float64) (grid.Fixed, error) { return grid.NewFixed(rate, 120, firstBeat) }
