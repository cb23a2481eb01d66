package main

import (
	"fmt"
	"math"

	"bordon/dsp"
	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"
	"bordon/theory"
)

// ear is what is being measured.
type ear struct {
	weights *dsp.Weights // nil for the built-in ones
	without dsp.Part
	blind   bool // the line makes no note likelier
}

// settings are what `check` would be told of a take.
func settings(t fixtures.Take, e ear) (listen.Settings, error) {
	var set listen.Settings
	key, err := theory.ParseKey(t.Key)
	if err != nil {
		return set, err
	}
	form, err := theory.LookupForm(t.Form)
	if err != nil {
		return set, err
	}
	tuning := theory.Standard
	if t.DropD {
		tuning[5] -= 2
	}
	line, err := theory.ParseLine(t.Line, key, form, tuning)
	if err != nil {
		return set, err
	}
	return listen.Settings{Key: key, Form: form, Line: line, LineText: t.Line, Tempo: t.Tempo, FirstBeat: t.FirstBeat,
		Cejilla: t.Cejilla, A4: t.A4, Tolerance: match.Learning, DelayKnown: true, Glance: true,
		Weights: e.weights, Without: e.without, Blind: e.blind}, nil
}

// judged is a take as it was heard.
type judged struct {
	take  fixtures.Take
	check listen.Check
	pairs []pair
	lost  int // expected notes without a verdict
	// tuned tells that the guitar's tuning is known to a cent: a model's, not a
	// recording's.
	tuned bool
}

// pair is a beat's truth and its verdict.
type pair struct {
	truth fixtures.TruthNote
	beat  listen.Beat
	// first is when an answer with the final pitch was first shown, in
	// seconds; NaN where nothing was heard.
	first float64
	// taken tells that another pitch was shown before that.
	taken bool
}

// where a verdict belongs.
type where struct {
	turn int
	beat string
}

// judge hears samples as `check` does.
func judge(t fixtures.Take, x []float32, rate int, e ear) (judged, error) {
	j := judged{take: t}
	set, err := settings(t, e)
	if err != nil {
		return j, fmt.Errorf("judge take %q: %w", t.Name, err)
	}
	s, err := listen.NewSession(set, rate)
	if err != nil {
		return j, fmt.Errorf("judge take %q: %w", t.Name, err)
	}
	shown := map[where]map[int]int64{} // when each pitch was first said, in samples
	keep := func(events []listen.Event) {
		for _, e := range events {
			if v := e.Verdict; (e.Kind == listen.Provisional || e.Kind == listen.Final) && v.Heard != nil {
				w := where{v.Turn, v.Item.Position.String()}
				if shown[w] == nil {
					shown[w] = map[int]int64{}
				}
				if _, ok := shown[w][v.Heard.MIDI]; !ok {
					shown[w][v.Heard.MIDI] = v.Decided
				}
			}
		}
	}
	for len(x) > 0 {
		n := min(len(x), 4096)
		keep(s.Write(x[:n]))
		x = x[n:]
	}
	keep(s.Close())
	j.check = s.Check(t.Name)
	heard := map[where]listen.Beat{}
	for _, b := range j.check.Beats {
		heard[where{b.Turn, b.Beat}] = b
	}
	for _, n := range t.Truth {
		if n.Asked == 0 {
			continue
		}
		w := where{n.Turn, n.Beat}
		b, ok := heard[w]
		if !ok {
			j.lost++
			continue
		}
		p := pair{truth: n, beat: b, first: math.NaN()}
		if b.Heard != nil {
			if at, ok := shown[w][b.Heard.MIDI]; ok {
				p.first = float64(at) / float64(rate)
				for _, other := range shown[w] {
					p.taken = p.taken || other < at
				}
			}
		}
		j.pairs = append(j.pairs, p)
	}
	return j, nil
}

// word is the verdict that a truth deserves.
func word(n fixtures.TruthNote) match.Word {
	switch n.Mistake {
	case fixtures.None, fixtures.Early, fixtures.Late:
		return match.Right
	case fixtures.Strummed:
		return match.Strummed
	}
	return match.Word(n.Mistake)
}
