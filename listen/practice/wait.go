package practice

import (
	"math/rand/v2"
	"slices"

	"bordon/listen/match"
)

// Step is what follows on a note that was waited for.
type Step int

// The steps.
const (
	Stay Step = iota // it is still waited for
	GoOn             // it was right
	Pass             // the ear could not tell, twice: nobody is trapped by it
)

// Wait is a place at which one note is waited for.
type Wait struct{ unsure int }

// doubts is how often the ear may not tell in one place before it lets pass.
const doubts = 2

// Hear decides on a word about what was played. An octave is doubted: the ear
// may have taken one for the other.
func (w *Wait) Hear(word match.Word) Step {
	switch word {
	case match.Right:
		return GoOn
	case match.Unsure, match.Octave:
		if w.unsure++; w.unsure >= doubts {
			return Pass
		}
	}
	return Stay
}

// Holds reports whether a verdict stops the page at the end of its stretch.
func (h Hold) Holds(v match.Verdict) bool {
	switch {
	case h == NoHold:
		return false
	case v.Pitch == match.InScale, v.Pitch == match.OutOfScale:
		return true
	}
	return h == HoldTiming && (v.Timing == match.Early || v.Timing == match.Late)
}

// Outcome is how a stretch went, as a sound tells it.
type Outcome int

// The outcomes, the worse later.
const (
	NotJudged Outcome = iota
	Clean
	Late  // all notes right, one or more out of time
	Wrong // one or more wrong or missing
)

// OutcomeOf is how the verdicts of a stretch, final ones, went together.
func OutcomeOf(verdicts []match.Verdict) Outcome {
	o := NotJudged
	for _, v := range verdicts {
		is := Clean
		switch v.Pitch {
		case match.Unsure, match.Strummed:
			continue
		case match.Missing, match.InScale, match.OutOfScale:
			is = Wrong
		default:
			if v.Timing == match.Early || v.Timing == match.Late {
				is = Late
			}
		}
		o = max(o, is)
	}
	return o
}

// Arrange puts keys in an order. weakness tells how weak a key is, more for
// weaker, 0 where nothing is known; it may be nil. Chance comes from seed.
func Arrange(keys []string, order Order, weakness func(key string) float64, seed uint64) []string {
	keys = slices.Clone(keys)
	switch {
	case order == ByChance:
		rng := rand.New(rand.NewPCG(seed, 0))
		rng.Shuffle(len(keys), func(i, j int) { keys[i], keys[j] = keys[j], keys[i] })
	case order == WeakFirst && weakness != nil:
		slices.SortStableFunc(keys, func(a, b string) int {
			switch x, y := weakness(a), weakness(b); {
			case x > y:
				return -1
			case x < y:
				return 1
			}
			return 0
		})
	}
	return keys
}
