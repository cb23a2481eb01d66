package tonality

import (
	"math"
	"slices"

	"bordon/dsp"
	"bordon/listen/grid"
	"bordon/theory"
)

// The keys that are likeliest without beats are weighed again by how well beats
// are found in them: so many of them, and none that is less likely by so much
// than the first.
const (
	mostTried = 4
	behind    = 7   // as a logarithm
	foundGood = 0.2 // weight of the alignment's logarithm: it is of the same notes and chords
)

// NameFree is Name for a recording whose beats are not known but for what o
// tells of them. The beats are looked for in each of the likeliest keys, with
// the form's usual line; those in which the form is found gain by how much
// likelier it makes what was heard.
func NameFree(h Heard, form theory.Form, o grid.Options) []Reading {
	all, score := h.scores(form, nil, 0)
	if len(all) == 0 {
		return nil
	}
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case score[a] > score[b]:
			return -1
		case score[a] < score[b]:
			return 1
		}
		return 0
	})
	if least := score[order[0]] - behind; score[order[1]] >= least {
		e := h.evidence()
		for _, i := range order[:mostTried] {
			if score[i] >= least {
				score[i] += foundGood * found(e, all[i].Key, form, o)
			}
		}
	}
	return likeliest(all, score)
}

// found is how much likelier a form played in a key makes what was heard, as a
// logarithm; 0 where it is not found.
func found(e *grid.Evidence, sounding theory.Key, form theory.Form, o grid.Options) float64 {
	f := theory.Fingerings(sounding, form.Name)[0]
	line, err := theory.DefaultLine(f.Key, form, theory.Standard)
	if err != nil { // the form has no usual line in this key
		return 0
	}
	plan, err := grid.NewPlan(line, f.Cejilla)
	if err != nil {
		return 0
	}
	a, err := grid.Align(e, plan, o)
	if err != nil { // such as a tempo of nothing, which is told where it is used
		return 0
	}
	sum := 0.0
	for i := range a.Segments {
		sum += math.Max(0, a.Segments[i].Score)
	}
	return sum
}

// evidence is what was heard, for beats to be looked for.
func (h *Heard) evidence() *grid.Evidence {
	e := &grid.Evidence{Rate: h.Rate, Length: min(h.End, int64(minutes)*60*int64(h.Rate)), Notes: h.Notes}
	for i := range h.Frames {
		c := grid.Chroma{At: h.Frames[i].At}
		for k, v := range h.Frames[i].Fold(dsp.LowestPitch, dsp.HighestPitch) {
			c.Classes[k] = float32(v)
		}
		e.Chroma = append(e.Chroma, c)
	}
	return e
}
