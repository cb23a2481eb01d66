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
	program := compiled(b)
	take, err := fixtures.Generate(fixtures.Spec{Name: "ten minutes", Key: "G", Tempo: 104, FirstBeat: 0.5, Turns: 86,
		Texture: fixtures.Rolled, Strums: true, Golpes: true, Guitar: pluck.Classic(), Seed: 1})
	require.NoError(b, err)
	x, err := take.Render(demoRate)
	require.NoError(b, err)
	file := filepath.Join(b.TempDir(), "take.wav")
	require.NoError(b, os.WriteFile(file, wav16(demoRate, x), 0o600))
	seconds := float64(len(x)) / demoRate

	var ours, theirs float64
	var memory float64
	n := 0
	for b.Loop() {
		mine, used := spent(b, program, append(append([]string{"check", "--format", "json"}, flagsOf(take)...), file)...)
		yin, _ := spent(b, aubio, "-i", file, "-p", "yinfft", "-B", "4096", "-H", "512")
		ours, theirs, memory = ours+mine, theirs+yin, max(memory, used)
		n++
	}
	b.ReportMetric(seconds*float64(n)/ours, "x-real-time")
	b.ReportMetric(seconds*float64(n)/theirs, "aubio-x-real-time")
	b.ReportMetric(theirs/ours, "times-aubio")
	b.ReportMetric(memory, "MB-resident")
}

// BenchmarkCheckFree judges one take of each kind of those played free on one
// core, told neither tempo nor first beat.
func BenchmarkCheckFree(b *testing.B) {
	program, dir := compiled(b), b.TempDir()
	var calls [][]string
	seconds := 0.0
	for i, kind := range fixtures.FreeKinds() {
		spec, err := fixtures.DrawFree(kind, pluck.Classic(), uint64(i+1))
		require.NoError(b, err)
		take, err := fixtures.Free(spec)
		require.NoError(b, err)
		x, err := take.Sound(fixtures.Synthesised{}, demoRate)
		require.NoError(b, err)
		file := filepath.Join(dir, fmt.Sprintf("%d.wav", i))
		require.NoError(b, os.WriteFile(file, wav16(demoRate, x), 0o600))
		calls = append(calls, []string{"check", "--format", "json", "--key", take.Key, "--form", take.Form, "--line", take.Line, file})
		seconds += float64(len(x)) / demoRate
	}
	ours, n := 0.0, 0
	for b.Loop() {
		for _, args := range calls {
			mine, _ := spent(b, program, args...)
			ours += mine
		}
		n++
	}
	b.ReportMetric(seconds*float64(n)/ours, "x-real-time")
}

// compiled is the program as a file.
func compiled(b *testing.B) string {
	program := filepath.Join(b.TempDir(), "bordon")
	out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput()
	require.NoError(b, err, string(out))
	return program
}

// spent are the processor seconds that a command takes on one core, and the
// memory in MB that it has at most.
func spent(b *testing.B, name string, args ...string) (processor, memory float64) {
	cmd := exec.Command(name, args...)
	cmd.Env = append(os.Environ(), "GOMAXPROCS=1")
	require.NoError(b, cmd.Start())
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	for {
		select {
		case err := <-ended:
			require.NoError(b, err, "%s %q", name, args)
			s := cmd.ProcessState
			return s.UserTime().Seconds() + s.SystemTime().Seconds(), memory
		case <-time.After(100 * time.Millisecond):
			memory = max(memory, resident(cmd.Process.Pid))
		}
	}
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
