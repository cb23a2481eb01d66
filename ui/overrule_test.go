package ui

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/exp/teatest"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/ui/words"
)

// shelved is a take that remembers what is said of it.
type shelved struct {
	rulings []take.Ruling
	full    bool // the disk
}

func (s *shelved) Overrule(turn int, beat string, pitch match.Word, _ string, _ time.Time) error {
	if s.full {
		return errors.New("the disk is full")
	}
	s.Uphold(turn, beat)
	s.rulings = append(s.rulings, take.Ruling{Turn: turn, Beat: beat, Pitch: pitch})
	return nil
}

func (s *shelved) Uphold(turn int, beat string) error {
	var kept []take.Ruling
	for _, r := range s.rulings {
		if r.Turn != turn || r.Beat != beat {
			kept = append(kept, r)
		}
	}
	s.rulings = kept
	return nil
}

func (s *shelved) Rulings() []take.Ruling { return s.rulings }

func (s *shelved) Summary() []string {
	return []string{fmt.Sprintf("%d overruled.", len(s.rulings))}
}

// after lets a model take keys, and what comes of them.
func after(m model, keys ...tea.Msg) model {
	for _, k := range keys {
		next, cmd := m.Update(k)
		m = next.(model)
		if cmd == nil {
			continue
		}
		if r, ok := cmd().(ruled); ok {
			next, _ = m.Update(r)
			m = next.(model)
		}
	}
	return m
}

var (
	arrowUp    = tea.KeyMsg{Type: tea.KeyUp}
	arrowDown  = tea.KeyMsg{Type: tea.KeyDown}
	arrowLeft  = tea.KeyMsg{Type: tea.KeyLeft}
	arrowRight = tea.KeyMsg{Type: tea.KeyRight}
)

func TestAVerdictIsOverruled(t *testing.T) {
	for _, tt := range []struct {
		name string
		keys []tea.Msg
		want []take.Ruling
		view []string
		not  string
	}{
		{"the last mistake is chosen first", []tea.Msg{press("v"), press("r")},
			[]take.Ruling{{Turn: 1, Beat: "8", Pitch: match.Right}},
			[]string{"> Bb2", "you say: right", "turn 1, beat 8: you say right; the ear said not in key."}, ""},
		{"by the arrow keys", []tea.Msg{press("v"), arrowRight, arrowRight, arrowRight, press("m")},
			[]take.Ruling{{Turn: 2, Beat: "7", Pitch: match.Missing}}, []string{"you say: no bass"}, ""},
		{"up and down stay on the beat", []tea.Msg{press("v"), arrowLeft, arrowDown, arrowUp, press("w")},
			[]take.Ruling{{Turn: 1, Beat: "7", Pitch: match.InScale}}, []string{"you say: wrong,", "you say wrong, in key; the ear said right"}, ""},
		{"there is nothing to the right of the last, nor below it", []tea.Msg{press("v"), arrowLeft, arrowDown, arrowRight, arrowDown, press("u")},
			[]take.Ruling{{Turn: 2, Beat: "7", Pitch: match.Unsure}}, nil, ""},
		{"the ear's word again", []tea.Msg{press("v"), press("r"), press("e")}, nil,
			[]string{"turn 1, beat 8: the ear said not in key. What was it?"}, "you say"},
		{"another key changes nothing", []tea.Msg{press("v"), press("x"), press("e")}, nil, []string{"> Bb2"}, "you say"},
		{"esc puts the choosing away, and the word stays", []tea.Msg{press("v"), press("o"), press("esc"), press("r")},
			[]take.Ruling{{Turn: 1, Beat: "8", Pitch: match.Octave}}, []string{"you say: in", "v overrule"}, "> Bb2"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := &shelved{}
			m := shown(t, practising(t), mono(), 80, 24, func(f *Feed) {
				f.Keep(s)
				f.Stand([]string{"The page has stopped.", "4 of 5 notes right (80 %)."})
			})
			require.Contains(t, m.View(), "v overrule")
			require.Contains(t, m.View(), "? keys", "all keys fit")
			m = after(m, tt.keys...)
			assert.Equal(t, tt.want, s.rulings)
			if left := after(m, press("esc")); len(tt.want) > 0 {
				assert.Contains(t, left.View(), "The page has stopped.")
				assert.Contains(t, left.View(), "1 overruled.", "the score is told anew")
				assert.NotContains(t, left.View(), "4 of 5")
			}
			for _, want := range tt.view {
				assert.Contains(t, m.View(), want)
			}
			if tt.not != "" {
				assert.NotContains(t, m.View(), tt.not)
			}
			assert.Empty(t, commands(m.feed), "nothing else was asked for")
		})
	}
}

func TestWhatWasOverruledBeforeIsShown(t *testing.T) {
	s := &shelved{rulings: []take.Ruling{{Turn: 1, Beat: "1/8", Pitch: match.Right}}}
	m := shown(t, live(t), mono(), 80, 24, func(f *Feed) {
		f.Keep(s)
		f.End(nil)
	})
	assert.Contains(t, m.View(), "you say: right")
	assert.Contains(t, after(m, press("v")).View(), "turn 2, beat 7: the ear said right", "what was overruled is not doubted any more")
}

func TestTheKeysOfVerdictsAreListed(t *testing.T) {
	keep := func(f *Feed) {
		f.Keep(&shelved{})
		f.Stand(nil)
	}
	for _, keys := range [][]tea.Msg{{press("?")}, {press("v"), press("?")}} {
		view := shown(t, practising(t), mono(), 80, 40, keep, keys...).View()
		assert.Contains(t, view, "overrule the ear")
		for _, l := range words.English.Letters() {
			assert.Contains(t, view, "  "+l.Key+"  ")
			assert.Contains(t, view, l.Says)
		}
	}
	moving := shown(t, practising(t), mono(), 80, 40, func(f *Feed) { f.Keep(&shelved{}) }, press("v"))
	assert.NotContains(t, moving.View(), "> ", "a page that is being written is left alone")
	assert.NotContains(t, after(moving, press("?")).View(), "overrule the ear")
	nothing := shown(t, practising(t), mono(), 80, 40, func(f *Feed) { f.Stand(nil) }, press("v"))
	assert.NotContains(t, nothing.View(), "> ", "no take was kept")
	discarded := shown(t, practising(t), mono(), 80, 40, keep)
	discarded.feed.Keep(nil)
	next, _ := discarded.Update(discarded.feed.wait())
	assert.NotContains(t, next.(model).View(), "v overrule")
}

func TestWhatCannotBeKeptIsSaid(t *testing.T) {
	m := shown(t, live(t), mono(), 80, 24, func(f *Feed) {
		f.Keep(&shelved{full: true})
		f.End(nil)
	})
	m = after(m, press("v"), press("r"))
	assert.Contains(t, m.View(), "the disk is full")
	assert.NotContains(t, m.View(), "you say")
}

// Where a page goes on, each of its takes holds its own rows.
func TestEachTakeHoldsItsRows(t *testing.T) {
	l := practising(t)
	l.Continue = true
	first, second := &shelved{}, &shelved{}
	m := shown(t, l, mono(), 80, 40, func(f *Feed) {
		f.Keep(first)
		f.Begin(l)
		f.Add(verdict(l, 1, 0, match.InScale, 45))
		f.Keep(second)
		f.Stand(nil)
	})
	m = after(m, press("v"), press("r"), arrowUp, press("o"))
	assert.Equal(t, []take.Ruling{{Turn: 1, Beat: "7", Pitch: match.Right}}, second.rulings)
	assert.Equal(t, []take.Ruling{{Turn: 2, Beat: "7", Pitch: match.Octave}}, first.rulings)
	m.feed.Begin(l)
	next, _ := m.Update(m.feed.wait())
	assert.NotContains(t, next.(model).View(), "> ", "it is played on")
}

// What is chosen is in sight, however long the page is.
func TestWhatIsChosenIsInSight(t *testing.T) {
	for _, width := range []int{80, 30} {
		l := live(t)
		f := NewFeed()
		for turn := 1; turn <= 60; turn++ {
			for i := range l.Settings.Line.Items {
				f.Add(verdict(l, turn, i, match.Right, 47))
			}
		}
		f.Keep(&shelved{})
		f.End(nil)
		m := newModel(l, f, mono(), func() {})
		m = after(m, tea.WindowSizeMsg{Width: width, Height: 16}, f.wait(), press("v"))
		assert.Contains(t, m.View(), "turn 60")
		for range 30 {
			m = after(m, arrowUp)
		}
		assert.Contains(t, m.View(), "turn 30")
		assert.Contains(t, m.View(), "> ")
		assert.LessOrEqual(t, strings.Count(m.View(), "\n"), 15)
	}
}

func TestOverrulingOnATerminal(t *testing.T) {
	l, f, s := live(t), NewFeed(), &shelved{}
	playScene(l, f)
	f.Keep(s)
	f.End([]string{"4 of 5 notes right (80 %)."})
	tm := teatest.NewTestModel(t, newModel(l, f, mono(), func() {}), teatest.WithInitialTermSize(80, 24))
	wait := func(text string) {
		teatest.WaitFor(t, tm.Output(), func(b []byte) bool { return bytes.Contains(b, []byte(text)) }, teatest.WithDuration(20*time.Second))
	}
	wait("v overrule")
	tm.Send(press("v"))
	wait("What was it?")
	tm.Send(press("r"))
	wait("you say: right")
	tm.Send(press("q"))
	golden(t, "overruled", tm.FinalModel(t, teatest.WithFinalTimeout(20*time.Second)).View()+"\n")
	assert.Equal(t, []take.Ruling{{Turn: 1, Beat: "8", Pitch: match.Right}}, s.rulings)
}
