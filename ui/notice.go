package ui

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"bordon/ui/words"
)

var keyGoOn = key.NewBinding(key.WithKeys("enter", " "))

// notice is a screen of paragraphs that waits to be read.
type notice struct {
	words         *words.Language
	paragraphs    []string
	width, height int
	top           int // first line shown, where they do not all fit
	read          bool
}

// Notice shows paragraphs on a screen of their own and waits until they are
// read. It reports false where the player would rather end.
func Notice(ctx context.Context, lang *words.Language, paragraphs []string, in io.Reader, out io.Writer) (read bool, err error) {
	p := tea.NewProgram(notice{words: lang, paragraphs: paragraphs, width: 80, height: 24},
		tea.WithInput(in), tea.WithOutput(out), tea.WithAltScreen(), tea.WithoutSignalHandler())
	stop := context.AfterFunc(ctx, p.Quit)
	defer stop()
	last, err := p.Run()
	if err != nil {
		return false, fmt.Errorf("showing a notice: %w", err)
	}
	return last.(notice).read, nil
}

// Init does nothing.
func (n notice) Init() tea.Cmd { return nil }

// Update decides.
func (n notice) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		n.width, n.height = msg.Width, msg.Height
		n.top = 0
	case tea.KeyMsg:
		switch {
		case key.Matches(msg, keyEnd):
			return n, tea.Quit
		case key.Matches(msg, keyGoOn):
			if n.top+n.room() < len(n.lines()) { // the next screenful
				n.top += n.room()
				return n, nil
			}
			n.read = true
			return n, tea.Quit
		}
	}
	return n, nil
}

func (n notice) room() int { return max(n.height-2, 1) }

func (n notice) lines() []string {
	var lines []string
	for _, p := range n.paragraphs {
		lines = append(lines, "")
		lines = append(lines, indented(p, n.width)...)
	}
	return lines
}

// View only draws.
func (n notice) View() string {
	lines := n.lines()
	shown := lines[min(n.top, len(lines)):min(n.top+n.room(), len(lines))]
	return strings.Join(append(shown[:len(shown):len(shown)], "", cut("  "+n.words.Enter()+" "+n.words.GoOn()+"   q "+n.words.End(), n.width)), "\n")
}
