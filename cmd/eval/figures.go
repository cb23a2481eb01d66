package main

import (
	"math"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"
)

// figures are what the goal is stated in, as counts that can be added up. How
// each is defined stands in the package's comment.
type figures struct {
	takes, turns, lost int

	accuracy, coverage, identity, accused, letOff share
	timingAccused, timingMissed                   share
	extras                                        int
	extrasHeard                                   share // planted ones that were told
	playedStrummed, strummedPlayed                share // turns
	tuned                                         share // takes whose tuning was told within 3 cents

	onset, delay, first []float64 // ms
	taken               share     // another note was shown first
	notes               noteScore
	sure                reliability
	kinds               map[fixtures.Mistake]*kind
	faults              []fault
}

// kind is what became of the notes with one mistake, or none.
type kind struct {
	told   share // the right word, of those but unsure
	right  share // called right
	unsure share
}

// fault is one verdict or extra that should not be.
type fault struct {
	p     pair
	extra *listen.Note
	what  string
}

// onsetError is by how much the session widens tolerances, seconds.
const onsetError = 0.010

// toleranceOf is how far from its beat a note is on time at a tempo, seconds.
func toleranceOf(tempo float64) float64 {
	const rate = 1e6
	return match.Learning.Samples(rate, rate*60/tempo) / rate
}

// besideWithin is how far an extra may lie from a note that was played beside
// the line and still be that note, seconds.
const besideWithin = 0.060

// measure makes the figures of one take.
func measure(j judged) figures {
	f := figures{takes: 1, turns: j.take.Turns, lost: j.lost, kinds: map[fixtures.Mistake]*kind{}}
	strummed, called := map[int]bool{}, map[int]bool{}
	for _, p := range j.pairs {
		f.pair(p, j.take)
		strummed[p.truth.Turn] = p.truth.Mistake == fixtures.Strummed
		called[p.truth.Turn] = called[p.truth.Turn] || p.beat.Pitch == match.Strummed
	}
	for turn, was := range strummed {
		if was {
			f.strummedPlayed.count(!called[turn])
		} else {
			f.playedStrummed.count(called[turn])
		}
	}
	f.beside(j)
	f.notes = scoreNotes(noteLists(j))
	if t := j.check.Tuning; j.tuned {
		// Against the concert pitch that check was told.
		f.tuned.count(t != nil && math.Abs(*t-j.take.TuningCents) <= 3)
	}
	return f
}

func (f *figures) pair(p pair, t fixtures.Take) {
	n, b := p.truth, p.beat
	want, got := word(n), b.Pitch
	f.coverage.count(got != match.Unsure)
	k := f.kind(n.Mistake)
	k.unsure.count(got == match.Unsure)
	k.right.count(got == match.Right)
	if got != match.Unsure {
		f.accuracy.count(got == want)
		k.told.count(got == want)
		if got != want {
			f.faults = append(f.faults, fault{p: p, what: "verdict"})
		}
	}
	if n.MIDI > 0 && !n.Chord {
		same := b.Heard != nil && b.Heard.MIDI == n.MIDI
		f.identity.count(same)
		if same {
			f.onset = append(f.onset, 1000*math.Abs(b.Heard.Time-n.Time))
			f.delay = append(f.delay, 1000*(b.Decided-n.Time))
			if !math.IsNaN(p.first) {
				f.first = append(f.first, 1000*(p.first-n.Time))
				f.taken.count(p.taken)
			}
		}
	}
	if b.Heard != nil && !n.Chord {
		f.sure.count(b.Heard.Confidence, b.Heard.MIDI == n.MIDI)
	}
	switch want {
	case match.Right:
		f.accused.count(got != match.Right && got != match.Unsure)
		f.timing(p, t)
	case match.Strummed:
	default:
		f.letOff.count(got == match.Right)
	}
}

func (f *figures) timing(p pair, t fixtures.Take) {
	if p.beat.Pitch != match.Right || p.beat.Timing == nil {
		return
	}
	tolerance := toleranceOf(t.Tempo)
	onTime := *p.beat.Timing == match.OnTime
	off := math.Abs(p.truth.Time - p.truth.Due)
	wrong := false
	switch {
	case off <= tolerance:
		wrong = !onTime
		f.timingAccused.count(wrong)
	case off >= tolerance+2*onsetError:
		wrong = onTime || (*p.beat.Timing == match.Late) != (p.truth.Time > p.truth.Due)
		f.timingMissed.count(wrong)
	}
	if wrong {
		f.faults = append(f.faults, fault{p: p, what: "timing"})
	}
}

// beside counts the extras that nobody played, and those played that were told.
func (f *figures) beside(j judged) {
	told := make([]bool, len(j.take.Truth))
	for i := range j.check.Extra {
		x := &j.check.Extra[i]
		best, at := besideWithin, -1
		for k, n := range j.take.Truth {
			if d := math.Abs(n.Time - x.Time); n.Asked == 0 && d <= best && !told[k] {
				best, at = d, k
			}
		}
		if at < 0 {
			f.extras++
			f.faults = append(f.faults, fault{extra: x, what: "extra"})
		} else {
			told[at] = true
		}
		f.sure.count(x.Confidence, at >= 0 && j.take.Truth[at].MIDI == x.MIDI)
	}
	for k, n := range j.take.Truth {
		if n.Mistake == fixtures.Extra {
			f.extrasHeard.count(told[k])
		}
	}
}

func (f *figures) kind(m fixtures.Mistake) *kind {
	if f.kinds[m] == nil {
		f.kinds[m] = &kind{}
	}
	return f.kinds[m]
}

// add sums up.
func (f *figures) add(o figures) {
	f.takes += o.takes
	f.turns += o.turns
	f.lost += o.lost
	for _, p := range []struct {
		to   *share
		from share
	}{
		{&f.accuracy, o.accuracy}, {&f.coverage, o.coverage}, {&f.identity, o.identity}, {&f.accused, o.accused}, {&f.letOff, o.letOff},
		{&f.timingAccused, o.timingAccused}, {&f.timingMissed, o.timingMissed}, {&f.extrasHeard, o.extrasHeard},
		{&f.playedStrummed, o.playedStrummed}, {&f.strummedPlayed, o.strummedPlayed}, {&f.tuned, o.tuned},
	} {
		p.to.add(p.from)
	}
	f.extras += o.extras
	f.onset = append(f.onset, o.onset...)
	f.delay = append(f.delay, o.delay...)
	f.first = append(f.first, o.first...)
	f.taken.add(o.taken)
	f.notes.add(o.notes)
	f.sure.add(o.sure)
	if f.kinds == nil {
		f.kinds = map[fixtures.Mistake]*kind{}
	}
	for m, k := range o.kinds {
		to := f.kind(m)
		to.told.add(k.told)
		to.right.add(k.right)
		to.unsure.add(k.unsure)
	}
}

// extrasPerTurn is NaN where no turn was played.
func (f *figures) extrasPerTurn() float64 {
	if f.turns == 0 {
		return math.NaN()
	}
	return float64(f.extras) / float64(f.turns)
}
