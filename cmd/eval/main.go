package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"runtime"
	"time"

	"bordon/dsp"

	"github.com/mattn/go-isatty"
)

func main() {
	err := run(os.Args[1:], os.Stdout, os.Stderr)
	switch {
	case errors.Is(err, flag.ErrHelp):
	case errors.Is(err, errUsage):
		fmt.Fprintln(os.Stderr, "eval:", err)
		os.Exit(2)
	case err != nil:
		fmt.Fprintln(os.Stderr, "eval:", err)
		os.Exit(1)
	}
}

var errUsage = errors.New("wrong usage")

// options are the command line.
type options struct {
	quick, parts, json, blind   bool
	free                        bool
	takes, workers, worst       int
	seed                        uint64
	half, weights, without      string
	condition, instrument, keep string
}

func parse(args []string, stderr io.Writer) (options, error) {
	var o options
	var format string
	f := flag.NewFlagSet("eval", flag.ContinueOnError)
	f.SetOutput(stderr)
	f.IntVar(&o.takes, "takes", 0, "takes of each condition in each half of the seeds, 1 to 1000 (6, of free takes 2)")
	f.BoolVar(&o.quick, "quick", false, "one short take of each condition in the second half, in under a minute")
	f.BoolVar(&o.free, "free", false, "measure takes played free instead: no tempo and no first beat is told")
	f.StringVar(&o.half, "half", "", "of the seeds: tuned, not-tuned or both (both, or with -quick not-tuned)")
	f.Uint64Var(&o.seed, "seed", 1, "of the whole matrix")
	f.StringVar(&o.condition, "condition", "", "only conditions whose names match this expression")
	f.StringVar(&o.instrument, "instrument", "", "only instruments whose names match this expression")
	f.StringVar(&o.weights, "weights", "", "file of the ear's weights to measure instead of the built-in ones")
	f.StringVar(&o.without, "without", "", "parts of the ear to switch off: spectra, past, autocorrelation, shape, with commas between")
	f.BoolVar(&o.blind, "line-unknown", false, "weigh all notes alike, whatever is asked for")
	f.BoolVar(&o.parts, "parts", false, "also show what each part of the ear gives")
	f.IntVar(&o.worst, "worst", 0, "also show that many takes that are got most wrong")
	f.StringVar(&o.keep, "keep", "", "folder to keep those takes in, as WAV files with their truth")
	f.StringVar(&format, "format", "text", "text or json")
	f.IntVar(&o.workers, "workers", runtime.NumCPU(), "how many takes are rendered and judged at once")
	if err := f.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return o, err
		}
		return o, fmt.Errorf("%w: %w", errUsage, err)
	}
	switch given := false; {
	case o.quick:
		o.takes = 1
	default:
		f.Visit(func(g *flag.Flag) { given = given || g.Name == "takes" })
		if !given {
			o.takes = 6
			if o.free {
				o.takes = 2
			}
		}
	}
	if o.half == "" {
		o.half = "both"
		if o.quick {
			o.half = "not-tuned"
		}
	}
	o.json = format == "json"
	switch {
	case f.NArg() > 0:
		return o, fmt.Errorf("%w: %q is no flag; eval takes nothing else", errUsage, f.Arg(0))
	case o.takes < 1 || o.takes > 1000:
		return o, fmt.Errorf("%w: %d takes, it must be 1 to 1000", errUsage, o.takes)
	case o.worst < 0:
		return o, fmt.Errorf("%w: %d worst takes, it must be 0 or more", errUsage, o.worst)
	case o.free && o.parts:
		return o, fmt.Errorf("%w: -parts is of takes to a pulse; leave -free or -parts out", errUsage)
	case o.keep != "" && o.worst == 0:
		return o, fmt.Errorf("%w: -keep keeps the worst takes; say how many with -worst", errUsage)
	case format != "text" && format != "json":
		return o, fmt.Errorf("%w: format %q, it must be text or json", errUsage, format)
	}
	return o, nil
}

// config reads what the options say of the matrix.
func (o *options) config() (matrixConfig, error) {
	cfg := matrixConfig{seed: o.seed, takes: o.takes, short: o.quick}
	switch o.half {
	case "tuned":
		cfg.halves = []half{tunedOn}
	case "not-tuned":
		cfg.halves = []half{notTunedOn}
	case "both":
		cfg.halves = []half{tunedOn, notTunedOn}
	default:
		return cfg, fmt.Errorf("%w: half %q, it must be tuned, not-tuned or both", errUsage, o.half)
	}
	for _, p := range []struct {
		to   **regexp.Regexp
		from string
	}{{&cfg.conditions, o.condition}, {&cfg.guitars, o.instrument}} {
		if p.from == "" {
			continue
		}
		re, err := regexp.Compile(p.from)
		if err != nil {
			return cfg, fmt.Errorf("%w: %w", errUsage, err)
		}
		*p.to = re
	}
	return cfg, nil
}

func (o *options) ear() (ear, error) {
	var e ear
	var err error
	if e.without, err = parseParts(o.without); err != nil {
		return e, fmt.Errorf("%w: %w", errUsage, err)
	}
	e.blind = o.blind
	if o.weights != "" {
		data, err := os.ReadFile(o.weights)
		if err != nil {
			return e, fmt.Errorf("read the ear's weights: %w", err)
		}
		if e.weights, err = dsp.ParseWeights(data); err != nil {
			return e, fmt.Errorf("%s: %w", o.weights, err)
		}
	}
	return e, nil
}

func run(args []string, stdout, stderr io.Writer) error {
	o, err := parse(args, stderr)
	if err != nil {
		return err
	}
	cfg, err := o.config()
	if err != nil {
		return err
	}
	e, err := o.ear()
	if err != nil {
		return err
	}
	if o.free {
		return o.freeTakes(cfg, e, stdout, stderr)
	}
	r, err := o.measure(cfg, e, stderr)
	if err != nil {
		return err
	}
	worstOnes := worst(r.outcomes, o.worst)
	if o.keep != "" {
		for _, w := range worstOnes {
			if err := keep(o.keep, w.entry); err != nil {
				return err
			}
		}
	}
	if o.json {
		return r.json(stdout)
	}
	r.text(stdout)
	for _, w := range worstOnes {
		faults(stdout, w)
	}
	return nil
}

// measure runs all that the options ask for.
func (o *options) measure(cfg matrixConfig, e ear, stderr io.Writer) (*report, error) {
	all, absent, err := guitars()
	if err != nil {
		return nil, err
	}
	conds, cannot := available(conditions())
	absent = append(absent, cannot...)
	for _, m := range absent {
		fmt.Fprintf(stderr, "eval: %s is left out: %s\n", m.Name, m.Why)
	}
	entries := matrix(cfg, conds, all)
	if len(entries) == 0 {
		return nil, fmt.Errorf("%w: no condition and instrument match", errUsage)
	}
	r := &report{absent: absent, halves: cfg.halves, speed: math.NaN(),
		settings: runSettings{Seed: o.seed, Takes: o.takes, Weights: "built in", Without: o.without, Blind: o.blind}}
	if o.weights != "" {
		r.settings.Weights = o.weights
	}
	heard, err := runAll(entries, []ear{e}, o.workers, progress(stderr, "takes", len(entries)))
	if err != nil {
		return nil, err
	}
	r.outcomes = heard[0]
	if o.parts {
		var some []*entry
		for _, e := range entries {
			if g := e.cond.group; (g == "base" || g == "random") && e.half == cfg.halves[len(cfg.halves)-1] && !e.guitar.apart {
				some = append(some, e)
			}
		}
		var ears []ear
		r.variants, ears = variants(e)
		if r.parts, err = runAll(some, ears, o.workers, progress(stderr, "takes without parts", len(some))); err != nil {
			return nil, err
		}
	}
	if o.condition == "" && o.instrument == "" {
		// Of what cannot be had the conditions have told already.
		if r.alone, _, err = hearAlone(o.seed, min(o.takes, 4), e); err != nil {
			return nil, err
		}
	}
	r.speed, err = speed(entries[0], e)
	return r, err
}

// progress shows on a terminal how far the run has come.
func progress(w io.Writer, what string, total int) func(int) {
	f, ok := w.(*os.File)
	if !ok || !isatty.IsTerminal(f.Fd()) {
		return func(int) {}
	}
	return func(done int) {
		fmt.Fprintf(w, "\r%d of %d %s", done, total, what)
		if done == total {
			fmt.Fprint(w, "\r\033[K")
		}
	}
}

// speed is how many times faster than real time a take is judged, at the best
// of three.
func speed(e *entry, with ear) (float64, error) {
	take, x, rate, err := e.sound()
	if err != nil {
		return 0, err
	}
	best := math.Inf(1)
	for range 3 {
		start := time.Now()
		if _, err := judge(take, x, rate, with); err != nil {
			return 0, err
		}
		best = min(best, time.Since(start).Seconds())
	}
	return float64(len(x)) / float64(rate) / best, nil
}
