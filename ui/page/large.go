package page

import (
	"strconv"
	"strings"

	"bordon/listen/match"
)

// try is a way to set the large form.
type try struct {
	width, height int  // of a letter's cell
	apart         bool // an empty line after each band; else only where no caption parts them
	foot          int  // lines of the foot that must fit
	top           bool // with the heading
}

// tries are in the order of what one would rather have; the last always does.
var tries = [...]try{
	{4, 2, true, 2, true}, {3, 2, true, 2, true}, {2, 1, true, 2, true}, {2, 1, false, 0, true},
	{1, 1, true, 2, true}, {1, 1, false, 0, true}, {1, 1, false, 0, false}, {1, 1, false, 0, true},
}

// Large lays the page out for a wall: the beat of the compás and what comes
// next, the note that was said last, and the verdict on it, in letters that can
// be read from two metres. They are as large as width and height allow; where
// even the smallest do not fit, a text stands as it is.
func Large(p Page, width, height int) []Line {
	width = max(width, leastWidth)
	l := p.language()
	beat := "-"
	if p.Beat > 0 {
		beat = strconv.Itoa(p.Beat)
	}
	// What comes next stands beside the beat only where there is one note to
	// name.
	next := ""
	if n := p.Next; n != nil && runes(n.Note) <= 5 {
		next = n.Note
	}
	bands := []band{{caption: l.Beat(), role: Ahead, text: beat}}
	if next != "" {
		bands[0].caption, bands[0].text = l.Beat()+"   "+l.Next()+" "+p.Next.Beat, beat+"  "+next
	}
	if s := p.Latest; s != nil {
		c := s.Cell
		bands = append(bands,
			band{caption: l.At(s.Turn, s.Beat), role: c.role(), text: c.Heard},
			band{role: c.role(), text: c.said(l.RightNote())})
		if c.Heard == "" {
			bands[1].text = c.Asked
			bands[1].caption += "   " + l.Asked("", "")
		}
		if c.Provisional {
			bands[1].text = "(" + bands[1].text + ")"
		}
	}
	foot := footer(p, width)
	var top, body []Line
	for _, y := range tries {
		top, body = nil, nil
		if y.top {
			top = header(p, width)[:1]
		}
		fits := true
		for i, b := range bands {
			if i > 0 && !y.apart && b.caption == "" {
				body = append(body, Line{{"", Plain}})
			}
			lines, ok := b.draw(width, [2]int{y.width, y.height})
			fits = fits && ok
			body = append(body, lines...)
			if y.apart {
				body = append(body, Line{{"", Plain}})
			}
		}
		if fits && (height <= 0 || len(top)+len(body)+min(len(foot), y.foot) <= height) {
			break
		}
	}
	for len(foot) > 0 && height > 0 && len(top)+len(body)+len(foot) > height {
		foot = foot[:len(foot)-1]
	}
	lines := append(append(top, body...), foot...)
	if height > 0 && len(lines) > height {
		lines = lines[:height]
	}
	return lines
}

// said is the verdict in a word or two.
func (c Cell) said(right string) string {
	switch {
	case c.Timing != "" && (c.Word == match.Right || c.Word == match.Octave):
		return c.TimingLarge
	case c.Label != "":
		return c.Label
	}
	return right
}

// band is a text in large letters with a caption over it.
type band struct {
	caption, text string
	role          Role
}

// draw sets the band; ok is false where its letters are too wide, and it
// stands in small ones.
func (b band) draw(width int, size [2]int) (lines []Line, ok bool) {
	if b.caption != "" {
		lines = append(lines, Line{{cut("  "+b.caption, width), Heading}})
	}
	set := large(b.text, size[0], size[1], b.caption != "")
	if len(set) > 0 && runes(set[0])+3 > width {
		return append(lines, Line{{cut("  "+strings.ToUpper(b.text), width), b.role}}), false
	}
	for _, s := range set {
		lines = append(lines, Line{{"  " + s, b.role}})
	}
	return lines, true
}
