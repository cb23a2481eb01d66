package ui

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/exp/teatest"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen"
	"bordon/listen/match"
	"bordon/theory"
	"bordon/ui/page"
	"bordon/ui/words"
)

var write = flag.Bool("write", false, "write the golden files anew")

const rate = 48000

// live is the scenario's alegrías in G at 104, beat 1 at second 1.
func live(t testing.TB) Live {
	t.Helper()
	k, err := theory.ParseKey("G")
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	line, err := theory.ParseLine("7:B2 8:A2 9:F#2 10:G2", k, form, theory.Standard)
	require.NoError(t, err)
	return Live{Words: words.English, Rate: rate, Settings: listen.Settings{
		Key: k, Form: form, Line: line, Tempo: 104, FirstBeat: 1, A4: 440,
		Tolerance: match.Learning, DelayKnown: true,
		Reason: words.English.Reason,
	}}
}

// verdict is one on an item of the line.
func verdict(l Live, turn, item int, word match.Word, midi int) listen.Event {
	it := l.Settings.Line.Items[item]
	return listen.Event{Kind: listen.Final, Verdict: match.Verdict{
		Turn: turn, Item: it, Expected: it.Choices[0], ExpectedMIDI: it.Choices[0].Note.MIDI(),
		Heard: &match.Heard{MIDI: midi}, Pitch: word,
	}}
}

// playScene tells a feed of a turn and a half with one wrong note.
func playScene(l Live, f *Feed) {
	f.Add(verdict(l, 1, 0, match.Right, 47))
	f.Add(verdict(l, 1, 1, match.OutOfScale, 46))
	f.Add(verdict(l, 1, 2, match.Right, 42))
	f.Add(verdict(l, 1, 3, match.Right, 43))
	f.Add(verdict(l, 2, 0, match.Right, 47))
	f.Set(Meters{Heard: rate * 12, Level: page.Good, Cents: 3, CentsKnown: true})
}

func mono() styles {
	return stylesOf(lipgloss.NewRenderer(io.Discard, termenv.WithProfile(termenv.Ascii)))
}

func coloured(dark bool) styles {
	r := lipgloss.NewRenderer(io.Discard, termenv.WithProfile(termenv.TrueColor))
	r.SetColorProfile(termenv.TrueColor)
	r.SetHasDarkBackground(dark)
	return stylesOf(r)
}

func golden(t *testing.T, name, s string) {
	t.Helper()
	path := filepath.Join("testdata", name+".golden")
	if *write {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, []byte(s), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), s)
}

func TestScreen(t *testing.T) {
	for _, tt := range []struct {
		name          string
		width, height int
		keys          string
		live          func(*Live)
		styles        styles
	}{
		{"80x24", 80, 24, "", nil, mono()},
		{"80x24-dark", 80, 24, "", nil, coloured(true)},
		{"80x24-light", 80, 24, "", nil, coloured(false)},
		{"40x10", 40, 10, "", nil, mono()},
		{"120x30", 120, 30, "", nil, mono()},
		{"keys", 80, 24, "?", nil, mono()},
		{"note", 80, 24, "", func(l *Live) { l.Note = "Early and late are not said: the delay of this room is not known." }, mono()},
	} {
		t.Run(tt.name, func(t *testing.T) {
			l := live(t)
			if tt.live != nil {
				tt.live(&l)
			}
			f := NewFeed()
			playScene(l, f)
			m := newModel(l, f, tt.styles, func() {})
			tm := teatest.NewTestModel(t, m, teatest.WithInitialTermSize(tt.width, tt.height))
			for _, r := range tt.keys {
				tm.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
			}
			teatest.WaitFor(t, tm.Output(), func(b []byte) bool {
				return bytes.Contains(b, []byte("next")) || bytes.Contains(b, []byte("list the keys"))
			},
				teatest.WithDuration(20*time.Second))
			tm.Send(tea.KeyMsg{Type: tea.KeyCtrlC})
			view := tm.FinalModel(t, teatest.WithFinalTimeout(20*time.Second)).View()
			assert.Equal(t, tt.height, strings.Count(view, "\n")+1)
			golden(t, tt.name, view+"\n")
		})
	}
}

func TestMonochromeHasNoEscapes(t *testing.T) {
	m := newModel(live(t), NewFeed(), mono(), func() {})
	assert.NotContains(t, m.View(), "\x1b")
}

func TestNoColorIsRespected(t *testing.T) {
	t.Setenv("NO_COLOR", "1")
	t.Setenv("CLICOLOR_FORCE", "")
	st := newStyles(os.Stdout)
	assert.Equal(t, "Bb2", st.line(page.Line{{Text: "Bb2", Role: page.Wrong}}))
}

func TestNotice(t *testing.T) {
	for _, tt := range []struct {
		name, keys string
		height     int
		read       bool
	}{
		{"read", "\r", 24, true},
		{"read in two screenfuls", "\r\r", 4, true},
		{"left", "q", 24, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			n := notice{words: words.English, paragraphs: []string{"Warm up.", "Rest the hands."}, width: 80, height: tt.height}
			golden(t, "notice-"+strconv.Itoa(tt.height), n.View()+"\n")
			tm := teatest.NewTestModel(t, n, teatest.WithInitialTermSize(80, tt.height))
			for _, r := range tt.keys {
				if r == '\r' {
					tm.Send(tea.KeyMsg{Type: tea.KeyEnter})
				} else {
					tm.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
				}
			}
			last := tm.FinalModel(t, teatest.WithFinalTimeout(20*time.Second)).(notice)
			assert.Equal(t, tt.read, last.read)
		})
	}
	t.Run("the context ends it", func(t *testing.T) {
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		in, keys := io.Pipe()
		defer keys.Close()
		read, err := Notice(ctx, words.English, []string{"Warm up."}, in, io.Discard)
		assert.NoError(t, err)
		assert.False(t, read)
	})
}

func TestHandsAreRested(t *testing.T) {
	m := newModel(live(t), NewFeed(), mono(), func() {})
	say := func(second int64) string {
		next, _ := m.Update(update{meters: Meters{Heard: second * rate}})
		m = next.(model)
		return m.View()
	}
	const words = "rest your hands"
	assert.NotContains(t, say(19*60), words)
	assert.Contains(t, say(20*60), words)
	assert.Contains(t, say(20*60+30), words)
	assert.NotContains(t, say(22*60), words)
	assert.Contains(t, say(40*60), words)
}

func TestEndOfASessionLeavesThePage(t *testing.T) {
	l := live(t)
	f := NewFeed()
	playScene(l, f)
	f.End([]string{"4 of 5 right."})
	m := newModel(l, f, mono(), func() {})
	next, cmd := m.Update(f.wait())
	assert.Nil(t, cmd, "nothing more is waited for")
	view := next.(model).View()
	assert.Contains(t, view, "4 of 5 right.")
	assert.Contains(t, view, "not in key")
	assert.NotContains(t, view, "next ")
}

func TestFeedDropsNoVerdict(t *testing.T) {
	l := live(t)
	f := NewFeed()
	const turns = 2000
	for turn := 1; turn <= turns; turn++ {
		for i := range l.Settings.Line.Items {
			e := verdict(l, turn, i, match.Right, 47)
			e.Kind = listen.Provisional
			f.Add(e)
			e.Kind = listen.Final
			f.Add(e)
			f.Add(listen.Event{Kind: listen.TurnScore})
			f.Add(listen.Event{Kind: listen.GapFound, Gap: listen.Gap{Lost: 1}})
		}
	}
	events := compact(f.wait().runs[0].events)
	finals, gaps, lost := 0, 0, int64(0)
	for _, e := range events {
		switch e.Kind {
		case listen.Provisional:
			t.Fatal("a provisional verdict outlived its final one")
		case listen.Final:
			finals++
		case listen.GapFound:
			gaps++
			lost += e.Gap.Lost
		}
	}
	assert.Equal(t, turns*4, finals)
	assert.Equal(t, 1, gaps)
	assert.EqualValues(t, turns*4, lost)
}

// A terminal that nobody reads must not stop the session.
func TestFeedNeverWaits(t *testing.T) {
	f := NewFeed()
	for range 10000 {
		f.Set(Meters{})
	}
	f.End(nil)
}

func TestShow(t *testing.T) {
	wait := func(ctx context.Context) { <-ctx.Done() }
	tests := []struct {
		name    string
		session Session
		keys    string
		stop    bool
		want    string // of the error, "" for none
	}{
		{"the player ends it", func(ctx context.Context, f *Feed) ([]string, error) { wait(ctx); return nil, nil }, "q", false, ""},
		{"the context ends it", func(ctx context.Context, f *Feed) ([]string, error) { wait(ctx); return nil, ctx.Err() }, "", true, ""},
		{"the session fails", func(ctx context.Context, f *Feed) ([]string, error) { return nil, errors.New("no sound") }, "", false, "no sound"},
		{"the session panics", func(ctx context.Context, f *Feed) ([]string, error) { panic("string 7") }, "", false, "string 7"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			ctx, cancel := context.WithCancel(context.Background())
			defer cancel()
			in, keys := io.Pipe()
			defer keys.Close()
			if tt.keys != "" {
				go io.WriteString(keys, tt.keys)
			}
			if tt.stop {
				cancel()
			}
			var out bytes.Buffer
			err := Show(ctx, live(t), in, &out, tt.session)
			if tt.want == "" {
				assert.NoError(t, err)
			} else {
				assert.ErrorContains(t, err, tt.want)
			}
			// xterm's private modes 1049 and 25: the screen put back, the cursor shown.
			if s := out.String(); strings.Contains(s, "\x1b[?1049h") {
				assert.Greater(t, strings.LastIndex(s, "\x1b[?1049l"), strings.LastIndex(s, "\x1b[?1049h"))
				assert.Greater(t, strings.LastIndex(s, "\x1b[?25h"), strings.LastIndex(s, "\x1b[?25l"))
			}
		})
	}
}

func TestGuard(t *testing.T) {
	err := Guard(func() error { panic("x") })
	var p *Panic
	require.ErrorAs(t, err, &p)
	assert.NotEmpty(t, p.Stack)
	assert.NoError(t, Guard(func() error { return nil }))
}
