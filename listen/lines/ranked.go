package lines

import "bordon/theory"

// Ranked is a walk as bordon line writes it for scripts (bordon-line/1). Notes
// are as fingered, frets count from the cejilla.
type Ranked struct {
	Rank    int      `json:"rank"` // 1 is the best
	Beats   []string `json:"beats"`
	Notes   []string `json:"notes"`
	Degrees []string `json:"degrees"`
	Strings []int    `json:"strings"`
	Frets   []int    `json:"frets"`
	Why     string   `json:"why"` // one sentence
}

// Rank writes walks out in their order; why says what speaks for one.
func Rank(walks []theory.Walk, why func(theory.Walk) string) []Ranked {
	ranked := make([]Ranked, len(walks))
	for i, w := range walks {
		r := Ranked{Rank: i + 1, Why: why(w)}
		for _, n := range w.Notes {
			r.Beats = append(r.Beats, n.Position.String())
			r.Notes = append(r.Notes, n.Note.String())
			r.Degrees = append(r.Degrees, n.Degree)
			r.Strings = append(r.Strings, n.Place.String)
			r.Frets = append(r.Frets, n.Place.Fret)
		}
		ranked[i] = r
	}
	return ranked
}
