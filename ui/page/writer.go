package page

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"bordon/listen"
	"bordon/listen/grid"
	"bordon/listen/match"
	"bordon/theory"
	"bordon/ui/words"
)

// Writer writes the page of one session.
type Writer struct {
	words *words.Language
	page  Page
	set   listen.Settings
	grid  grid.Grid
	rate  int
	base  int     // turns that earlier runs of this page have written
	lead  float64 // beats before beat 1 of the first turn at which the count-in begins
}

// NewWriter begins an empty page in a language. rate is in samples a second.
func NewWriter(lang *words.Language, set listen.Settings, rate int) *Writer {
	w := &Writer{
		words: lang,
		set:   set,
		rate:  rate,
		lead:  math.Inf(1),
		grid:  grid.Fixed{Rate: rate, Tempo: set.Tempo, FirstBeat: set.FirstBeat},
	}
	if g, err := set.Grid(rate); err == nil {
		w.grid = g
	}
	w.page.Words = lang
	w.page.Header = Header{
		Key:     lang.Key(set.Key),
		Cejilla: set.Cejilla,
		Form:    lang.Form(set.Form),
		Tempo:   set.Tempo,
		Unit:    set.Form.Unit,
	}
	if set.Cejilla > 0 {
		w.page.Header.Sounds = lang.Note(set.Key.Transpose(set.Cejilla).Tonic)
	}
	if set.Find != nil && set.Followed == nil { // it is being looked for
		w.page.Header.Tempo = 0
	}
	w.page.Columns = columns(set.Line)
	return w
}

// columns are the beats that the line names in any of its turns.
func columns(line theory.Line) []Column {
	var cols []Column
	seen := map[float64]bool{}
	for _, it := range line.Items {
		at := beatOf(it.Position)
		if !seen[at] {
			seen[at] = true
			cols = append(cols, Column{Beat: beatName(it.Position), at: at})
		}
	}
	sort.Slice(cols, func(i, j int) bool { return cols[i].at < cols[j].at })
	return cols
}

// beatOf is the beat of the turn, 1-based, with its fraction.
func beatOf(p theory.Position) float64 {
	if p.Den == 0 {
		return float64(p.Beat)
	}
	return float64(p.Beat) + float64(p.Num)/float64(p.Den)
}

// beatName is the position in its turn, as the contract writes it.
func beatName(p theory.Position) string {
	return theory.Position{Beat: p.Beat, Num: p.Num, Den: p.Den}.String()
}

// Page is the page as written so far. Its slices belong to the Writer and
// change with the next call.
func (w *Writer) Page() Page { return w.page }

// Add writes what an event says.
func (w *Writer) Add(e listen.Event) {
	switch e.Kind {
	case listen.Provisional, listen.Final:
		w.verdict(e.Verdict, e.Kind == listen.Provisional || e.Verdict.Provisional, e.Try)
	case listen.ExtraNote:
		w.extra(e.Extra)
	case listen.NewTempo:
		w.set.Tempos = append(w.set.Tempos[:len(w.set.Tempos):len(w.set.Tempos)], e.Tempo)
		if g, err := w.set.Grid(w.rate); err == nil {
			w.grid = g
		}
	case listen.GapFound:
		w.page.Header.LostMS += float64(e.Gap.Lost) * 1000 / float64(w.rate)
	}
}

func (w *Writer) verdict(v match.Verdict, provisional bool, try int) {
	row := w.row(v.Turn)
	col := w.column(v.Item.Position)
	if row == nil || col < 0 {
		return
	}
	c := &row.Cells[col]
	*c = w.cell(v)
	c.Provisional, c.Tries = provisional, try
	w.page.Latest = &Latest{Turn: row.Turn, Beat: w.page.Columns[col].Beat, Cell: *c}
	row.Strummed = row.strummed()
	if !provisional && IsMistake(v) && w.set.Reason != nil {
		if why := w.words.Reason(v, w.set); why != "" {
			v.Turn += w.base
			w.page.Last = Sentence(w.words, v, why)
		}
	}
}

// IsMistake reports whether a verdict is one that a sentence is said on: a
// note that was not the one asked for, or none.
func IsMistake(v match.Verdict) bool {
	switch v.Pitch {
	case match.Octave, match.InScale, match.OutOfScale, match.Missing:
		return true
	}
	return false
}

// Line tells a verdict in one line, as the page does in a cell:
// "turn 2, beat 8      Bb2      not in key, asked A2, (5) open".
func (w *Writer) Line(v match.Verdict) string {
	c := w.cell(v)
	c.Provisional = v.Provisional
	s := fmt.Sprintf("%-*s %-8s %s", runes(w.words.At(99, "9+1/2")), w.words.At(v.Turn, beatName(v.Item.Position)), c.note(), strings.Join(c.remarks(w.words, true), ", "))
	return strings.TrimRight(s, " ")
}

// Sentence is a reason with the place in the take before it.
func Sentence(l *words.Language, v match.Verdict, why string) string {
	return l.Sentence(v.Turn, beatName(v.Item.Position), why)
}

func (w *Writer) extra(x match.Extra) {
	row := w.row(x.Turn)
	if row == nil {
		return
	}
	beats := float64(w.set.Form.Beats)
	onset := x.Heard.Onset - int64(math.Round(w.set.Delay*float64(w.rate)/1000))
	at := w.grid.Beat(onset) - float64(x.Turn-1)*beats
	after := int(math.Floor(at)) + 1
	if after < 1 { // an upbeat: it came after the last beat of the turn before
		after += w.set.Form.Beats
	}
	row.Extras = append(row.Extras, Extra{Note: w.fingered(x.Heard.MIDI), After: fmt.Sprint(after)})
}

// maxTurns bounds what a page holds: at 300 beats a minute, over six hours.
const maxTurns = 10000

// row is the row of a turn, which it and those before it are begun for.
func (w *Writer) row(turn int) *Row {
	if turn < 1 || turn+w.base > maxTurns {
		return nil
	}
	for len(w.page.Rows) < w.base+turn {
		n := len(w.page.Rows) + 1
		row := Row{Turn: n, Cells: make([]Cell, len(w.page.Columns))}
		for _, it := range w.set.Line.Items {
			if w.asks(it, n-w.base) {
				c := &row.Cells[w.column(it.Position)]
				c.State = Waiting
				c.Asked, c.Place = w.asked(it)
			}
		}
		w.page.Rows = append(w.page.Rows, row)
	}
	return &w.page.Rows[w.base+turn-1]
}

// asks reports whether the item is asked for in this turn of the take.
func (w *Writer) asks(it theory.Item, turn int) bool {
	turns := max(w.set.Line.Turns, 1)
	return max(it.Position.Turn, 1) == (turn-1)%turns+1
}

func (w *Writer) column(p theory.Position) int {
	at := beatOf(p)
	for i, c := range w.page.Columns {
		if c.at == at {
			return i
		}
	}
	return -1
}

// CountFrom tells how many beats before beat 1 of the first turn the count-in
// begins. Without it, all there is before beat 1 is counted.
func (w *Writer) CountFrom(beats float64) { w.lead = beats }

// Hear tells how many samples of the stream have passed: what comes next
// moves on with it.
func (w *Writer) Hear(samples int64) {
	now := samples - int64(math.Round(w.set.Delay*float64(w.rate)/1000))
	beat := w.grid.Beat(now)
	w.page.CountIn = 0
	if beat < 0 {
		w.page.CountIn = int(math.Ceil(-beat))
	}
	w.page.Lead = -beat > w.lead
	beats := max(w.set.Form.Beats, 1)
	w.page.Beat = 0
	if !w.page.Lead && beat > -maxTurns*float64(beats) {
		w.page.Beat = (int(math.Floor(beat))%beats+beats)%beats + 1
	}
	w.nothingComes()
	turn := int(max(beat, 0))/beats + 1
	for n := turn; n <= turn+max(w.set.Line.Turns, 1); n++ {
		if w.set.Turns > 0 && n > w.set.Turns {
			return
		}
		for _, it := range w.set.Line.Items {
			if !w.asks(it, n) {
				continue
			}
			at := float64((n-1)*beats) + beatOf(it.Position) - 1
			if w.grid.Sample(at) < now {
				continue
			}
			w.next(n, turn, it)
			return
		}
	}
}

func (w *Writer) next(n, turn int, it theory.Item) {
	asked, place := w.asked(it)
	w.page.Next = &Next{Beat: beatName(it.Position), Note: asked, Place: place}
	if n > turn { // the row of a turn is begun when its first beat has come
		w.row(turn)
		return
	}
	if row := w.row(n); row != nil {
		if c := &row.Cells[w.column(it.Position)]; c.State == Waiting {
			c.State = Coming
		}
	}
}

// Meter tells how loud the sound comes in.
func (w *Writer) Meter(level Level) { w.page.Header.Level = level }

// Tune tells the guitar's offset from concert pitch in cents.
func (w *Writer) Tune(cents float64) {
	w.page.Header.Cents, w.page.Header.CentsKnown = cents, true
}

// TwoWays tells of a take that may be counted in two ways, so that it has no
// turns; nil changes nothing.
func (w *Writer) TwoWays(t *listen.TwoWays) {
	if t != nil {
		w.page.NoTurns = w.words.TwoWays(t)
	}
}

// Close ends the page: nothing comes next, and the last rows, begun and
// never played, are taken away. summary is what is said at the end.
func (w *Writer) Close(summary []string) {
	w.page.CountIn, w.page.Lead, w.page.Beat = 0, false, 0
	w.nothingComes()
	for n := len(w.page.Rows); n > 0 && unplayed(w.page.Rows[n-1]); n-- {
		w.page.Rows = w.page.Rows[:n-1]
	}
	w.page.Summary = summary
}

func unplayed(r Row) bool {
	for _, c := range r.Cells {
		if c.State == Written {
			return false
		}
	}
	return len(r.Extras) == 0
}
