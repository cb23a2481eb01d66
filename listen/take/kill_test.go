package take

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"bordon/listen"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Kills of TestKilledAtRandom; BORDON_KILLS asks for another number.
const kills = 20

func TestMain(m *testing.M) {
	if root := os.Getenv("BORDON_RECORD_IN"); root != "" {
		recordToBeKilled(root)
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// recordToBeKilled records the performance and tells how many samples were
// written, a line each time, until it is killed or done.
func recordToBeKilled(root string) {
	must := func(err error) {
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	x, err := performance()
	must(err)
	set, err := settings(listen.Take{Settings: listen.TakeSettings{Key: "G", Form: "alegrias", Line: "7:3 8:2 9:7 10:1",
		Tempo: 200, FirstBeat: 0.3 + 1./3000, A4: 440, Tolerance: "learning",
		Tempos: []listen.TempoChange{{Turn: 2, Tempo: 200.123456}}}})
	must(err)
	set.Delay, set.DelayKnown, set.Reason = 3.14159, true, testWords.Reason
	s, err := listen.NewSession(set, testRate)
	must(err)
	fmt.Println("begin")
	rec, err := Record(root, started, "G", testRate)
	must(err)
	must(rec.WriteJSON(s.Take(started, listen.Devices{}, WAVName)))
	src := &chunked{samples: x, onRead: func(at int) {
		fmt.Println(at)
		time.Sleep(100 * time.Microsecond)
	}}
	must(listen.Run(context.Background(), src, rec, s, func(e listen.Event) {
		if e.Kind == listen.TurnScore {
			rec.Describe(s.Take(started, listen.Devices{}, WAVName))
		}
	}))
	fmt.Println("closing")
	must(rec.Finish(s.Take(started, listen.Devices{}, WAVName), testWords.Cues(s)))
	fmt.Println("end")
}

// A recording process that is killed at any moment leaves a take that opens
// after the next start, with all that it had written and the verdicts of that.
func TestKilledAtRandom(t *testing.T) {
	n := kills
	if s := os.Getenv("BORDON_KILLS"); s != "" {
		var err error
		n, err = strconv.Atoi(s)
		require.NoError(t, err)
	} else if testing.Short() {
		n = 5
	}
	// How long it takes when nobody kills it.
	begun := time.Now()
	_, told := runAndKill(t, time.Hour, time.Hour)
	require.Equal(t, "end", told)
	usual := time.Since(begun)

	rng := rand.New(rand.NewSource(time.Now().UnixNano()))
	var stage [4]int // before there was a sound, while recording, after it, not at all
	worst := 0
	for i := range n {
		after, closing := time.Duration(rng.Float64()*1.05*float64(usual)), time.Hour
		if i%5 == 0 { // closing is short: every fifth kill is aimed at it
			after, closing = time.Hour, time.Duration(rng.Float64()*float64(8*time.Millisecond))
		}
		root, told := runAndKill(t, after, closing)
		written, err := strconv.Atoi(told)
		recording := err == nil
		_, err = Repair(context.Background(), root, testWords)
		require.NoError(t, err)
		ids, err := IDs(root)
		require.NoError(t, err)
		switch {
		case told == "end":
			stage[3]++
			written = len(played(t))
		case told == "closing":
			stage[2]++
			written = len(played(t))
		case !recording:
			stage[0]++
		default:
			stage[1]++
		}
		if len(ids) == 0 { // it had not begun to write
			require.Zero(t, written, "killed after %s", told)
			continue
		}
		require.Len(t, ids, 1)
		got := opens(t, filepath.Join(root, ids[0]), max(written-testRate, 0))
		worst = max(worst, written-got)
	}
	t.Logf("%d kills: %d before the first sample, %d while recording, %d while closing, %d too late; at most %d of %d samples a second lost",
		n, stage[0], stage[1], stage[2], stage[3], worst, testRate)
	assert.Positive(t, stage[1], "some while it recorded")
}

// runAndKill starts a recording process, kills it after a while, or a while
// after it began to close, and returns its folder and the last line that it
// told.
func runAndKill(t *testing.T, after, closing time.Duration) (root, told string) {
	t.Helper()
	root = t.TempDir()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "BORDON_RECORD_IN="+root)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	timer := time.AfterFunc(after, func() { cmd.Process.Kill() })
	defer timer.Stop()
	lines := bufio.NewReader(out)
	for {
		line, err := lines.ReadString('\n')
		if strings.HasSuffix(line, "\n") {
			told = strings.TrimSpace(line)
		}
		if told == "closing" {
			defer time.AfterFunc(closing, func() { cmd.Process.Kill() }).Stop()
		}
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
	}
	cmd.Wait()
	return root, told
}

// Another session that starts while one records leaves its take alone, also
// when both began in the same second.
func TestTwoSessionsAtOnce(t *testing.T) {
	root := t.TempDir()
	x := played(t)
	s, err := listen.NewSession(testSettings(t), testRate)
	require.NoError(t, err)
	first, err := Record(root, started, "G", testRate)
	require.NoError(t, err)
	require.NoError(t, first.WriteJSON(s.Take(started, listen.Devices{}, WAVName)))
	half := len(x) / 2
	require.NoError(t, first.Write(x[:half]))
	s.Write(x[:half])

	repaired, err := Repair(context.Background(), root, testWords)
	require.NoError(t, err)
	assert.Empty(t, repaired, "it still records")
	assert.ErrorContains(t, Delete(root, filepath.Base(first.Dir())), "is being recorded")
	_, second := record(t, root, &chunked{samples: x})
	assert.NotEqual(t, first.Dir(), second)
	opens(t, second, len(x))

	require.NoError(t, first.Write(x[half:]))
	s.Write(x[half:])
	s.Close()
	require.NoError(t, first.Finish(s.Take(started, listen.Devices{}, WAVName), testWords.Cues(s)))
	opens(t, first.Dir(), len(x))
	assert.Error(t, first.Finish(nil, nil))
}
