// Package ui holds the terminal screens. A screen is a Bubble Tea program:
// its model is plain data, Update decides, View only draws.
package ui

import (
	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"bordon/listen"
	"bordon/listen/match"
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

	Large    bool               // begin with the large form
	Continue bool               // on the page of the session before
	Commands bool               // somebody takes them: all keys are offered
	Keys     Keys               // that the player maps
	Sentence string             // how it is practised; "" where it cannot be changed
	Check    func(string) error // says what is wrong with another sentence
}

// noteHeight is the least height of a terminal that has room for the note, and
// for the sentence.
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
	large         bool
	ended         bool
	stand         standing
	opening       func(width int) []page.Line
	said          string        // a sentence on the devices or the tempo
	place         *listen.Place // where a player is who is followed; nil for not known

	kept    []stretch // takes, by the rows that they hold
	rulings map[page.Chosen]match.Word
	choose  choosing

	editing bool
	input   textinput.Model
	wrong   string // what is wrong with the sentence that was entered

	rest   bool  // it is time to rest the hands
	played int64 // samples of all sessions of this screen
	heard  int64 // of the last one
	rested int64 // of played, at which a rest was last suggested
}

// restEvery is how long one may play before the screen reminds of the hands,
// in seconds (common practice, no source).
const restEvery = 20 * 60

var keyEnd = key.NewBinding(key.WithKeys("q", "ctrl+c"))

func newModel(live Live, feed *Feed, st styles, begin func()) model {
	m := model{
		live:   live,
		feed:   feed,
		styles: st,
		begin:  begin,
		large:  live.Large,
		width:  80,
		height: 24,
	}
	m.newPage()
	return m
}

func (m *model) newPage() {
	m.writer = page.NewWriter(m.live.Words, m.live.Settings, m.live.Rate)
	m.writer.CountFrom(m.live.CountIn)
	m.kept, m.rulings = nil, map[page.Chosen]match.Word{}
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
		m.fitInput()
	case tea.KeyMsg:
		if m.editing && msg.String() != "ctrl+c" {
			return m.edit(msg)
		}
		if m.choose.on {
			if cmd, ok := m.chooseKey(msg); ok {
				return m, cmd
			}
		}
		switch do := m.live.Keys.of(msg); {
		case do == end:
			return m, tea.Quit
		case do == help:
			m.help = !m.help
		case do == large:
			m.large = !m.large
		case do == overrule:
			m.beginChoosing()
		case do == Nothing || !m.live.Commands || m.ended:
		case do == Edit:
			if m.live.Sentence != "" {
				m.beginEdit()
				return m, textinput.Blink
			}
		default:
			m.feed.ask(Command{Do: do})
		}
	case ruled:
		m.takeRuling(msg)
	case update:
		m.write(msg)
		if m.ended {
			return m, nil
		}
		return m, m.listen
	default:
		if m.editing { // the cursor blinks
			var cmd tea.Cmd
			m.input, cmd = m.input.Update(msg)
			return m, cmd
		}
	}
	return m, nil
}

// maxSentence is how much can be entered, in characters.
const maxSentence = 500

func (m *model) beginEdit() {
	m.editing, m.wrong = true, ""
	m.input = textinput.New()
	m.input.Prompt = "  "
	m.input.CharLimit = maxSentence
	m.fitInput()
	m.input.SetValue(m.live.Sentence)
	m.input.CursorEnd()
	m.input.Focus()
}

// fitInput makes the field as wide as the screen.
func (m *model) fitInput() {
	m.input.Width = max(m.width-5, 1)
	m.input.SetCursor(m.input.Position())
}

// edit takes a key while the sentence is being changed.
func (m model) edit(msg tea.KeyMsg) (tea.Model, tea.Cmd) {
	switch msg.String() {
	case "esc":
		m.editing = false
		return m, nil
	case "enter":
		text := m.input.Value()
		if m.live.Check != nil {
			if err := m.live.Check(text); err != nil {
				m.wrong = err.Error()
				return m, nil
			}
		}
		m.editing = false
		m.feed.ask(Command{Do: Edit, Text: text})
		return m, nil
	}
	var cmd tea.Cmd
	m.input, cmd = m.input.Update(msg)
	m.wrong = ""
	return m, cmd
}

// write puts an update on the page.
func (m *model) write(u update) {
	for _, r := range u.runs {
		if r.live != nil {
			m.another(*r.live)
		}
		for _, e := range r.events {
			m.writer.Add(e)
		}
		if r.kept != nil {
			m.keep(r.kept.take)
		}
	}
	m.said, m.opening = u.said, u.opening
	m.place = u.meters.Place
	switch a := u.meters.Await; {
	case u.stand.stands: // nothing comes
	case a != nil:
		m.writer.Await(a.Round, a.Item)
	case u.meters.Following:
		m.writer.Follow(u.meters.Place)
	default:
		m.writer.Hear(u.meters.Heard)
	}
	m.writer.Meter(u.meters.Level)
	if u.meters.CentsKnown {
		m.writer.Tune(u.meters.Cents)
	}
	m.suggestRest(u.meters.Heard)
	if u.stand.stands && !m.stand.stands {
		m.writer.Close(nil)
	}
	m.stand = u.stand
	if u.ended {
		m.ended, m.editing = true, false
		m.writer.Close(u.summary)
	}
	if !m.canOverrule() {
		m.choose = choosing{}
	}
}

// another begins another session on the screen.
func (m *model) another(live Live) {
	before := m.live
	m.live, m.heard, m.choose = live, 0, choosing{}
	if live.Continue {
		m.writer.Again(live.Settings, live.Rate)
		m.writer.CountFrom(live.CountIn)
		return
	}
	if m.newPage(); live.Rate == 0 {
		m.live.Rate = before.Rate
	}
}

// suggestRest counts what was played, and says when it is time to rest.
func (m *model) suggestRest(heard int64) {
	if heard > m.heard {
		m.played += heard - m.heard
	}
	m.heard = heard
	if m.played-m.rested >= int64(restEvery*m.live.Rate) {
		m.rested = m.played
		m.rest = true
	} else if m.played-m.rested >= int64(60*m.live.Rate) {
		m.rest = false
	}
}
