package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/take"
)

// However a session with the pulse on ends, on the screen: the terminal is as
// it was, and the take is kept whole. HUP is always tried, the other ways with
// BORDON_LONG.
func TestSoundSignalsOnTheScreen(t *testing.T) {
	inRoom(t)
	program := built(t)
	const closed = "the terminal is closed"
	for _, how := range []string{"HUP", "INT", "TERM", closed} {
		t.Run(how, func(t *testing.T) {
			if how != "HUP" && os.Getenv("BORDON_LONG") == "" {
				t.Skip("it takes its time: BORDON_LONG=1 runs it")
			}
			dir := t.TempDir()
			pidFile := filepath.Join(dir, "pid")
			s := openTerminal(t, 80, 24, fmt.Sprintf("sh -c 'echo $$ > %s; exec %s listen -k G -t 240 --delay 130'", pidFile, program), own(dir))
			s.until("WHO-ITU")
			s.tmux("send-keys", "Enter")
			s.until("turn 2") // one turn is over, and the pulse sounds
			b, err := os.ReadFile(pidFile)
			require.NoError(t, err)
			pid := strings.TrimSpace(string(b))
			if how == closed {
				s.tmux("kill-server")
			} else {
				require.NoError(t, exec.Command("kill", "-"+how, pid).Run())
				screen := s.until("status 0")
				assert.Contains(t, screen, "the take is in")
				s.restored()
			}
			for range 300 { // only a test that has failed waits long
				if exec.Command("kill", "-0", pid).Run() != nil {
					break
				}
				time.Sleep(100 * time.Millisecond)
			}
			require.Error(t, exec.Command("kill", "-0", pid).Run(), "it still runs")

			kept, err := filepath.Glob(filepath.Join(dir, "bordon", "takes", "*", take.JSONName))
			require.NoError(t, err)
			require.Len(t, kept, 1)
			stored, err := take.Load(filepath.Dir(kept[0]))
			require.NoError(t, err)
			require.NotEmpty(t, stored.Take.Check.Beats, "what was judged is kept")
			assert.Greater(t, stored.Take.Length, 3.0)
			differs, err := stored.Recheck(context.Background(), takeWords)
			require.NoError(t, err)
			assert.False(t, differs, "the sound is all there")
		})
	}
}
