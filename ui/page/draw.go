package page

import (
	"slices"
	"strings"

	"bordon/ui/words"
)

// Role says what a piece of text is, for those who can colour it.
type Role int

// The roles.
const (
	Plain   Role = iota
	Heading      // what stands over the page
	Quiet        // a right note
	Wrong        // what was heard, where it was not right
	Doubt        // neither for nor against; and what may still change
	Remark       // the small print beneath a note
	Ahead        // what comes next
	Said         // a sentence
)

// Span is a piece of a line in one role.
type Span struct {
	Text string
	Role Role
}

// Line is one line of the drawing.
type Line []Span

// String is the line without its roles, nothing blank at its end.
func (l Line) String() string {
	var b strings.Builder
	for _, s := range l {
		b.WriteString(s.Text)
	}
	return strings.TrimRight(b.String(), " ")
}

// The measures of the drawing, in character cells.
const (
	leastColumn = 6 // "asked" and a space
	mostColumn  = 26
	leastWidth  = 26 // of a drawing; a narrower one is made as wide
	placeColumn = 20 // from this width on, the place of what was asked is told
	lowHeight   = 12 // below it the heading gets one line
	leastRows   = 4  // lines kept for the beats and a turn
)

// labelWidth is that of what stands before a turn: "  turn 99  ".
func (p *Page) labelWidth() int { return runes("  " + p.language().Turn(99) + "  ") }

// Text draws the whole page as plain text, lines ending in a line feed. Where
// most is above 0 they are at most that many characters wide.
func Text(p Page, most int) string {
	width := p.labelWidth() + max(4*16, 14*len(p.Columns))
	if most > 0 {
		width = min(width, most)
	}
	var b strings.Builder
	for _, l := range Draw(p, width, 0) {
		b.WriteString(l.String())
		b.WriteByte('\n')
	}
	return b.String()
}

// Draw lays the page out in width columns of characters and at most height
// lines; where the turns do not all fit, the older ones are left out. A
// height of 0 has no bound. Where the beats of the line do not fit beside
// each other, each is told on a line of its own.
func Draw(p Page, width, height int) []Line {
	width = max(width, leastWidth)
	top := header(p, width)
	foot := footer(p, width)
	if height > 0 {
		if height < lowHeight {
			top = top[:1]
		}
		// The turn being written comes before what is said of those past.
		for len(foot) > 1 && len(top)+len(foot)+leastRows > height {
			foot = foot[:len(foot)-1]
		}
	}

	col := leastColumn
	if n := len(p.Columns); n > 0 {
		col = min((width-p.labelWidth())/n, mostColumn)
	}
	block := func(i int) []Line { return row(p, i, col, width) }
	switch {
	case len(p.NoTurns) > 0:
		top = append(top, sentences(p.NoTurns, width)...)
	case col < leastColumn:
		block = func(i int) []Line { return listed(p, i, width) }
	default:
		top = append(top, beats(p, col))
	}
	most := -1 // lines of turns; no bound
	if height > 0 {
		most = max(height-len(top)-len(foot), 0)
	}
	body, first := turns(block, len(p.Rows), most)
	if c := p.Chosen; c != nil && c.Row < first { // what is chosen is in sight
		body, _ = turns(block, c.Row+1, most)
	}
	lines := append(append(top, body...), foot...)
	if height > 0 && len(lines) > height {
		lines = lines[:height]
	}
	return lines
}

// turns are the last of n turns that fit into most lines, and which is the
// first of them. What is left out is not drawn either: a long take costs no
// more than a screenful.
func turns(block func(i int) []Line, n, most int) (body []Line, first int) {
	var blocks [][]Line
	used := 0
	for first = n; first > 0; first-- {
		b := block(first - 1)
		if most >= 0 && used+len(b) > most {
			if used == 0 && most > 0 { // one turn that is too high: its top
				return b[:most], first - 1
			}
			break
		}
		used += len(b)
		blocks = append(blocks, b)
	}
	for _, b := range slices.Backward(blocks) {
		body = append(body, b...)
	}
	return body, first
}

// Title is what stands over the page, on one line.
func Title(p Page) string {
	return strings.TrimSpace(header(p, 1<<20)[0].String())
}

// language that the page is drawn in.
func (p *Page) language() *words.Language {
	if p.Words == nil {
		return words.English
	}
	return p.Words
}

// header is what stands over the page, broken into as many lines as it needs.
func header(p Page, width int) []Line {
	h, l := p.Header, p.language()
	parts := []string{h.Key}
	if h.Cejilla > 0 {
		parts = append(parts, l.Cejilla(h.Cejilla, h.Sounds))
	}
	if h.Form != "" {
		parts = append(parts, h.Form)
	}
	if h.Tempo > 0 {
		parts = append(parts, l.TempoIn(h.Tempo, h.Unit))
	}
	if h.Level != Unknown {
		parts = append(parts, l.Level(int(h.Level)))
	}
	if h.CentsKnown {
		parts = append(parts, l.Tuning(h.Cents))
	}
	if h.LostMS >= 1 {
		parts = append(parts, l.Lost(h.LostMS))
	}
	var lines []Line
	line := ""
	for _, s := range parts {
		if line != "" && runes(line)+3+runes(s) > width-1 {
			lines = append(lines, Line{{cut(" "+line, width), Heading}})
			line = ""
		}
		if line != "" {
			line += "   "
		}
		line += s
	}
	return append(lines, Line{{cut(" "+line, width), Heading}})
}

// beats is the line of beat numbers over the columns.
func beats(p Page, col int) Line {
	l := Line{{pad("", p.labelWidth()), Plain}}
	for _, c := range p.Columns {
		l = append(l, Span{pad(c.Beat, col), Heading})
	}
	return l
}

// chosenMark stands before what is chosen.
const chosenMark = "> "

// chosenIn is the column of the cell that is chosen in a row, -1 for none.
func (p *Page) chosenIn(row int) int {
	if p.Chosen == nil || p.Chosen.Row != row {
		return -1
	}
	return p.Chosen.Column
}

// row draws one turn: the notes, and beneath each what there is to say of it.
func row(p Page, i, col, width int) []Line {
	r, chosen := p.Rows[i], p.chosenIn(i)
	label := "  " + p.language().Turn(r.Turn)
	if r.Strummed && chosen < 0 {
		l := Line{{pad(label, p.labelWidth()), Plain}, {r.label(), Doubt}}
		return append([]Line{l}, extras(p, r, p.labelWidth(), width)...)
	}
	cells := make([][]Span, len(r.Cells))
	deepest := 1
	for i, c := range r.Cells {
		note := c.note()
		if i == chosen {
			note = chosenMark + note
		}
		for _, s := range Wrap(note, col-1) {
			cells[i] = append(cells[i], Span{s, c.role()})
		}
		for _, said := range c.remarks(p.language(), col >= placeColumn) {
			for _, s := range Wrap(said, col-1) {
				cells[i] = append(cells[i], Span{s, Remark})
			}
		}
		deepest = max(deepest, len(cells[i]))
	}
	var lines []Line
	for k := range deepest {
		l := Line{{pad(label, p.labelWidth()), Plain}}
		for _, spans := range cells {
			s := Span{"", Plain}
			if k < len(spans) {
				s = spans[k]
			}
			l = append(l, Span{pad(s.Text, col), s.Role})
		}
		lines = append(lines, l)
		label = ""
	}
	return append(lines, extras(p, r, p.labelWidth(), width)...)
}

// listed draws one turn where there is no room for columns: a line for each
// beat that was judged or is being waited for.
func listed(p Page, i, width int) []Line {
	r, chosen := p.Rows[i], p.chosenIn(i)
	lines := []Line{{{"  " + p.language().Turn(r.Turn), Plain}}}
	if r.Strummed && chosen < 0 {
		lines[0] = append(lines[0], Span{"  " + r.label(), Doubt})
		return append(lines, extras(p, r, 4, width)...)
	}
	for i, c := range r.Cells {
		if c.note() == "" {
			continue
		}
		mark := "    "
		if i == chosen {
			mark = "  " + chosenMark
		}
		head := pad(mark+p.Columns[i].Beat, 9) + " "
		said := Wrap(strings.Join(c.remarks(p.language(), false), ", "), max(width-18, 8))
		l := Line{{head, Heading}, {pad(c.note(), 8), c.role()}}
		if len(said) > 0 {
			l = append(l, Span{said[0], Remark})
		}
		lines = append(lines, l)
		for _, s := range said[min(1, len(said)):] {
			lines = append(lines, Line{{pad("", 18), Plain}, {s, Remark}})
		}
	}
	return append(lines, extras(p, r, 4, width)...)
}

func extras(p Page, r Row, indent, width int) []Line {
	if len(r.Extras) == 0 {
		return nil
	}
	var said []string
	for _, x := range r.Extras {
		said = append(said, p.language().After(x.Note, x.After))
	}
	var lines []Line
	for _, s := range Wrap(p.language().Also(said), width-indent) {
		lines = append(lines, Line{{pad("", indent), Plain}, {s, Remark}})
	}
	return lines
}

// footer is what stands under the page.
func footer(p Page, width int) []Line {
	var lines []Line
	l := p.language()
	switch {
	case p.Lead:
		lines = append(lines, Line{{cut("  "+l.Ready(), width), Ahead}})
	case p.CountIn > 0:
		lines = append(lines, Line{{cut("  "+l.CountIn(p.CountIn), width), Ahead}})
	}
	if n := p.Next; n != nil {
		s := "  " + l.Next() + "   " + pad(n.Beat, 4) + n.Note
		if n.Place != "" {
			s += "   " + n.Place
		}
		lines = append(lines, Line{{cut(s, width), Ahead}})
	}
	if p.Last != "" {
		for _, s := range Wrap(p.Last, width-2) {
			lines = append(lines, Line{{"  " + s, Said}})
		}
	}
	return append(lines, sentences(p.Summary, width)...)
}

// sentences are wrapped, each on lines of its own.
func sentences(all []string, width int) (lines []Line) {
	for _, said := range all {
		for _, s := range Wrap(said, width-2) {
			lines = append(lines, Line{{"  " + s, Said}})
		}
	}
	return lines
}
