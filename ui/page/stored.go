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
	w.TwoWays(s.Take.Check.Undecided)
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

// Reasons are the sentences on the mistakes of a take that the player did not
// overrule. The take has them in English, as JSON does.
func Reasons(lang *words.Language, s *kept.Stored) ([]string, error) {
	set, err := s.Settings(nil)
	if err != nil {
		return nil, err
	}
	if t := s.Take.Check.Undecided; t != nil {
		return lang.TwoWaysReasons(t, set, s.Take.Settings.Rate), nil
	}
	verdicts, _, err := s.Verdicts(set)
	if err != nil {
		return nil, err
	}
	why := map[string]string{}
	for _, v := range verdicts {
		why[lang.At(v.Turn, v.Item.Position.String())] = lang.Reason(v, set)
	}
	var said []string
	for _, b := range s.Take.Check.Beats {
		if b.Reason == "" || s.Ruling(b.Turn, b.Beat) != nil || !IsMistake(match.Verdict{Pitch: b.Pitch}) {
			continue
		}
		reason := b.Reason
		if own := why[lang.At(b.Turn, b.Beat)]; lang.Tag != words.English.Tag && own != "" {
			reason = own
		}
		said = append(said, lang.Sentence(b.Turn, kept.BeatOf(b.Beat), reason))
	}
	return said, nil
}

// Summary is what is said at the end of a take, the player's word counted in.
func Summary(lang *words.Language, s *kept.Stored) []string {
	c := &s.Take.Check
	said := lang.Found(c.Grid)
	if other := lang.OtherKey(c.OtherKey, c.Key); other != "" {
		said = append(said, other)
	}
	score := s.Score()
	if c.Undecided != nil && score.Judged == 0 { // of which the page tells
		return said
	}
	return append(said, lang.Summary(score.Match())...)
}

// Rule writes the player's word on a verdict beside the ear's.
func (w *Writer) Rule(v match.Verdict, pitch match.Word) {
	if row := w.row(v.Turn); row != nil {
		w.Overrule(row.Turn-1, w.column(v.Item.Position), pitch)
	}
}

// Overrule writes the player's word on the cell in a row and a column, both
// from 0, beside the ear's; "" takes it back.
func (w *Writer) Overrule(row, col int, pitch match.Word) {
	if row < 0 || row >= len(w.page.Rows) || col < 0 || col >= len(w.page.Columns) {
		return
	}
	r := &w.page.Rows[row]
	r.Cells[col].Ruled = ""
	if pitch != "" {
		r.Cells[col].Ruled = w.words.Ruled(pitch)
	}
	r.Strummed = r.strummed()
}

// strummed reports whether the turn had no thumb line, and nobody says
// otherwise.
func (r *Row) strummed() bool {
	for _, c := range r.Cells {
		if c.State != Blank && (c.Word != match.Strummed || c.Ruled != "") {
			return false
		}
	}
	return true
}

// Begun is how many rows earlier runs of the page have written.
func (w *Writer) Begun() int { return w.base }
