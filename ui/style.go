package ui

import (
	"io"

	"github.com/charmbracelet/lipgloss"

	"bordon/ui/page"
)

// styles colours the roles of a page. Words have said everything already;
// without colour (NO_COLOR, or a terminal that has none) nothing is lost.
type styles map[page.Role]lipgloss.Style

// newStyles asks what out can show. It may ask the terminal for its
// background, so it is called before the screen is up.
func newStyles(out io.Writer) styles {
	r := lipgloss.NewRenderer(out)
	r.HasDarkBackground()
	return stylesOf(r)
}

// The colours, of which nothing depends: what is set back, what was wrong, what
// is in doubt. Orange and blue stay apart for colour-blind readers too.
var (
	soft = lipgloss.AdaptiveColor{Light: "#5f5f5f", Dark: "#a8a8a8"}
	warm = lipgloss.AdaptiveColor{Light: "#8a4a00", Dark: "#e6a860"}
	cool = lipgloss.AdaptiveColor{Light: "#2f5a8a", Dark: "#8fb4dd"}
)

func stylesOf(r *lipgloss.Renderer) styles {
	return styles{
		page.Plain:   r.NewStyle(),
		page.Heading: r.NewStyle().Foreground(soft),
		page.Quiet:   r.NewStyle(),
		page.Wrong:   r.NewStyle().Bold(true).Foreground(warm),
		page.Doubt:   r.NewStyle().Foreground(cool),
		page.Remark:  r.NewStyle().Foreground(warm),
		page.Ahead:   r.NewStyle().Bold(true),
		page.Said:    r.NewStyle(),
	}
}

func (s styles) line(l page.Line) string {
	out := ""
	for _, span := range l {
		out += s[span.Role].Render(span.Text)
	}
	return out
}
