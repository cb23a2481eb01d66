// Package ui holds the terminal screens. A screen is a Bubble Tea program:
// its model is plain data, Update decides, View only draws.
package ui

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"bordon/listen"
	"bordon/ui/page"
	"bordon/ui/words"
)

// Live says what the live screen shows beside the session itself.
type Live struct {
	Words    *words.Language
	Settings listen.Settings
	CountIn  float64 // beats counted before beat 1 of the first turn
	Rate     int     // samples a second of the input stream
	Note     string  // a sentence that stays under the page: what is heard, what is not judged
}

// noteHeight is the least height of a terminal that has room for the note.
const noteHeight = 16

// model of the live screen.
type model struct {
	live   Live
	feed   *Feed
	styles styles
	begin  func() // lets the session begin; called once

	writer        *page.Writer
	width, height int
	help          bool
	ended         bool
	said          string // a sentence on the devices or the tempo
	rest          bool   // it is time to rest the hands
	rested        int64  // sample at which that was last said
}

// restEvery is how long one may play before the screen reminds of the hands,
// in seconds (common practice, no source).
const restEvery = 20 * 60

var (
	keyEnd  = key.NewBinding(key.WithKeys("q", "ctrl+c"))
	keyHelp = key.NewBinding(key.WithKeys("?"))
)

func newModel(live Live, feed *Feed, st styles, begin func()) model {
	w := page.NewWriter(live.Words, live.Settings, live.Rate)
	w.CountFrom(live.CountIn)
	return model{
		live:   live,
		feed:   feed,
		styles: st,
		begin:  begin,
		writer: w,
		width:  80,
		height: 24,
	}
}

// Init lets the session begin.
func (m model) Init() tea.Cmd { return tea.Batch(m.start, m.listen) }

func (m model) start() tea.Msg {
	m.begin()
	return nil
}

func (m model) listen() tea.Msg { return m.feed.wait() }

// Update decides.
func (m model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.width, m.height = msg.Width, msg.Height
	case tea.KeyMsg:
		switch {
		case key.Matches(msg, keyEnd):
			return m, tea.Quit
		case key.Matches(msg, keyHelp):
			m.help = !m.help
		}
	case update:
		m.write(msg)
		if m.ended {
			return m, nil
		}
		return m, m.listen
	}
	return m, nil
}

// write puts an update on the page.
func (m *model) write(u update) {
	m.said = u.said
	m.writer.Hear(u.meters.Heard)
	for _, e := range u.events {
		m.writer.Add(e)
	}
	m.writer.Meter(u.meters.Level)
	if u.meters.CentsKnown {
		m.writer.Tune(u.meters.Cents)
	}
	if u.meters.Heard-m.rested >= int64(restEvery*m.live.Rate) {
		m.rested = u.meters.Heard
		m.rest = true
	} else if u.meters.Heard-m.rested >= int64(60*m.live.Rate) {
		m.rest = false
	}
	if u.ended {
		m.ended = true
		m.writer.Close(u.summary)
	}
}

// View only draws.
func (m model) View() string {
	l := m.live.Words
	keys := "  q " + l.End() + "   ? " + l.Keys()
	foot := []string{keys}
	switch {
	case m.help:
		foot = []string{"  " + pad("q, ctrl-c", 12) + l.EndHelp(), "  " + pad("?", 12) + l.KeysHelp()}
	case m.ended:
		foot = []string{"  " + l.Over() + " " + keys}
	}
	if m.rest {
		foot = append([]string{"  " + l.Rest()}, foot...)
	}
	if m.said != "" {
		foot = append(indented(m.said, m.width), foot...)
	}
	if m.live.Note != "" && m.height >= noteHeight {
		foot = append(indented(m.live.Note, m.width), foot...)
	}
	room := max(m.height-len(foot), 1)

	var lines []string
	for _, l := range page.Draw(m.writer.Page(), m.width, room) {
		lines = append(lines, m.styles.line(l))
	}
	if len(lines) > room {
		lines = lines[:room]
	}
	for len(lines) < room {
		lines = append(lines, "")
	}
	for _, s := range foot {
		lines = append(lines, m.styles[page.Heading].Render(cut(s, m.width)))
	}
	return strings.Join(lines[:min(len(lines), m.height)], "\n")
}

func indented(s string, width int) []string {
	lines := page.Wrap(s, width-4)
	for i := range lines {
		lines[i] = "  " + lines[i]
	}
	return lines
}

func pad(s string, width int) string {
	return s + strings.Repeat(" ", max(width-len([]rune(s)), 1))
}

func cut(s string, width int) string {
	if r := []rune(s); len(r) > width {
		return string(r[:max(width, 0)])
	}
	return s
}
