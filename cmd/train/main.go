// Train makes the ear's weights from rendered playing.
//
//	cmd/train/material.sh
//	go run -tags openblas ./cmd/train -material build/material
//
// It is deterministic: the same seed, material and number of workers give the
// same file on the same kind of processor. The tag openblas multiplies by
// OpenBLAS (Debian's libopenblas-dev), some eight times as fast; without it
// gonum does. With the tag cuda, an NVIDIA card and a library built as cuda.cu
// says, named by BORDON_CUDA, it trains on more examples than memory holds:
//
//	train -material build/material -render FOLDER -takes 20000
//	train -material build/material -examples FOLDER -from dsp/ear.weights -takes 120 -batch 4096
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
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
	decay := flag.Float64("decay", 1e-5, "share of the weights that each step at the full rate takes off them, by the rate")
	material := flag.String("material", "", "folder of recorded instruments, as material.sh makes it; without it all is synthesised")
	only := flag.String("only", "short,long,early", "looks to train, in that order")
	wide := flag.String("wide", "", "widths that the long look's net grows to, as 144,24,320: units of a pitch, what they pass on, units of all")
	wideShort := flag.String("wide-short", "", "widths that the short look's net grows to")
	from := flag.String("from", "", "weights to go on from (default: drawn anew)")
	mean := flag.String("mean", "", "looks, such as short,long, of whose weights the mean of those begun from and those learned is kept where it does better on takes unseen")
	workers := flag.Int("workers", runtime.NumCPU(), "goroutines")
	render := flag.String("render", "", "write the examples to files in this folder, and do no more")
	folder := flag.String("examples", "", "folder of such files to learn from, on an NVIDIA card: see cuda.cu; -takes then says how many to measure on, and -from where to go on")
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
	if *render != "" {
		return shard(*render, *seed, *takes, all, *workers, os.Stdout)
	}
	begin := time.Now()
	var examples []*example
	train, unheard := func(net *dsp.Net, look int, p plan, log io.Writer, save func() error) error {
		return learn(net, examples, look, p, log, save)
	}, *takes
	switch {
	case *folder == "":
		var t tally
		if examples, t, err = gather(*seed, 0, *takes, all, *workers); err != nil {
			return err
		}
		unheard = min(max(1, *takes/20), 120)
		fmt.Printf("%d examples, %d of a note; %.1f looks a second; the gate missed %d of %d bass notes; %.0f s\n",
			len(examples), sounded(examples), float64(t.looks)/float64(*takes*takeSeconds), t.unheard, t.bass, time.Since(begin).Seconds())
	case *from == "":
		return fmt.Errorf("train on the examples in %q: -from must name the weights to go on from", *folder)
	default:
		if train, err = onDevice(*folder); err != nil {
			return err
		}
	}
	unseen, _, err := gather(*seed+1000, 0, unheard, all, *workers)
	if err != nil {
		return err
	}
	w, err := begun(*from, *seed)
	if err != nil {
		return err
	}
	grown := map[int]dsp.Widths{early: w.Early.Widths}
	if grown[long], err = widths(*wide, w.Long.Widths); err != nil {
		return err
	}
	if grown[short], err = widths(*wideShort, w.Short.Widths); err != nil {
		return err
	}
	p := plan{epochs: *epochs, batch: *batch, rate: *rate, decay: *decay, without: 0.04, workers: *workers, seed: *seed}
	save := func() error { return os.WriteFile(*out, w.Marshal(), 0o644) }
	if *from == "" {
		if *wideShort != "" {
			return errors.New("train from nothing: only weights gone on from (-from) are widened by -wide-short")
		}
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
	for name := range strings.SplitSeq(*only, ",") {
		l, ok := map[string]struct {
			look int
			net  *dsp.Net
		}{"short": {short, &w.Short}, "long": {long, &w.Long}, "early": {early, &w.Early}}[name]
		if !ok {
			return fmt.Errorf("train the look %q: there are short, long and early", name)
		}
		p := p
		if *from == "" && l.look != short {
			*l.net = *widen(&w.Short, w.Short.Widths, nil)
			p.epochs, p.rate = (3*p.epochs+3)/4, p.rate/2
		}
		if *from != "" || l.look != early {
			*l.net = *widen(l.net, grown[l.look], rand.New(rand.NewPCG(*seed, 101)))
		}
		before := widen(l.net, l.net.Widths, nil)
		fmt.Printf("%s look; unseen so far: %s; %.0f s\n", name, measure(before, unseen, l.look, *workers), time.Since(begin).Seconds())
		if err := train(l.net, l.look, p, os.Stdout, save); err != nil {
			return err
		}
		learned := measure(l.net, unseen, l.look, *workers)
		fmt.Printf("unseen: %s; %.0f s\n", learned, time.Since(begin).Seconds())
		if !slices.Contains(strings.Split(*mean, ","), name) {
			continue
		}
		average(before, l.net)
		both := measure(before, unseen, l.look, *workers)
		fmt.Printf("the mean: %s\n", both)
		if both.class < learned.class {
			*l.net = *before
			if err := save(); err != nil {
				return err
			}
		}
	}
	fmt.Printf("%.0f s in all\n", time.Since(begin).Seconds())
	return nil
}

// sounded is how many of the examples are of a note.
func sounded(examples []*example) (n int) {
	for _, ex := range examples {
		if ex.class > 0 {
			n++
		}
	}
	return n
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
