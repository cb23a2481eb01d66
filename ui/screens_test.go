package ui

import (
	"errors"
	"regexp"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/match"
	"bordon/ui/page"
)

var escapes = regexp.MustCompile("\x1b\\[[0-9;]*m")

// practising is the scene under a sentence that can be changed.
func practising(t *testing.T) Live {
	l := live(t)
	l.Commands, l.Sentence = true, "alegrias in G, at 104, claps on the accents"
	l.Check = func(s string) error {
		if strings.Contains(s, "juggle") {
			return errors.New("juggle is no way to practise")
		}
		return nil
	}
	return l
}

func shown(t *testing.T, l Live, st styles, width, height int, more func(*Feed), keys ...tea.Msg) model {
	t.Helper()
	f := NewFeed()
	playScene(l, f)
	if more != nil {
		more(f)
	}
	m := newModel(l, f, st, func() {})
	for _, msg := range append([]tea.Msg{tea.WindowSizeMsg{Width: width, Height: height}, f.take()}, keys...) {
		next, _ := m.Update(msg)
		m = next.(model)
	}
	return m
}

// Every size, small and large, coloured and not: the words are the same, and
// nothing is wider or higher than the terminal.
func TestScreenGolden(t *testing.T) {
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		for _, large := range []bool{false, true} {
			l := practising(t)
			l.Large = large
			name := "screen-" + strconv.Itoa(size[0]) + "x" + strconv.Itoa(size[1])
			if large {
				name += "-large"
			}
			t.Run(name, func(t *testing.T) {
				plain := shown(t, l, mono(), size[0], size[1], nil).View()
				golden(t, name, plain+"\n")
				dark := shown(t, l, coloured(true), size[0], size[1], nil).View()
				golden(t, name+"-dark", dark+"\n")
				assert.NotEqual(t, plain, dark)
				assert.Equal(t, plain, escapes.ReplaceAllString(dark, ""), "colour is never the only carrier")
			})
		}
	}
}

func TestAnySize(t *testing.T) {
	for _, large := range []bool{false, true} {
		for _, keys := range [][]tea.Msg{nil, {press("?")}, {press("e")}, {press("v")}} {
			l := practising(t)
			l.Large = large
			m := shown(t, l, mono(), 80, 24, func(f *Feed) { f.Keep(&shelved{}); f.Stand([]string{"3 of 4 notes right (75 %)."}) }, keys...)
			for width := 1; width <= 130; width += 3 {
				for height := 1; height <= 45; height += 2 {
					next, _ := m.Update(tea.WindowSizeMsg{Width: width, Height: height})
					lines := strings.Split(next.(model).View(), "\n")
					require.LessOrEqual(t, len(lines), max(height, 1))
					if width >= 26 { // what a drawing is at least wide
						for _, s := range lines {
							require.LessOrEqual(t, len([]rune(escapes.ReplaceAllString(s, ""))), width, "%d by %d: %q", width, height, s)
						}
					}
				}
			}
		}
	}
}

func press(s string) tea.KeyMsg {
	switch s {
	case "enter":
		return tea.KeyMsg{Type: tea.KeyEnter}
	case "esc":
		return tea.KeyMsg{Type: tea.KeyEsc}
	case "pgdown":
		return tea.KeyMsg{Type: tea.KeyPgDown}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(s)}
}

func commands(f *Feed) (got []Command) {
	for {
		select {
		case c := <-f.Commands():
			got = append(got, c)
		default:
			return got
		}
	}
}

func TestKeysAskForThings(t *testing.T) {
	l := practising(t)
	var err error
	l.Keys, err = ParseKeys("start=pgdown, discard=x")
	require.NoError(t, err)
	m := shown(t, l, mono(), 80, 24, nil, press(" "), press("a"), press("n"), press("k"), press("d"), press("p"), press("pgdown"), press("x"), press("z"))
	assert.Equal(t, []Command{{Do: GoOn}, {Do: Again}, {Do: Next}, {Do: Keep}, {Do: Discard}, {Do: Replay}, {Do: GoOn}, {Do: Discard}}, commands(m.feed))
	l.Commands = false
	m = shown(t, l, mono(), 80, 24, nil, press("a"), press("d"))
	assert.Empty(t, commands(m.feed), "nobody takes them")
}

// Whatever has no room on the line of keys, their list has.
func TestTheLineOfKeysKeepsTheListInSight(t *testing.T) {
	l := practising(t)
	m := shown(t, l, mono(), 80, 24, func(f *Feed) { f.Keep(&shelved{}); f.Stand([]string{"3 of 4 notes right (75 %)."}) })
	for width := 28; width < 130; width++ {
		m.width = width
		line := m.keyLine()
		assert.LessOrEqual(t, len([]rune(line)), width)
		assert.Contains(t, line, "q end")
		assert.Contains(t, line, "? keys")
		assert.Contains(t, line, "space go on")
	}
	assert.Contains(t, m.keyLine(), "v overrule")
}

func TestTheSentenceIsEdited(t *testing.T) {
	m := shown(t, practising(t), mono(), 80, 24, nil, press("e"), press(", juggle"), press("enter"))
	assert.Contains(t, m.View(), "juggle is no way to practise")
	assert.Empty(t, commands(m.feed))
	next, _ := m.Update(press("esc"))
	assert.NotContains(t, next.(model).View(), "juggle", "it stays as it was")
	m = shown(t, practising(t), mono(), 80, 24, nil, press("e"), press(", untimed"), press("q"), press("enter"))
	assert.Equal(t, []Command{{Do: Edit, Text: "alegrias in G, at 104, claps on the accents, untimedq"}}, commands(m.feed))
}

func TestThePageStopsAndGoesOn(t *testing.T) {
	l := practising(t)
	l.Continue = true
	m := shown(t, l, mono(), 80, 24, func(f *Feed) { f.Stand([]string{"3 of 4 notes right (75 %)."}) })
	view := m.View()
	assert.Contains(t, view, "3 of 4 notes right")
	assert.Contains(t, view, "space go on")
	assert.NotContains(t, view, "next ")
	m.feed.Begin(l)
	m.feed.Add(verdict(l, 1, 0, match.Right, 47))
	next, _ := m.Update(m.feed.wait())
	view = next.(model).View()
	assert.Contains(t, view, "turn 2", "what was played stays")
	assert.Contains(t, view, "turn 3", "and the page goes on beneath it")
	l.Continue = false
	m = next.(model)
	m.feed.Set(Meters{Heard: 100 * rate})
	m.feed.Begin(l)
	next, _ = m.Update(m.feed.wait())
	assert.NotContains(t, next.(model).View(), "turn 2", "another session has heard nothing yet")
	m = next.(model)
	l.CountIn = 6
	m.feed.Begin(l)
	m.feed.Open(func(int) []page.Line { return []page.Line{{{Text: "F major"}}} })
	next, _ = m.Update(m.feed.wait())
	assert.Contains(t, next.(model).View(), "F major")
	assert.NotContains(t, next.(model).View(), "turn 1")
	m = next.(model)
	m.feed.Set(Meters{Heard: rate / 2}) // half a second before beat 1
	next, _ = m.Update(m.feed.wait())
	assert.Contains(t, next.(model).View(), "count-in: beat 1 comes", "it counts under the opening, too")
}

func TestUntimedShowsWhatIsWaitedFor(t *testing.T) {
	l := practising(t)
	f := NewFeed()
	e := verdict(l, 1, 0, match.InScale, 45)
	e.Try = 1
	f.Add(e)
	e = verdict(l, 1, 0, match.Right, 47)
	e.Try = 2
	f.Add(e)
	f.Set(Meters{Heard: rate, Await: &Await{Round: 1, Item: 1}})
	m := newModel(l, f, mono(), func() {})
	next, _ := m.Update(f.wait())
	view := next.(model).View()
	assert.Contains(t, view, "2 tries")
	assert.Contains(t, view, "next   8   A2   (5) open")
	assert.Contains(t, view, "waiting for A2")
	assert.NotContains(t, view, "104 a minute")
	f.Stand([]string{"The page has stopped."})
	next, _ = next.(model).Update(f.wait())
	assert.NotContains(t, next.(model).View(), "next ", "nothing comes where the page stands")
	assert.NotContains(t, next.(model).View(), "waiting for")
}

func TestParseKeys(t *testing.T) {
	got, err := ParseKeys("start=pgdown,again=PgUp, next = f5 ,hear=space,end=X")
	require.NoError(t, err)
	assert.Equal(t, Keys{"pgdown": GoOn, "pgup": Again, "f5": Next, " ": Replay, "X": end}, got)
	for text, want := range map[string]string{
		"dance=x": "what can be done is", "start": "start=pgdown", "start=pagedown": "is no key", "start=": "is no key",
		"start=x,again=x": "mapped twice", "start=ctrl+c": "ends the program",
	} {
		_, err := ParseKeys(text)
		assert.ErrorContains(t, err, want, text)
	}
}

func FuzzParseKeys(f *testing.F) {
	for _, s := range []string{"start=pgdown,again=pgup", "hear=space", "end=ctrl+b,large=F11", "start==", "next=\x00", "discard=ñ"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		keys, err := ParseKeys(s)
		if err != nil {
			require.Nil(t, keys)
			require.NotContains(t, err.Error(), "\n", "one clear sentence")
			return
		}
		for name, do := range keys {
			require.NotEmpty(t, name)
			require.NotEqual(t, "ctrl+c", name, "it always ends the program")
			require.NotEqual(t, Nothing, do)
			again, err := ParseKeys("end=" + strings.ReplaceAll(name, " ", "space"))
			if name != "," { // which parts one from the next
				require.NoError(t, err, "a key is read as it is named")
				require.Contains(t, again, name)
			}
		}
	})
}
