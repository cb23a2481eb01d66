package main

import "math"

// figure is one of the numbers that are reported.
type figure struct {
	name  string
	short string // heading of its column, "" where it has none
	unit  string
	value func(*figures) float64
	of    func(*figures) int // how many cases it stands on
	up    bool               // more is better
	// The goals, over all conditions and in the worst one; NaN where none is
	// set.
	goal, worst float64
}

// enough is how many cases a condition must offer to be called the worst.
const enough = 30

var none = math.NaN()

// table of the figures, in the order of reports.
var table = []figure{
	percentage("accuracy", "acc", func(f *figures) share { return f.accuracy }, true, 99, 97),
	percentage("coverage", "cov", func(f *figures) share { return f.coverage }, true, 98.5, 95),
	percentage("identity", "ident", func(f *figures) share { return f.identity }, true, 99.5, 98),
	percentage("accused", "accus", func(f *figures) share { return f.accused }, false, 0.3, 1),
	percentage("let off", "let off", func(f *figures) share { return f.letOff }, false, 0.5, 2),
	percentage("timing accused", "t acc", func(f *figures) share { return f.timingAccused }, false, 0.5, 2),
	percentage("timing missed", "t miss", func(f *figures) share { return f.timingMissed }, false, 2, 5),
	{"extras per turn", "extra", "", (*figures).extrasPerTurn, func(f *figures) int { return f.turns }, false, 0.05, 0.2},
	milliseconds("onset error, median", "on 50", func(f *figures) []float64 { return f.onset }, 0.5, none, none),
	milliseconds("onset error, 95th percentile", "on 95", func(f *figures) []float64 { return f.onset }, 0.95, 12, 25),
	milliseconds("delay, median", "del 50", func(f *figures) []float64 { return f.delay }, 0.5, 100, none),
	milliseconds("delay, 95th percentile", "del 95", func(f *figures) []float64 { return f.delay }, 0.95, 160, none),
	milliseconds("first answer, median", "", func(f *figures) []float64 { return f.first }, 0.5, 60, none),
	percentage("another note shown first", "", func(f *figures) share { return f.taken }, false, none, none),
	percentage("played turns called strummed", "", func(f *figures) share { return f.playedStrummed }, false, 0.1, none),
	percentage("strummed turns not called so", "", func(f *figures) share { return f.strummedPlayed }, false, none, none),
	percentage("planted extras told", "", func(f *figures) share { return f.extrasHeard }, true, none, none),
	percentage("tuning told within 3 cents", "", func(f *figures) share { return f.tuned }, true, none, none),
}

func percentage(name, short string, of func(*figures) share, up bool, goal, worst float64) figure {
	return figure{name, short, "%", func(f *figures) float64 { return of(f).percent() }, func(f *figures) int { return of(f).Of }, up, goal, worst}
}

func milliseconds(name, short string, of func(*figures) []float64, q, goal, worst float64) figure {
	return figure{name, short, "ms", func(f *figures) float64 { return quantile(of(f), q) }, func(f *figures) int { return len(of(f)) }, false, goal, worst}
}

// meets reports whether v meets a goal; what is not measured, or has no goal,
// does.
func (g *figure) meets(v, goal float64) bool {
	switch {
	case math.IsNaN(v) || math.IsNaN(goal):
		return true
	case g.up:
		return v >= goal
	}
	return v <= goal
}

// worstOf is the group in which the figure is worst, "" where none offers
// enough cases.
func (g *figure) worstOf(names []string, sums map[string]*figures) (name string, v float64) {
	v = math.NaN()
	for _, n := range names {
		if g.of(sums[n]) < enough {
			continue
		}
		x := g.value(sums[n])
		if math.IsNaN(v) || g.up && x < v || !g.up && x > v {
			name, v = n, x
		}
	}
	return name, v
}
