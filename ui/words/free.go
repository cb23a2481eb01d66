package words

import (
	"math"
	"strconv"

	"bordon/listen"
	"bordon/listen/grid"
	"bordon/listen/match"
	"bordon/theory"
)

// following are the sentences on a compás that was found in the sound.
type following struct {
	found     string  // {s}, {slow}, {fast}, {percent}
	stretches counted // {n}
	doubted   counted // {n}
	otherKey  string  // {key}, {given}
	twoWays   string  // {a}, {b}, {c}, {d}: seconds and tempos
	alike     string  // {list}
	right     counted // {n}; in that list
	at        string  // {s}, {why}
	steady    string  // {percent}
	faster    string  // {percent}
	slower    string  // {percent}
	kept      string
	rushes    string // {percent}
	drags     string // {percent}
	even      string

	seeking  string
	placed   string // {turn}, {beat}, {bpm}
	lost     string
	now      string // {turn}, {beat}
	ownPulse string
}

// foundCompas says where beat 1 was found, in seconds, between which tempos
// nine beats in ten lie, and how sure that is, 0 to 1.
func (l *Language) foundCompas(first, slowest, fastest, confidence float64) string {
	// Nothing that was measured is certain.
	percent := min(int(math.Floor(100*confidence)), 99)
	return fill(l.following.found, "s", l.number(first, 'f', 2), "slow", l.number(slowest, 'f', 0),
		"fast", l.number(fastest, 'f', 0), "percent", strconv.Itoa(percent))
}

// Found are the sentences on a compás that was found in the sound; none for nil.
func (l *Language) Found(g *listen.Found) []string {
	if g == nil || len(g.Segments) == 0 {
		return nil
	}
	said := []string{l.foundCompas(g.Segments[0].FirstBeat, g.Slowest, g.Fastest, g.Confidence)}
	if n := len(g.Segments); n > 1 {
		said = append(said, l.following.stretches.of(n))
	}
	doubted := 0
	for _, seg := range g.Segments {
		if seg.Confidence < grid.Sure {
			doubted++
		}
	}
	if doubted > 0 {
		said = append(said, l.following.doubted.of(doubted))
	}
	if st := g.Steadiness; st != nil {
		said = append(said, l.Steadiness(st.Spread, st.Drift, st.Walk))
	}
	return said
}

// OtherKey says that a take sounds like another key than the one given, both as
// they are written; "" for nil.
func (l *Language) OtherKey(other *listen.OtherKey, given string) string {
	if other == nil {
		return ""
	}
	name := func(written string) string {
		if k, err := theory.ParseKey(written); err == nil {
			return l.Key(k)
		}
		return written
	}
	return fill(l.following.otherKey, "key", name(other.Key), "given", name(given))
}

// TwoWays says that a take may be counted in two ways, and what is alike in both.
func (l *Language) TwoWays(t *listen.TwoWays) []string {
	var said []string
	if len(t.Readings) > 1 {
		a, b := t.Readings[0], t.Readings[1]
		said = append(said, fill(l.following.twoWays, "a", l.number(a.FirstBeat, 'f', 2), "b", l.number(a.Tempo, 'f', 0),
			"c", l.number(b.FirstBeat, 'f', 2), "d", l.number(b.Tempo, 'f', 0)))
	}
	s := t.Score()
	parts := []string{}
	if s.Right > 0 {
		parts = append(parts, l.following.right.of(s.Right))
	}
	return append(said, fill(l.following.alike, "list", l.among(append(parts, l.faults(s)...))))
}

// TwoWaysReasons are the sentences on the mistakes that are alike in both, each
// with its second.
func (l *Language) TwoWaysReasons(t *listen.TwoWays, set listen.Settings, rate int) []string {
	var said []string
	for i := range t.Notes {
		n := &t.Notes[i]
		why := n.Reason
		if l.Tag != English.Tag || why == "" {
			why = l.Reason(n.Verdict(set, rate), set)
		}
		if n.Pitch != match.Right && why != "" {
			said = append(said, fill(l.following.at, "s", l.number(n.Time, 'f', 2), "why", why))
		}
	}
	return said
}

// Seeking asks for playing, in which the compás is being looked for; PlaceLost
// says that the place in it is lost, OwnPulse what the player is judged by.
func (l *Language) Seeking() string   { return l.following.seeking }
func (l *Language) PlaceLost() string { return l.following.lost }
func (l *Language) OwnPulse() string  { return l.following.ownPulse }

// PlaceFound says where in the compás the player is and how fast, PlaceNow
// where alone.
func (l *Language) PlaceFound(turn, beat int, tempo float64) string {
	return fill(l.following.placed, "turn", strconv.Itoa(turn), "beat", strconv.Itoa(beat), "bpm", l.number(tempo, 'f', 0))
}

func (l *Language) PlaceNow(turn, beat int) string {
	return fill(l.following.now, "turn", strconv.Itoa(turn), "beat", strconv.Itoa(beat))
}

// A drift or a rush under this share is none: the smoothing itself errs as much
// on takes of constant tempo.
const evenShare = 0.015

// Steadiness tells how even a pulse was, in shares: the spread of the beats'
// lengths, the drift from the first turn to the last, and how much faster the
// walk went; nil where that cannot be told.
func (l *Language) Steadiness(spread, drift float64, walk *float64) string {
	share := func(x float64) string { return l.number(100*math.Abs(x), 'f', 1) }
	pick := func(x float64, more, less, same string) string {
		switch {
		case x > evenShare:
			return fill(more, "percent", share(x))
		case x < -evenShare:
			return fill(less, "percent", share(x))
		}
		return same
	}
	said := fill(l.following.steady, "percent", share(spread)) + " " + pick(drift, l.following.faster, l.following.slower, l.following.kept)
	if walk != nil {
		said += " " + pick(*walk, l.following.rushes, l.following.drags, l.following.even)
	}
	return said
}
