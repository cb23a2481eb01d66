package sheet

import (
	"fmt"
	"html"
	"math"
	"slices"
	"strconv"
	"strings"
)

// glyph is the outline of a music sign in units of the font, 250 to a space,
// from its origin to the right and downwards.
type glyph struct {
	path                     string // SVG path data
	left, top, right, bottom float64
	stemUp, stemDown         [2]float64 // where a stem begins, of a note head
}

// unitsPerSpace is how SMuFL fonts measure (SMuFL 1.4: a staff is an em high).
const unitsPerSpace = 250

// canvas takes what is drawn on a page, as SVG.
type canvas struct {
	b           strings.Builder
	used        []string // signs, by name
	top, bottom float64  // of what was drawn but for its texts
}

// reach notes that something is drawn between two heights.
func (c *canvas) reach(top, bottom float64) { c.top, c.bottom = min(c.top, top), max(c.bottom, bottom) }

// put draws what is on another canvas, moved down.
func (c *canvas) put(other *canvas, down float64) {
	c.printf("<g transform=\"translate(0 %s)\">\n%s</g>\n", number(down), other.b.String())
	c.used = append(c.used, other.used...)
	c.reach(other.top+down, other.bottom+down)
}

// number writes a length as SVG has it, to a hundredth.
func number(x float64) string {
	x = math.Round(100*x) / 100
	if x == 0 { // and not -0
		x = 0
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func (c *canvas) printf(format string, args ...any) { fmt.Fprintf(&c.b, format, args...) }

// line is a straight stroke.
func (c *canvas) line(x1, y1, x2, y2, width float64) {
	c.reach(min(y1, y2), max(y1, y2))
	c.printf("<path d=\"M%s %sL%s %s\" stroke=\"#000\" stroke-width=\"%s\"/>\n", number(x1), number(y1), number(x2), number(y2), number(width))
}

// box is filled.
func (c *canvas) box(x, y, width, height, round float64) {
	c.reach(y, y+height)
	c.printf("<rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"", number(x), number(y), number(width), number(height))
	if round > 0 {
		c.printf(" rx=\"%s\"", number(round))
	}
	c.printf("/>\n")
}

// disc is filled.
func (c *canvas) disc(x, y, radius float64) {
	c.reach(y-radius, y+radius)
	c.printf("<circle cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", number(x), number(y), number(radius))
}

// arc is a tie from one point to another at the same height, bent by so much,
// downwards where that is positive.
func (c *canvas) arc(x1, x2, y, bend float64) {
	w := x2 - x1
	c.printf("<path d=\"M%s %sc%s %s %s %s %s 0c%s %s %s %s %s 0z\"/>\n", number(x1), number(y),
		number(w/4), number(bend), number(3*w/4), number(bend), number(w),
		number(-w/4), number(bend*0.7), number(-3*w/4), number(bend*0.7), number(-w))
}

// sign draws a music sign with its origin at a point; space is that of the
// staff it is for.
func (c *canvas) sign(name string, x, y, space float64) {
	if !slices.Contains(c.used, name) {
		c.used = append(c.used, name)
	}
	g := glyphs[name]
	c.reach(y+g.top*space/unitsPerSpace, y+g.bottom*space/unitsPerSpace)
	scale := strconv.FormatFloat(math.Round(1e5*space/unitsPerSpace)/1e5, 'f', -1, 64)
	c.printf("<use href=\"#%s\" transform=\"translate(%s %s) scale(%s)\"/>\n", name, number(x), number(y), scale)
}

// signWidth is how wide a sign is, in spaces.
func signWidth(name string) float64 {
	g := glyphs[name]
	return (g.right - g.left) / unitsPerSpace
}

// Anchors of a text.
const (
	atStart  = "start"
	atMiddle = "middle"
	atEnd    = "end"
)

// style of a text.
type style struct {
	size   float64
	anchor string
	bold   bool
	white  bool
	room   float64 // that it may take; 0 is any
}

// text writes what a person reads, from wherever it comes: what cannot be
// printed is left out, and what does not fit into the room is made smaller and
// then cut.
func (c *canvas) text(x, y float64, s string, st style) {
	s = readable(s)
	if st.room > 0 {
		s, st.size = fitted(s, st.size, st.room)
	}
	if s == "" {
		return
	}
	c.printf("<text x=\"%s\" y=\"%s\" font-size=\"%s\"", number(x), number(y), number(st.size))
	if st.anchor != "" && st.anchor != atStart {
		c.printf(" text-anchor=\"%s\"", st.anchor)
	}
	if st.bold {
		c.printf(" font-weight=\"bold\"")
	}
	if st.white {
		c.printf(" fill=\"#fff\"")
	}
	if st.room > 0 && unusual(s) { // nobody knows how wide these are
		c.printf(" textLength=\"%s\" lengthAdjust=\"spacingAndGlyphs\"", number(width(s, st.size)))
	}
	c.printf(">%s</text>\n", html.EscapeString(s))
}

// definitions are the outlines of the signs that were drawn.
func definitions(used []string) string {
	names := slices.Clone(used)
	slices.Sort(names)
	var b strings.Builder
	for _, name := range slices.Compact(names) {
		fmt.Fprintf(&b, "<path id=\"%s\" d=\"%s\"/>\n", name, glyphs[name].path)
	}
	return b.String()
}
