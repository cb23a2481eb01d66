//go:build linux

package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bordon/dsp/pluck"
	"bordon/fixtures"

	"github.com/stretchr/testify/require"
)

// BenchmarkCheckBesideAubio judges ten minutes of rolled arpeggios and strums
// from a file on one core, and beside it lets aubio (Debian's aubio-tools)
// follow a single pitch through the same file: processor seconds of both, and
// the memory that the check took.
func BenchmarkCheckBesideAubio(b *testing.B) {
	aubio, err := exec.LookPath("aubiopitch")
	if err != nil {
		b.Skip("aubiopitch is not installed (Debian's package aubio-tools)")
	}
	dir := b.TempDir()
	program := filepath.Join(dir, "bordon")
	out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput()
	require.NoError(b, err, string(out))
	take, err := fixtures.Generate(fixtures.Spec{Name: "ten minutes", Key: "G", Tempo: 104, FirstBeat: 0.5, Turns: 86,
		Texture: fixtures.Rolled, Strums: true, Golpes: true, Guitar: pluck.Classic(), Seed: 1})
	require.NoError(b, err)
	x, err := take.Render(demoRate)
	require.NoError(b, err)
	file := filepath.Join(dir, "take.wav")
	require.NoError(b, os.WriteFile(file, wav16(demoRate, x), 0o600))
	seconds := float64(len(x)) / demoRate

	run := func(name string, args ...string) (processor, memory float64) {
		cmd := exec.Command(name, args...)
		cmd.Env = append(os.Environ(), "GOMAXPROCS=1")
		require.NoError(b, cmd.Start())
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		for {
			select {
			case err := <-ended:
				require.NoError(b, err, name)
				s := cmd.ProcessState
				return s.UserTime().Seconds() + s.SystemTime().Seconds(), memory
			case <-time.After(100 * time.Millisecond):
				memory = max(memory, resident(cmd.Process.Pid))
			}
		}
	}
	var ours, theirs float64
	var memory float64
	n := 0
	for b.Loop() {
		mine, used := run(program, append(append([]string{"check", "--format", "json"}, flagsOf(take)...), file)...)
		yin, _ := run(aubio, "-i", file, "-p", "yinfft", "-B", "4096", "-H", "512")
		ours, theirs, memory = ours+mine, theirs+yin, max(memory, used)
		n++
	}
	b.ReportMetric(seconds*float64(n)/ours, "x-real-time")
	b.ReportMetric(seconds*float64(n)/theirs, "aubio-x-real-time")
	b.ReportMetric(theirs/ours, "times-aubio")
	b.ReportMetric(memory, "MB-resident")
}

// resident is the most memory in MB that a process has had so far since it
// became what it is; what wait tells counts the process that started it, too.
func resident(pid int) float64 {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0
	}
	_, after, _ := strings.Cut(string(status), "VmHWM:")
	var kB float64
	fmt.Sscan(after, &kB)
	return kB * 1024 / 1e6
}
