package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen"
	"bordon/listen/take"
)

// process reads a figure of /proc/PID/status: "VmRSS" in KiB, "Threads".
func process(t *testing.T, pid, figure string) int {
	t.Helper()
	b, err := os.ReadFile("/proc/" + pid + "/status")
	require.NoError(t, err)
	for line := range strings.Lines(string(b)) {
		if rest, ok := strings.CutPrefix(line, figure+":"); ok {
			n, err := strconv.Atoi(strings.Fields(rest)[0])
			require.NoError(t, err)
			return n
		}
	}
	t.Fatalf("no %s of process %s", figure, pid)
	return 0
}

// A long live run on a screen that is flooded with keys and changes of size:
// memory and threads stay, and no sample is lost. BORDON_LONG gives its
// minutes.
func TestSoundLongRun(t *testing.T) {
	inRoom(t)
	minutes, err := strconv.Atoi(os.Getenv("BORDON_LONG"))
	if err != nil || minutes < 1 {
		t.Skip("it takes its time: BORDON_LONG=30 gives its minutes")
	}
	dir := t.TempDir()
	at := filepath.Join(dir, "pid")
	s := openTerminal(t, 100, 30, fmt.Sprintf("sh -c 'echo $$ > %s; exec %s listen -k G -t 260 --contratiempo'", at, built(t)), own(dir))
	s.until("WHO-ITU")
	s.tmux("send-keys", "Enter")
	s.until("turn 2")
	b, err := os.ReadFile(at)
	require.NoError(t, err)
	pid := strings.TrimSpace(string(b))
	var memory, threads []int
	end := time.Now().Add(time.Duration(minutes) * time.Minute)
	for i := 0; time.Now().Before(end); i++ {
		s.tmux("send-keys", "?")
		s.tmux("resize-window", "-x", strconv.Itoa(60+i%60), "-y", strconv.Itoa(20+i%20))
		time.Sleep(50 * time.Millisecond)
		if i%200 == 0 {
			memory, threads = append(memory, process(t, pid, "VmRSS")), append(threads, process(t, pid, "Threads"))
		}
	}
	s.tmux("send-keys", "q")
	s.until("status 0")
	s.restored()
	t.Logf("KiB of memory %v; threads %v", memory, threads)
	half := len(memory) / 2
	// The verdicts of half an hour are some MB, and the heap breathes.
	assert.Less(t, memory[len(memory)-1]-memory[half], 20<<10, "KiB, over the second half")
	assert.LessOrEqual(t, threads[len(threads)-1]-threads[half], 3)
	kept, err := filepath.Glob(filepath.Join(dir, "bordon", "takes", "*", take.JSONName))
	require.NoError(t, err)
	require.Len(t, kept, 1)
	b, err = os.ReadFile(kept[0])
	require.NoError(t, err)
	var described listen.Take
	require.NoError(t, json.Unmarshal(b, &described))
	assert.Empty(t, described.Gaps, "no sample was lost")
	assert.Greater(t, described.Length, float64(60*minutes)-1)
}
