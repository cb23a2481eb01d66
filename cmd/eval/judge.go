package main

import (
	"fmt"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"
	"bordon/theory"
)

// settings are what `check` would be told of a take.
func settings(t fixtures.Take) (listen.Settings, error) {
	var set listen.Settings
	key, err := theory.ParseKey(t.Key)
	if err != nil {
		return set, err
	}
	form, err := theory.LookupForm(t.Form)
	if err != nil {
		return set, err
	}
	line, err := theory.ParseLine(t.Line, key, form, theory.Standard)
	if err != nil {
		return set, err
	}
	return listen.Settings{Key: key, Form: form, Line: line, LineText: t.Line, Tempo: t.Tempo, FirstBeat: t.FirstBeat,
		Cejilla: t.Cejilla, A4: t.A4, Tolerance: match.Learning, DelayKnown: true}, nil
}

// judged is a take as Bordon heard it.
type judged struct {
	take   fixtures.Take
	rate   int
	check  listen.Check
	lost   int // expected notes that got no verdict
	paired []pair
}

// pair is a beat's truth and its verdict.
type pair struct {
	truth fixtures.TruthNote
	beat  listen.Beat
}

// judge hears samples as `check` does.
func judge(t fixtures.Take, x []float32, rate int) (judged, error) {
	j := judged{take: t, rate: rate}
	set, err := settings(t)
	if err != nil {
		return j, fmt.Errorf("judge take %q: %w", t.Name, err)
	}
	s, err := listen.NewSession(set, rate)
	if err != nil {
		return j, fmt.Errorf("judge take %q: %w", t.Name, err)
	}
	for len(x) > 0 {
		n := min(len(x), 4096)
		s.Write(x[:n])
		x = x[n:]
	}
	s.Close()
	j.check = s.Check(t.Name)
	type place struct {
		turn int
		beat string
	}
	heard := map[place]listen.Beat{}
	for _, b := range j.check.Beats {
		heard[place{b.Turn, b.Beat}] = b
	}
	for _, n := range t.Truth {
		if n.Mistake == fixtures.Extra {
			continue
		}
		if b, ok := heard[place{n.Turn, n.Beat}]; ok {
			j.paired = append(j.paired, pair{n, b})
		} else {
			j.lost++
		}
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
