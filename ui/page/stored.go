package page

import (
	"bordon/listen"
	"bordon/listen/match"
	kept "bordon/listen/take"
	"bordon/ui/words"
)

// OfTake is the page of a take as it lies on disk: its own verdicts, and the
// player's word where that overrules them.
func OfTake(lang *words.Language, s *kept.Stored) (Page, error) {
	set, err := s.Settings(nil)
	if err != nil {
		return Page{}, err
	}
	verdicts, extras, err := s.Verdicts(set)
	if err != nil {
		return Page{}, err
	}
	w := NewWriter(lang, set, s.Take.Settings.Rate)
	for _, g := range s.Take.Gaps {
		w.Add(listen.Event{Kind: listen.GapFound, Gap: listen.Gap{Lost: g.Lost}})
	}
	for _, v := range verdicts {
		w.Add(listen.Event{Kind: listen.Final, Verdict: v})
	}
	for _, x := range extras {
		w.Add(listen.Event{Kind: listen.ExtraNote, Extra: x})
	}
	if cents := s.Take.Check.Tuning; cents != nil {
		w.Tune(*cents)
	}
	w.Close(nil)
	for _, r := range s.Player.Rulings {
		for _, v := range verdicts {
			if v.Turn == r.Turn && v.Item.Position.String() == r.Beat {
				w.Rule(v, r.Pitch)
			}
		}
	}
	return w.Page(), nil
}

// Rule writes the player's word on a verdict beside the ear's.
func (w *Writer) Rule(v match.Verdict, pitch match.Word) {
	row, col := w.row(v.Turn), w.column(v.Item.Position)
	if row != nil && col >= 0 {
		row.Cells[col].Ruled = w.words.Ruled(pitch)
		row.Strummed = false
	}
}
