package main

import (
	"slices"
	"sync"

	"bordon/fixtures"
)

// outcome is an entry as one ear heard it.
type outcome struct {
	entry   *entry
	judged  judged
	figures figures
}

// runAll renders every entry once and has every ear judge it; the outcomes come
// by ear and then in the order of the entries, however many work at them.
func runAll(entries []*entry, ears []ear, workers int, progress func(done int)) ([][]outcome, error) {
	out := make([][]outcome, len(ears))
	for i := range out {
		out[i] = make([]outcome, len(entries))
	}
	errs := make([]error, len(entries))
	next := make(chan int)
	var mu sync.Mutex
	done := 0
	var wg sync.WaitGroup
	for range max(1, workers) {
		wg.Go(func() {
			for i := range next {
				errs[i] = hear(entries[i], ears, i, out)
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
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

func hear(e *entry, ears []ear, i int, out [][]outcome) error {
	take, x, rate, err := e.sound()
	if err != nil {
		return err
	}
	for k, ear := range ears {
		j, err := judge(take, x, rate, ear)
		if err != nil {
			return err
		}
		j.tuned = knownTuning(e.guitar)
		out[k][i] = outcome{e, j, measure(j)}
	}
	return nil
}

// knownTuning reports whether a guitar is a model whose strings agree.
func knownTuning(g *guitar) bool {
	if _, ok := g.play.(fixtures.Synthesised); !ok {
		return false
	}
	for _, s := range g.model.Strings {
		if s.Cents != 0 {
			return false
		}
	}
	return true
}

// group sums up outcomes by what of tells of each, in order of appearance;
// what it calls "" is passed over.
func group(all []outcome, of func(outcome) string) (names []string, sums map[string]*figures) {
	sums = map[string]*figures{}
	for _, o := range all {
		name := of(o)
		if name == "" {
			continue
		}
		if sums[name] == nil {
			sums[name] = &figures{}
			names = append(names, name)
		}
		sums[name].add(o.figures)
	}
	return names, sums
}

// worst are the n outcomes with the most faults, the worst first.
func worst(all []outcome, n int) []outcome {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b outcome) int { return len(b.figures.faults) - len(a.figures.faults) })
	sorted = sorted[:min(n, len(sorted))]
	return slices.DeleteFunc(sorted, func(o outcome) bool { return len(o.figures.faults) == 0 })
}
