package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/theory"
)

// beatWindow is how far a beat that was found may lie from the true one, in
// seconds (Davies, Degara & Plumbley, Evaluation methods for musical audio beat
// tracking algorithms, 2009; the default of mir_eval.beat.f_measure).
const beatWindow = 0.070

// beatLists are true beats and those that were found, in seconds, rising.
type beatLists struct {
	Reference []float64 `json:"reference"`
	Estimated []float64 `json:"estimated"`
}

// fMeasure is twice the beats that match over those of both lists: the most
// pairs within beatWindow of one another that share no beat. It is 0 where
// either list is empty, as in mir_eval.
func (b beatLists) fMeasure() float64 {
	matched, k := 0, 0
	for _, r := range b.Reference {
		for k < len(b.Estimated) && b.Estimated[k] < r-beatWindow {
			k++
		}
		// The earliest that is left serves best: later ones may serve later beats.
		if k < len(b.Estimated) && b.Estimated[k] <= r+beatWindow {
			matched++
			k++
		}
	}
	if matched == 0 {
		return 0
	}
	return 2 * float64(matched) / float64(len(b.Reference)+len(b.Estimated))
}

var errMIREval = errors.New("python3-mir-eval is missing (Debian's package of that name has it)")

// pythonWith is a Python that has a module: Debian's own, or the first on the
// path; "" where there is none.
func pythonWith(module string) string {
	for _, python := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(python, "-c", "import "+module).Run() == nil {
			return python
		}
	}
	return ""
}

// scoreBeats has mir_eval itself score the lists. Nothing is trimmed: by
// default its evaluation leaves out the first five seconds.
func scoreBeats(lists []beatLists) ([]float64, error) {
	python := pythonWith("mir_eval")
	if python == "" {
		return nil, errMIREval
	}
	const program = `
import json, sys, warnings
import numpy as np
import mir_eval
warnings.simplefilter("ignore")
print(json.dumps([float(mir_eval.beat.f_measure(np.array(l["reference"]), np.array(l["estimated"]))) for l in json.load(sys.stdin)]))
`
	in, err := json.Marshal(lists)
	if err != nil {
		return nil, fmt.Errorf("score beats with mir_eval: %w", err)
	}
	var out, said bytes.Buffer
	cmd := exec.Command(python, "-c", program)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(in), &out, &said
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("score beats with mir_eval: %w: %.300q", err, said.Bytes())
	}
	var f []float64
	if err := json.Unmarshal(out.Bytes(), &f); err != nil || len(f) != len(lists) {
		return nil, fmt.Errorf("score beats with mir_eval: it wrote %.100q", out.Bytes())
	}
	return f, nil
}

// aubioAvailable is nil where aubiotrack can be run.
func aubioAvailable() error {
	if _, err := exec.LookPath("aubiotrack"); err != nil {
		return errors.New("aubiotrack is missing: Debian's package aubio-tools has it")
	}
	return nil
}

// aubioBeats are the beats that aubiotrack finds, as it comes.
func aubioBeats(x []float32, rate int) ([]float64, error) {
	fail := func(err error) ([]float64, error) { return nil, fmt.Errorf("run aubiotrack: %w", err) }
	dir, err := os.MkdirTemp("", "beats")
	if err != nil {
		return fail(err)
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "take.wav")
	if err := os.WriteFile(file, wav(x, rate), 0o666); err != nil {
		return fail(err)
	}
	var said bytes.Buffer
	cmd := exec.Command("aubiotrack", "-i", file)
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil {
		return fail(fmt.Errorf("%w: %.200q", err, said.Bytes()))
	}
	var beats []float64
	for _, word := range strings.Fields(string(out)) {
		if v, err := strconv.ParseFloat(word, 64); err == nil && !math.IsNaN(v) && (len(beats) == 0 || v > beats[len(beats)-1]) {
			beats = append(beats, v)
		}
	}
	return beats, nil
}

// trueBeats are the beats of a take, or only those numbered 1, from the first
// in each segment that is struck to the last.
func trueBeats(t fixtures.FreeTake, downbeats bool) []float64 {
	out := []float64{}
	for _, s := range t.Segments {
		out = append(out, within(timesOf(s.Beats, downbeats), []stretch{struck(t, s)})...)
	}
	return out
}

// struck is a segment from where the hand first strikes in it to where it last
// does, a little more than it strays either way.
func struck(t fixtures.FreeTake, s fixtures.Segment) stretch {
	out := stretch{math.Inf(1), math.Inf(-1)}
	for _, e := range t.Events {
		if e.Kind != pluck.Damp && e.At >= s.Beats[0].Time-beatWindow && e.At < s.End-beatWindow {
			out.from, out.to = math.Min(out.from, e.At-beatWindow), math.Max(out.to, e.At+beatWindow)
		}
	}
	if out.from > out.to { // a false start without a sound
		out.from, out.to = s.End-beatWindow, s.End-beatWindow
	}
	return out
}

func timesOf(beats []fixtures.FreeBeat, downbeats bool) []float64 {
	out := []float64{}
	for _, b := range beats {
		if !downbeats || b.Beat == 1 {
			out = append(out, b.Time)
		}
	}
	return out
}

// stretch is a piece of a recording, in seconds.
type stretch struct{ from, to float64 }

func (s stretch) holds(at float64) bool { return at >= s.from && at < s.to }

// disputed are the stretches in which a beat is neither right nor wrong: where
// taps count in, in a segment before anything is struck and after the last that
// is, and after a landing on which a player may end, to the end of its turn.
func disputed(t fixtures.FreeTake) []stretch {
	var out []stretch
	for _, a := range t.Asides {
		if a.Kind == fixtures.Taps {
			out = append(out, stretch{a.From - beatWindow, a.To - beatWindow})
		}
	}
	form, err := theory.LookupForm(t.Form)
	if err != nil {
		return out
	}
	for _, s := range t.Segments {
		in := struck(t, s)
		out = append(out, stretch{s.Beats[0].Time - beatWindow, in.from}, stretch{in.to, s.End - beatWindow})
		if last := s.Beats[len(s.Beats)-1]; last.Beat == form.LandsOn && last.Beat < form.Beats {
			unit := (s.End - last.Time) / float64(form.Length(last.Beat))
			rest := form.Units(float64(form.Beats)) - form.Units(float64(last.Beat))
			out = append(out, stretch{s.End - beatWindow, s.End + (rest-0.5)*unit})
		}
	}
	return out
}

// within keeps the times that lie in one of the stretches; without drops them.
func within(at []float64, in []stretch) []float64 { return sift(at, in, true) }

func without(at []float64, in []stretch) []float64 { return sift(at, in, false) }

func sift(at []float64, in []stretch, keep bool) []float64 {
	out := []float64{}
	for _, v := range at {
		inside := false
		for _, s := range in {
			inside = inside || s.holds(v)
		}
		if inside == keep {
			out = append(out, v)
		}
	}
	return out
}

// inCompas are the stretches that are in compás.
func inCompas(t fixtures.FreeTake) []stretch {
	var out []stretch
	for _, s := range t.Segments {
		out = append(out, stretch{s.Beats[0].Time - beatWindow, s.End - beatWindow})
	}
	return out
}
