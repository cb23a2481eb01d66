package sheet

import (
	"errors"
	"fmt"
	"strings"

	"bordon/theory"
	"bordon/ui/words"
)

// MaxParts is how many keys a sheet has at most.
const MaxParts = 48

// Part is a key that the student is to learn, with the line in it.
type Part struct {
	Line    theory.Line // as fingered, in its key and form
	Cejilla int
}

// Sheet is what a lesson hands out.
type Sheet struct {
	Words *words.Language // nil for English
	Form  theory.Form
	Named string // what the line is called; "" where each key has its best
	Parts []Part

	CountFrom int // beat of the first column; 0 is 1
}

// The measures of a page. They leave a margin of 11 mm on A4 (210 by 297) and
// on US Letter (216 by 279), so that one layout serves both.
const (
	pageWidth  = 186.0
	pageHeight = 252.0
	foot       = 15.0 // for what stands at the bottom of a page
)

// Page is one page as SVG without its frame, and the signs that it uses.
type Page struct {
	body string
	used []string
}

// Pages lays the sheet out. Breaks fall between keys; one that is longer than a
// page goes on from a row to the next. The error says what cannot be written.
func (s Sheet) Pages() ([]Page, error) {
	s.Words = s.lang()
	if len(s.Parts) == 0 {
		return nil, errors.New("a sheet needs a key; name one, such as G")
	}
	if len(s.Parts) > MaxParts {
		return nil, fmt.Errorf("a sheet of %d keys is not usable; name %d at most", len(s.Parts), MaxParts)
	}
	if s.CountFrom < 0 || s.CountFrom > s.Form.Beats {
		return nil, fmt.Errorf("%s is not counted from %d; its beats are 1 to %d", s.Form.Title, s.CountFrom, s.Form.Beats)
	}
	var blocks [][]block
	for _, p := range s.Parts {
		b, err := s.system(p)
		if err != nil {
			return nil, fmt.Errorf("the sheet in %v: %w", p.Line.Key, err)
		}
		blocks = append(blocks, b)
	}
	return s.bind(blocks), nil
}

func (s Sheet) lang() *words.Language {
	if s.Words == nil {
		return words.English
	}
	return s.Words
}

// Title names the sheet.
func (s Sheet) Title() string { return readable(s.lang().SheetTitle(s.lang().Form(s.Form))) }

// block is a part of a system that is never broken.
type block struct {
	height float64
	drawn  *canvas
}

// gap stands between two systems.
const gap = 4.0

// bind puts the blocks of all systems on pages.
func (s Sheet) bind(systems [][]block) []Page {
	var pages []*canvas
	var c *canvas
	y := 0.0
	turn := func() {
		c = &canvas{}
		pages = append(pages, c)
		y = s.head(c, len(pages) == 1)
	}
	turn()
	fresh := true // nothing stands on the page yet
	for _, blocks := range systems {
		whole := 0.0
		for _, b := range blocks {
			whole += b.height
		}
		if !fresh && y+whole > pageHeight-foot {
			turn()
			fresh = true
		}
		for _, b := range blocks {
			if !fresh && y+b.height > pageHeight-foot {
				turn()
			}
			c.put(b.drawn, y)
			y, fresh = y+b.height, false
		}
		y += gap
	}
	bound := make([]Page, len(pages))
	for i, c := range pages {
		s.foot(c, i+1, len(pages))
		bound[i] = Page{c.b.String(), c.used}
	}
	return bound
}

// head is what stands over a page; it returns where the systems begin.
func (s Sheet) head(c *canvas, first bool) float64 {
	title := s.Words.Form(s.Form)
	named := s.Words.BestLine(len(s.Parts))
	if s.Named != "" {
		named = s.Words.LineNamed(s.Named)
	}
	if !first {
		c.text(0, 3.5, title+" · "+named, style{size: 3.2, room: pageWidth})
		return 7
	}
	c.text(0, 7, title, style{size: 8, bold: true, room: 100})
	c.text(pageWidth, 7, named, style{size: 4, anchor: atEnd, room: pageWidth - 106})
	c.line(0, 10, pageWidth, 10, 0.5)
	tuning := s.Parts[0].Line.Tuning
	if tuning == theory.Standard {
		return 14
	}
	var strings6 []string
	for _, note := range strings.Fields(tuning.Notes()) {
		strings6 = append(strings6, printed(s.Words.Read(note)))
	}
	c.text(0, 15, s.Words.TunedTo(strings.Join(strings6, " ")), style{size: 4, room: pageWidth})
	return 18
}

// foot says how to read the sheet.
func (s Sheet) foot(c *canvas, page, of int) {
	const most = 3 // lines
	top, size, room := pageHeight-foot, 2.9, pageWidth
	c.line(0, top+2, pageWidth, top+2, 0.2)
	if of > 1 {
		room -= 16
	}
	lines := wrapped(s.Words.HowToRead(), size, room)
	for ; len(lines) > most; lines = wrapped(s.Words.HowToRead(), size, room) {
		size *= 0.97
	}
	for i, line := range lines {
		c.text(0, top+6+3.9*float64(i), line, style{size: size})
	}
	if of > 1 {
		c.text(pageWidth, top+6, s.Words.PageOf(page, of), style{size: size, anchor: atEnd})
	}
}
