package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/theory"
)

func (a *app) demoCommand() *cobra.Command {
	var fast bool
	format := formats[0]
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Play and judge a built-in performance",
		Long: `Play a built-in performance with deliberate mistakes and judge it, by the very
code that judges a microphone. The performance is synthesised; it is invented:
alegrías in G with the walk B2 A2 F#2 G2. It is heard where there is a
loudspeaker.`,
		Example: `  bordon demo
  bordon demo --fast                   # without waiting, for scripts
  bordon demo --fast --format json     # as listen tells a microphone`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return fail(a.demoAs(cmd.Context(), fast, format))
		},
	}
	cmd.Flags().BoolVar(&fast, "fast", false, "do not play it in real time, and not aloud")
	cmd.Flags().Var(&word{to: &format, words: formats}, "format", "how to tell it")
	complete(cmd, "format", formats)
	return cmd
}

// nothing is what there is to close.
func nothing() error { return nil }

const demoRate = 48000

func (a *app) demo(ctx context.Context, fast bool) error { return a.demoAs(ctx, fast, formats[0]) }

func (a *app) demoAs(ctx context.Context, fast bool, format string) error {
	t, err := fixtures.Demo()
	if err != nil {
		return err
	}
	set, err := settingsOf(t)
	if err != nil {
		return err
	}
	samples, err := t.Render(demoRate)
	if err != nil {
		return err
	}
	p := performance{set: set, countIn: 6, plain: fast, aloud: !fast, note: language.Performance()}
	p.open = func(ctx context.Context, _ *performance) (listen.Source, listen.Devices, func() error, error) {
		if fast {
			return &player{samples: samples, rate: demoRate}, listen.Devices{}, nothing, nil
		}
		src := &player{samples: samples, rate: demoRate, paced: true}
		out, err := a.sound.playback(ctx, demoRate, "")
		if err != nil { // it is judged in silence
			return src, listen.Devices{}, nothing, nil
		}
		src.out = out
		return src, listen.Devices{Output: out.Device().Name}, out.Close, nil
	}
	return a.perform(ctx, p, format)
}

// settingsOf are the settings that a take of the fixtures is judged with.
func settingsOf(t fixtures.Take) (listen.Settings, error) {
	f := musicFlags{key: t.Key, line: t.Line, form: t.Form, tuning: theory.Standard.String(), tempo: t.Tempo, cejilla: t.Cejilla, a4: t.A4, tolerance: tolerances[0]}
	set, err := f.settings()
	if err != nil {
		return set, fmt.Errorf("reading the built-in performance: %w", err)
	}
	set.FirstBeat, set.DelayKnown = t.FirstBeat, true
	return set, validate(set)
}

// player plays samples as a microphone would give them.
type player struct {
	samples []float32
	rate    int
	paced   bool        // no faster than they would sound
	out     loudspeaker // hears them too; may be nil

	at, sent int
	began    time.Time
}

func (p *player) Rate() int { return p.rate }

// block is how many samples come at a time when paced: 10 ms of them.
func (p *player) block() int { return p.rate / 100 }

// ahead is how much sound the loudspeaker is given beyond what was judged.
func (p *player) ahead() int { return p.rate / 5 }

func (p *player) Read(ctx context.Context, dst []float32) (int, int64, error) {
	if p.at >= len(p.samples) {
		return 0, 0, io.EOF
	}
	n := min(len(dst), len(p.samples)-p.at)
	if p.paced {
		n = min(n, p.block())
		if err := p.wait(ctx, p.at+n); err != nil {
			return 0, 0, err
		}
	}
	copy(dst, p.samples[p.at:p.at+n])
	p.at += n
	return n, 0, nil
}

// wait waits until a sample would have sounded, and keeps the loudspeaker fed.
func (p *player) wait(ctx context.Context, sample int) error {
	if p.began.IsZero() {
		p.began = time.Now()
	}
	if p.out != nil {
		end := min(sample+p.ahead(), len(p.samples))
		if p.sent < end {
			p.sent += p.out.Write(p.samples[p.sent:end])
		}
	}
	due := p.began.Add(time.Duration(float64(sample) / float64(p.rate) * float64(time.Second)))
	timer := time.NewTimer(time.Until(due))
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
