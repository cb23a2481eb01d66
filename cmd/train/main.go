// Train makes the ear's weights from rendered playing.
//
//	cmd/train/material.sh
//	go run -tags openblas ./cmd/train -material build/material
//
// It is deterministic: the same seed, material and number of workers give the
// same file on the same kind of processor. The tag openblas multiplies by
// OpenBLAS (Debian's libopenblas-dev), some eight times as fast; without it
// gonum does.
package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strings"
	"time"

	"bordon/dsp"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "train:", err)
		os.Exit(1)
	}
}

func run() error {
	takes := flag.Int("takes", 900, "takes of 20 seconds to render")
	epochs := flag.Int("epochs", 8, "passes over the examples")
	seed := flag.Uint64("seed", 1, "of everything that is drawn")
	out := flag.String("out", "dsp/ear.weights", "where the weights go")
	batch := flag.Int("batch", 256, "examples a step")
	rate := flag.Float64("rate", 2e-3, "of the steps at the start")
	material := flag.String("material", "", "folder of recorded instruments, as material.sh makes it; without it all is synthesised")
	only := flag.String("only", "", "train one look alone: early, short or long")
	from := flag.String("from", "", "weights to go on from (default: drawn anew)")
	mean := flag.String("mean", "", "looks, such as short,long, of whose weights the mean of those begun from and those learned is kept")
	workers := flag.Int("workers", runtime.NumCPU(), "goroutines")
	notes := flag.String("record", "", "write the notes of a SoundFont's programs to this folder, and do no more")
	flag.Parse()
	if *notes != "" {
		return record(*notes)
	}

	guitars, others, err := taught(*material)
	if err != nil {
		return err
	}
	voices, err := heard(*material)
	if err != nil {
		return err
	}
	all := cast{mixture(guitars, others), voices}
	begin := time.Now()
	examples, t, err := gather(*seed, *takes, all, *workers)
	if err != nil {
		return err
	}
	unseen, _, err := gather(*seed+1000, max(1, *takes/20), all, *workers)
	if err != nil {
		return err
	}
	sounded := 0
	for i := range examples {
		if examples[i].class > 0 {
			sounded++
		}
	}
	fmt.Printf("%d examples, %d of a note; %.1f looks a second; the gate missed %d of %d bass notes; %.0f s\n",
		len(examples), sounded, float64(t.looks)/float64(*takes*takeSeconds), t.unheard, t.bass, time.Since(begin).Seconds())
	w, err := begun(*from, *seed)
	if err != nil {
		return err
	}
	p := plan{epochs: *epochs, batch: *batch, rate: *rate, decay: 1e-5, without: 0.04, workers: *workers, seed: *seed}
	save := func() error { return os.WriteFile(*out, w.Marshal(), 0o644) }
	if *from == "" {
		g := p
		g.epochs = min(3, p.epochs)
		said, err := learnGate(&w.Gate, examples, unseen, g)
		if err != nil {
			return err
		}
		fmt.Printf("gate:%s %.0f s\n", said, time.Since(begin).Seconds())
	}
	// What the short look makes of a spectrum holds for the others but for
	// details.
	for _, l := range []struct {
		name string
		look int
		net  *dsp.Net
	}{{"short", short, &w.Short}, {"long", long, &w.Long}, {"early", early, &w.Early}} {
		if *only != "" && *only != l.name {
			continue
		}
		p := p
		if *from == "" && l.look != short {
			copyNet(l.net, &w.Short)
			p.epochs, p.rate = (3*p.epochs+3)/4, p.rate/2
		}
		before := dsp.NewNet()
		copyNet(before, l.net)
		fmt.Printf("%s look\n", l.name)
		if err := learn(l.net, examples, l.look, p, os.Stdout, save); err != nil {
			return err
		}
		fmt.Printf("unseen: %s; %.0f s\n", measure(l.net, unseen, l.look), time.Since(begin).Seconds())
		if slices.Contains(strings.Split(*mean, ","), l.name) {
			average(l.net, before)
			fmt.Printf("the mean: %s\n", measure(l.net, unseen, l.look))
			if err := save(); err != nil {
				return err
			}
		}
	}
	fmt.Printf("%.0f s in all\n", time.Since(begin).Seconds())
	return nil
}

// begun are the weights of a file, or drawn ones.
func begun(file string, seed uint64) (*dsp.Weights, error) {
	if file != "" {
		b, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		return dsp.ParseWeights(b)
	}
	w := dsp.NewWeights()
	start(&w.Short, rand.New(rand.NewPCG(seed, 100)))
	return w, nil
}

func copyNet(to, from *dsp.Net) {
	parts := to.Parts()
	for i, p := range from.Parts() {
		copy(parts[i], p)
	}
}

// average makes n the mean of itself and another net that came from the same
// weights: it does better than either on what neither has seen (Izmailov et
// al., UAI 2018).
func average(n, other *dsp.Net) {
	parts := n.Parts()
	for i, p := range other.Parts() {
		for k, v := range p {
			parts[i][k] = (parts[i][k] + v) / 2
		}
	}
}
