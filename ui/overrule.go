package ui

import (
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/ui/page"
)

// Kept is a take whose verdicts the player can overrule, such as a
// take.Stored. Turns count from 1; beats are written as in the line.
type Kept interface {
	Overrule(turn int, beat string, pitch match.Word, why string, at time.Time) error
	Uphold(turn int, beat string) error
	Rulings() []take.Ruling
	Summary() []string // the score in words, the rulings counted in
}

// Keep tells that what the run has played is kept as a take; nil that it no
// longer is.
func (f *Feed) Keep(k Kept) {
	f.mu.Lock()
	f.kept = &kept{k}
	f.mu.Unlock()
	f.wake()
}

// kept is what Keep was told.
type kept struct{ take Kept }

// stretch is the rows of a page that a take holds, from one on.
type stretch struct {
	from int
	take Kept
}

// choosing is a verdict that is being overruled.
type choosing struct {
	on    bool
	at    page.Chosen
	busy  bool   // the player's word is on its way to the disk
	wrong string // why it did not come there
}

// ruled is the player's word, or why it could not be kept.
type ruled struct {
	at    page.Chosen
	pitch match.Word // "" took it back
	last  bool       // it is of the take that was played last
	sums  []string   // what is said of that now
	err   error
}

// keep remembers which rows a take holds, and shows what is overruled there.
func (m *model) keep(k Kept) {
	from := m.writer.Begun()
	m.kept = slices.DeleteFunc(m.kept, func(s stretch) bool { return s.from >= from })
	if k == nil {
		return
	}
	m.kept = append(m.kept, stretch{from, k})
	p := m.writer.Page()
	for _, r := range k.Rulings() {
		for col, c := range p.Columns {
			if c.Beat == take.BeatOf(r.Beat) {
				m.overrule(page.Chosen{Row: from + r.Turn - 1, Column: col}, r.Pitch)
			}
		}
	}
}

// takeOf is the take that holds a row, and its turn there.
func (m *model) takeOf(row int) (k Kept, turn int) {
	for _, s := range slices.Backward(m.kept) {
		if row >= s.from {
			return s.take, row - s.from + 1
		}
	}
	return nil, 0
}

// canOverrule reports whether there is a verdict to overrule, on a page that
// does not move.
func (m *model) canOverrule() bool {
	if len(m.kept) == 0 || !m.stand.stands && !m.ended {
		return false
	}
	_, ok := m.lastOf(func(page.Cell) bool { return true })
	return ok
}

// choosable reports whether the verdict in a cell can be overruled.
func (m *model) choosable(p *page.Page, row, col int) bool {
	k, _ := m.takeOf(row)
	return k != nil && p.Rows[row].Cells[col].State == page.Written
}

// lastOf finds the last verdict of a kind.
func (m *model) lastOf(is func(page.Cell) bool) (at page.Chosen, ok bool) {
	p := m.writer.Page()
	for row := len(p.Rows) - 1; row >= 0; row-- {
		for col := len(p.Columns) - 1; col >= 0; col-- {
			if m.choosable(&p, row, col) && is(p.Rows[row].Cells[col]) {
				return page.Chosen{Row: row, Column: col}, true
			}
		}
	}
	return at, false
}

// beginChoosing chooses the last verdict that accuses, as it is the one that
// the player most likely doubts, else the last.
func (m *model) beginChoosing() {
	if !m.canOverrule() {
		return
	}
	at, ok := m.lastOf(func(c page.Cell) bool { return page.IsMistake(match.Verdict{Pitch: c.Word}) && c.Ruled == "" })
	if !ok {
		at, _ = m.lastOf(func(page.Cell) bool { return true })
	}
	m.choose = choosing{on: true, at: at}
	m.help = false
}

// chooseKey takes a key while a verdict is being chosen; ok is false for a
// key that has nothing to do with that.
func (m *model) chooseKey(msg tea.KeyMsg) (cmd tea.Cmd, ok bool) {
	switch msg.String() {
	case "left":
		m.move(0, -1)
	case "right":
		m.move(0, 1)
	case "up":
		m.move(-1, 0)
	case "down":
		m.move(1, 0)
	case "esc", "enter":
		m.choose.on = false
	case "q", "ctrl+c", "?":
		return nil, false
	default:
		for _, l := range m.live.Words.Letters() {
			if msg.String() == l.Key {
				return m.rule(l.Word), true
			}
		}
	}
	return nil, true
}

// move goes to the next verdict in a direction; along a row on to the next
// row, and past those that cannot be overruled.
func (m *model) move(rows, cols int) {
	p := m.writer.Page()
	m.choose.wrong = ""
	row, col := m.choose.at.Row, m.choose.at.Column
	for {
		row, col = row+rows, col+cols
		if col < 0 {
			row, col = row-1, len(p.Columns)-1
		} else if col >= len(p.Columns) {
			row, col = row+1, 0
		}
		if row < 0 || row >= len(p.Rows) {
			return
		}
		if m.choosable(&p, row, col) {
			m.choose.at = page.Chosen{Row: row, Column: col}
			return
		}
	}
}

// rule gives the player's word; "" takes it back. It goes to the disk, so it
// comes back as a message.
func (m *model) rule(pitch match.Word) tea.Cmd {
	at, p := m.choose.at, m.writer.Page()
	k, turn := m.takeOf(at.Row)
	if m.choose.busy || k == nil {
		return nil
	}
	beat := p.Columns[at.Column].Beat
	if pitch == "" && m.rulings[at] == "" {
		return nil
	}
	m.choose.busy, m.choose.wrong = true, ""
	r := ruled{at: at, pitch: pitch, last: k == m.kept[len(m.kept)-1].take}
	return func() tea.Msg {
		if pitch == "" {
			r.err = k.Uphold(turn, beat)
		} else {
			r.err = k.Overrule(turn, beat, pitch, "", time.Now())
		}
		r.sums = k.Summary()
		return r
	}
}

// takeRuling shows what became of the player's word.
func (m *model) takeRuling(r ruled) {
	m.choose.busy = false
	if r.err != nil {
		m.choose.wrong = r.err.Error()
		return
	}
	m.overrule(r.at, r.pitch)
	switch {
	case !r.last:
	case m.ended:
		m.writer.Close(r.sums)
	case m.stand.stands && len(m.stand.said) > 0: // its first sentence is why the page stands
		m.stand.said = append(m.stand.said[:1:1], r.sums...)
	}
}

// overrule shows the player's word on a cell.
func (m *model) overrule(at page.Chosen, pitch match.Word) {
	m.writer.Overrule(at.Row, at.Column, pitch)
	m.rulings[at] = pitch
}

// chooseFoot is what stands under the page while a verdict is being chosen.
func (m model) chooseFoot() []page.Line {
	l, p := m.live.Words, m.writer.Page()
	var foot []page.Line
	say := func(role page.Role, s string) {
		for _, text := range indented(s, m.width) {
			foot = append(foot, page.Line{{Text: text, Role: role}})
		}
	}
	if m.choose.wrong != "" {
		say(page.Wrong, m.choose.wrong)
	}
	cell := p.Rows[m.choose.at.Row].Cells[m.choose.at.Column]
	player := ""
	if w := m.rulings[m.choose.at]; w != "" {
		player = l.Pitch(w)
	}
	say(page.Ahead, l.Overruling(p.Rows[m.choose.at.Row].Turn, p.Columns[m.choose.at.Column].Beat, l.Pitch(cell.Word), player))
	keys := ""
	for _, letter := range l.Letters() {
		s := "  " + letter.Key + " " + letter.Says
		if keys != "" && len([]rune(keys+" "+s)) > m.width {
			foot = append(foot, page.Line{{Text: cut(keys, m.width), Role: page.Plain}})
			keys = ""
		} else if keys != "" {
			s = " " + s
		}
		keys += s
	}
	foot = append(foot, page.Line{{Text: cut(keys, m.width), Role: page.Plain}})
	return append(foot, page.Line{{Text: cut("  ←↑↓→ "+l.ChooseHelp()+"   esc "+l.DoneHelp()+"   q "+l.End()+"   ? "+l.Keys(), m.width), Role: page.Heading}})
}

// overruleHelp lists the keys of verdicts.
func (m model) overruleHelp() [][2]string {
	l := m.live.Words
	rows := [][2]string{{"v", l.OverruleHelp()}}
	for _, letter := range l.Letters() {
		rows = append(rows, [2]string{"  " + letter.Key, letter.Says})
	}
	return rows
}
