package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"bordon/listen/config"
	"bordon/listen/live"
	"bordon/listen/tune"
	"bordon/theory"
)

func (a *app) tuneCommand() *cobra.Command {
	f := setupFlags{seconds: 60, a4: 440, tuning: theory.Standard.String()}
	cmd := &cobra.Command{
		Use:   "tune",
		Short: "Hear the strings one by one and say how each stands",
		Long: `Hear the open strings, one plucked after the other while the others may ring on,
and say in words and cents how each stands. It ends by itself, or with ctrl-c.`,
		Example: `  bordon tune
  bordon tune --a4 442 --seconds 120
  bordon tune --tuning sixth-in-d --cejilla 3`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return a.tune(cmd.Context(), &f) },
	}
	fs := cmd.Flags()
	fs.StringVar(&f.input, "input", f.input, "microphone, by name, part of a name, or number")
	fs.Var(&whole{to: &f.seconds, such: "a number of seconds, such as 60"}, "seconds", "end after that many")
	fs.Var(&number{to: &f.a4, such: "the frequency of A4 in Hz, such as 440"}, "a4", "concert pitch in Hz, 415 to 466")
	fs.Var(&whole{to: &f.cejilla, such: "a fret, such as 3"}, "cejilla", "fret of the cejilla")
	fs.StringVar(&f.tuning, "tuning", f.tuning, "as for listen")
	for _, name := range []string{"input", "seconds", "a4", "cejilla"} {
		complete(cmd, name, nil)
	}
	complete(cmd, "tuning", []string{theory.Standard.String(), theory.SixthInD.String()})
	return cmd
}

func (a *app) tune(ctx context.Context, f *setupFlags) error {
	switch {
	case f.seconds < 1 || f.seconds > 3600:
		return fmt.Errorf("%d seconds are not usable; it must be 1 to 3600", f.seconds)
	case !(f.a4 >= 415 && f.a4 <= 466):
		return fmt.Errorf("a concert pitch of %v Hz is not usable; it must be 415 to 466", f.a4)
	case f.cejilla < 0 || f.cejilla > 12:
		return fmt.Errorf("a cejilla at fret %d is not usable; it must be 0 to 12", f.cejilla)
	}
	if _, err := theory.ParseTuning(f.tuning); err != nil {
		return err
	}
	o := &opener{a: a, input: f.input}
	if c, err := config.Load(a.config); err == nil && o.input == "" {
		o.input = c.Input
	}
	mic, _, err := o.open(ctx)
	if err != nil {
		return fail(err)
	}
	return fail(errors.Join(a.tuneStrings(ctx, mic, f), mic.Close()))
}

// tuneStrings hears the strings for a while: on a terminal a line a string that
// is written anew, elsewhere a line whenever a string was heard.
func (a *app) tuneStrings(ctx context.Context, mic live.Microphone, f *setupFlags) error {
	tuning := theory.Standard
	if f.tuning != "" {
		var err error
		if tuning, err = theory.ParseTuning(f.tuning); err != nil {
			return err
		}
	}
	t := tune.New(mic.Rate(), tuning, f.cejilla, f.a4)
	key, err := theory.ParseKey("C")
	if err != nil {
		return err
	}
	line := func(n int) string {
		r := t.String(n)
		return language.StringIs(n, key.Spell(tuning[n-1]+f.cejilla).String(), r.Cents, r.Heard)
	}
	fmt.Fprintln(a.stdout, language.TuneNow(f.seconds))
	screen := isTerminal(a.stdout)
	var shown [7]string
	draw := func(first bool) {
		if screen && !first {
			fmt.Fprint(a.stdout, "\x1b[6A")
		}
		for n := 6; n >= 1; n-- {
			s := line(n)
			if screen {
				fmt.Fprintf(a.stdout, "\r\x1b[K  %s\n", s)
			} else if !first && s != shown[n] {
				fmt.Fprintln(a.stdout, s)
			}
			shown[n] = s
		}
	}
	draw(true)
	err = hearFor(ctx, mic, float64(f.seconds), func(x []float32) {
		t.Write(x)
		for n := 1; n <= 6; n++ {
			if line(n) != shown[n] {
				draw(false)
				break
			}
		}
	})
	if ctx.Err() != nil {
		return nil
	}
	return err
}
