// Eval measures the ear and the judge on rendered takes whose truth is known.
package main

import (
	"flag"
	"fmt"
	"os"

	"bordon/fixtures"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "eval:", err)
		os.Exit(1)
	}
}

func run() error {
	verbose := flag.Bool("v", false, "name every wrong verdict")
	flag.Parse()
	takes, err := fixtures.Scenario()
	if err != nil {
		return err
	}
	var all figures
	for _, t := range takes {
		x, err := t.Render(44100)
		if err != nil {
			return err
		}
		j, err := judge(t, x, 44100)
		if err != nil {
			return err
		}
		var f figures
		f.take(j)
		row(t.Name, f)
		all.add(f)
	}
	row("all", all)
	if *verbose {
		for _, w := range all.wrong {
			h := "-"
			if w.p.beat.Heard != nil {
				h = fmt.Sprintf("%s %.2f %+.0f ms", w.p.beat.Heard.Name, w.p.beat.Heard.Confidence, 1000*(w.p.beat.Heard.Time-w.p.truth.Due))
			}
			fmt.Printf("%-28s turn %d beat %-4s asked %d played %d (%s) said %s, heard %s\n", w.take, w.p.truth.Turn, w.p.truth.Beat, w.p.truth.Asked, w.p.truth.MIDI, w.p.truth.Mistake, w.p.beat.Pitch, h)
		}
	}
	return nil
}

func row(name string, f figures) {
	fmt.Printf("%-30s beats %4d right %6.2f cover %6.2f ident %6.2f accused %5.2f letoff %5.2f time %5.2f/%5.2f extra %.2f onset %.1f/%.1f delay %.0f/%.0f lost %d\n", name, f.Beats,
		share(f.Right, f.Beats-f.Unsure), 100-share(f.Unsure, f.Beats), share(f.Named, f.Played), share(f.Accused, f.Good), share(f.LetOff, f.Bad),
		share(f.TimeAcc, f.InTime), share(f.TimeMiss, f.OffTime), float64(f.Extras)/float64(f.Turns),
		quantile(f.onset, 0.5), quantile(f.onset, 0.95), quantile(f.delay, 0.5), quantile(f.delay, 0.95), f.Lost)
}
