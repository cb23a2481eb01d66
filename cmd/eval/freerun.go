package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"runtime/debug"
	"sync"
	"time"

	"bordon/fixtures"
)

// freeOutcome is a free take as it was read.
type freeOutcome struct {
	entry   *freeEntry
	take    fixtures.FreeTake
	follow  found
	figures *freeFigures
	lists   [5]beatLists
}

// runFree plays and reads every take; the outcomes come in the order of the
// entries, however many work at them.
func runFree(entries []*freeEntry, follow reading, with ear, workers int, progress func(done int)) ([]*freeOutcome, error) {
	out := make([]*freeOutcome, len(entries))
	errs := make([]error, len(entries))
	next := make(chan int)
	var mu sync.Mutex
	done := 0
	var wg sync.WaitGroup
	for range max(1, workers) {
		wg.Go(func() {
			for i := range next {
				out[i], errs[i] = readFree(entries[i], follow, with)
				mu.Lock()
				done++
				progress(done)
				mu.Unlock()
			}
		})
	}
	for i := range entries {
		next <- i
	}
	close(next)
	wg.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return out, nil
}

func readFree(e *freeEntry, follow reading, with ear) (*freeOutcome, error) {
	take, x, err := e.sound()
	if err != nil {
		return nil, err
	}
	given, err := givenGrid(take, x, with)
	if err != nil {
		return nil, err
	}
	got, err := follow(take, x, with)
	if err != nil {
		return nil, err
	}
	if len(take.Segments) > 0 {
		if got.key, err = keyNamed(take, x); err != nil {
			return nil, err
		}
	}
	o := &freeOutcome{entry: e, take: take, follow: got, figures: measureFree(take, given, got)}
	var aubio []float64
	if aubioAvailable() == nil && len(take.Segments) > 0 {
		if aubio, err = aubioBeats(x, freeRate); err != nil {
			return nil, err
		}
	}
	o.lists = lists(take, got, aubio)
	return o, nil
}

// scoreFree gives every outcome its F-measures, by mir_eval where that is
// installed.
func scoreFree(all []*freeOutcome) (by string, err error) {
	var flat []beatLists
	for _, o := range all {
		flat = append(flat, o.lists[:]...)
	}
	by = "mir_eval.beat.f_measure, nothing trimmed"
	scores, err := scoreBeats(flat)
	if errors.Is(err, errMIREval) {
		by, err = "this program's own count, for "+err.Error(), nil
		for _, l := range flat {
			scores = append(scores, l.fMeasure())
		}
	}
	if err != nil {
		return by, err
	}
	aubio := aubioAvailable() == nil
	for i, o := range all {
		if len(o.take.Segments) == 0 {
			continue
		}
		s, f := scores[5*i:5*i+5], o.figures
		f.beats, f.inside = []float64{s[0]}, []float64{s[2]}
		if len(o.lists[1].Reference) > 0 {
			f.downs = []float64{s[1]}
		}
		if aubio {
			f.aubioBeats, f.aubioInside = []float64{s[3]}, []float64{s[4]}
		}
	}
	return by, nil
}

// freeTakes runs what the options ask of the free takes.
func (o *options) freeTakes(cfg matrixConfig, e ear, stdout, stderr io.Writer) error {
	all, absent, err := guitars()
	if err != nil {
		return err
	}
	conds, cannot := availableFree(freeConditions())
	absent = append(absent, cannot...)
	if err := aubioAvailable(); err != nil {
		absent = append(absent, missing{"aubio", err.Error()})
	}
	for _, m := range absent {
		fmt.Fprintf(stderr, "eval: %s is left out: %s\n", m.Name, m.Why)
	}
	entries := freeEntries(cfg, conds, all)
	if len(entries) == 0 {
		return fmt.Errorf("%w: no kind of free take and instrument match", errUsage)
	}
	r := &freeReport{absent: absent, halves: cfg.halves, settings: runSettings{Seed: o.seed, Takes: o.takes, Weights: "built in", Without: o.without, Blind: o.blind}}
	if o.weights != "" {
		r.settings.Weights = o.weights
	}
	if r.outcomes, err = runFree(entries, followed, e, o.workers, progress(stderr, "free takes", len(entries))); err != nil {
		return err
	}
	if r.by, err = scoreFree(r.outcomes); err != nil {
		return err
	}
	if r.speed, err = freeSpeed(entries[0], e); err != nil {
		return err
	}
	for _, w := range worstFree(r.outcomes, o.worst) {
		r.worst = append(r.worst, w)
		if o.keep != "" {
			if err := keepFree(o.keep, w.entry); err != nil {
				return err
			}
		}
	}
	if o.json {
		return r.json(stdout)
	}
	r.text(stdout)
	return nil
}

// freeSpeed is how many times faster than real time a take is followed on one
// core, at the best of three.
func freeSpeed(e *freeEntry, with ear) (float64, error) {
	take, x, err := e.sound()
	if err != nil {
		return 0, err
	}
	debug.FreeOSMemory() // what the takes before left behind is not this one's
	best := math.Inf(1)
	for range 3 {
		start := time.Now()
		if _, err := followed(take, x, with); err != nil {
			return 0, err
		}
		best = min(best, time.Since(start).Seconds())
	}
	return float64(len(x)) / freeRate / best, nil
}

// keepFree writes a take to a folder, its sound and its truth.
func keepFree(dir string, e *freeEntry) error {
	take, x, err := e.sound()
	if err != nil {
		return err
	}
	return keepAs(dir, e.name(), x, freeRate, take)
}
