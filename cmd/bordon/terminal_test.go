package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/fixtures"
	"bordon/theory"
)

// terminal is a tmux server of its own with one window.
type terminal struct {
	t      *testing.T
	socket string
}

// openTerminal runs a shell command in a window of that size and leaves it
// open afterwards.
func openTerminal(t *testing.T, width, height int, command string, env []string) *terminal {
	t.Helper()
	if testing.Short() {
		t.Skip("it plays in real time")
	}
	if _, err := exec.LookPath("tmux"); err != nil {
		t.Skip("tmux is not installed")
	}
	s := &terminal{t, filepath.Join(t.TempDir(), "tmux")}
	cmd := exec.Command("tmux", "-S", s.socket, "-f", "/dev/null", "new-session", "-d",
		"-x", strconv.Itoa(width), "-y", strconv.Itoa(height), command+"; echo \"status $?\"; exec sleep 600")
	cmd.Env = env
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	t.Cleanup(func() { s.tmux("kill-server") })
	return s
}

func (s *terminal) tmux(args ...string) string {
	out, err := exec.Command("tmux", append([]string{"-S", s.socket}, args...)...).Output()
	if err != nil && args[0] != "kill-server" {
		s.t.Fatalf("tmux %s: %v", args[0], err)
	}
	return string(out)
}

func (s *terminal) screen() string { return s.tmux("capture-pane", "-p") }

// until waits for a text on the screen. The limit is far beyond what the demo
// takes; it only ends a test that has failed.
func (s *terminal) until(text string) string {
	s.t.Helper()
	for range 1200 {
		if screen := s.screen(); strings.Contains(screen, text) {
			return screen
		}
		time.Sleep(100 * time.Millisecond)
	}
	s.t.Fatalf("%q never came up:\n%s", text, s.screen())
	return ""
}

// restored holds that the terminal is as a shell expects it.
func (s *terminal) restored() {
	s.t.Helper()
	state := s.tmux("display-message", "-p", "#{alternate_on} #{cursor_flag} #{mouse_any_flag}")
	assert.Equal(s.t, "0 1 0", strings.TrimSpace(state), "main screen, cursor shown, no mouse")
}

// cells are the words of a row of the page, by column.
func cells(row string, columns []int) []string {
	var got []string
	runes := []rune(row)
	for i, from := range columns {
		to := len(runes)
		if i+1 < len(columns) {
			to = min(columns[i+1], to)
		}
		got = append(got, strings.TrimSpace(string(runes[min(from, to):to])))
	}
	return got
}

// The demo on the screen shows what was played: each planted mistake where it
// was made, and every other note as the line has it.
func TestDemoOnATerminal(t *testing.T) {
	d, err := fixtures.Demo()
	require.NoError(t, err)
	key, err := theory.ParseKey(d.Key)
	require.NoError(t, err)
	dir := t.TempDir()
	s := openTerminal(t, 80, 24, built(t)+" demo", own(dir))
	s.until("count-in")
	last := s.until("the take is over")
	t.Logf("the screen at the end:\n%s", last)

	lines := strings.Split(last, "\n")
	head := []rune(lines[1])
	var columns []int
	for _, beat := range []string{"7", "8", "9", "10"} {
		at := strings.Index(string(head), " "+beat)
		require.GreaterOrEqual(t, at, 0, "no beat %s over the page", beat)
		columns = append(columns, at+1)
	}
	rows := map[int]int{} // line of each turn
	for i, l := range lines {
		var turn int
		if n, _ := fmt.Sscanf(l, "  turn %d ", &turn); n == 1 && !strings.Contains(l, ":") {
			rows[turn] = i
		}
	}
	require.Len(t, rows, d.Turns)
	for i, n := range d.Truth {
		row := rows[n.Turn]
		col := i % len(columns)
		note := cells(lines[row], columns)[col]
		beneath := cells(lines[row+1], columns)[col] + " " + cells(lines[row+2], columns)[col]
		place := fmt.Sprintf("turn %d, beat %s", n.Turn, n.Beat)
		switch n.Mistake {
		case fixtures.None:
			assert.Equal(t, key.Spell(n.MIDI).String(), note, place)
		case fixtures.Late:
			assert.Equal(t, key.Spell(n.MIDI).String(), note, place)
			assert.Contains(t, beneath, "ms late", place)
		case fixtures.Missing:
			assert.Equal(t, "no bass", note, place)
			assert.Contains(t, beneath, "asked "+key.Spell(n.Asked).String(), place)
		case fixtures.OutOfScale:
			assert.Equal(t, key.Spell(n.MIDI).String(), note, place)
			assert.Contains(t, beneath, "not in key", place)
			assert.Contains(t, beneath, "asked "+key.Spell(n.Asked).String(), place)
		default:
			t.Fatalf("the demo makes a mistake that this test does not know: %s", n.Mistake)
		}
	}

	s.tmux("send-keys", "q")
	after := s.until("status 0")
	assert.Contains(t, after, "notes right", "the page stays on the terminal")
	s.restored()
}

// However it ends, the terminal is as it was.
func TestTerminalIsRestored(t *testing.T) {
	program := built(t)
	for _, how := range []string{"INT", "TERM", "HUP", "C-c", "q"} {
		t.Run(how, func(t *testing.T) {
			dir := t.TempDir()
			pid := filepath.Join(dir, "pid")
			s := openTerminal(t, 80, 24, "sh -c 'echo $$ > "+pid+"; exec "+program+" demo'", own(dir))
			s.until("count-in")
			assert.Equal(t, "1", strings.TrimSpace(s.tmux("display-message", "-p", "#{alternate_on}")))
			if how == "C-c" || how == "q" {
				s.tmux("send-keys", how)
			} else {
				b, err := os.ReadFile(pid)
				require.NoError(t, err)
				require.NoError(t, exec.Command("kill", "-"+how, strings.TrimSpace(string(b))).Run())
			}
			s.until("status 0")
			s.restored()
		})
	}
}

// A narrow, low terminal shows less and nothing broken.
func TestSmallTerminal(t *testing.T) {
	s := openTerminal(t, 36, 9, built(t)+" demo", own(t.TempDir()))
	s.until("next")
	screen := s.screen()
	assert.Contains(t, screen, "turn 1")
	assert.Contains(t, screen, "q end")
	s.tmux("resize-window", "-x", "120", "-y", "30")
	s.until("A built-in performance, synthesised, with deliberate mistakes.")
	s.tmux("send-keys", "?")
	s.until("list the keys")
	s.tmux("send-keys", "q")
	s.until("status 0")
	s.restored()
}
