package main

import (
	"context"
	"time"

	"github.com/spf13/cobra"

	"bordon/listen"
	"bordon/listen/decode"
)

func (a *app) takesAgainCommand() *cobra.Command {
	var fast bool
	format := formats[0]
	cmd := &cobra.Command{
		Use:   "again TAKE",
		Short: "Play a take again through the live page, sound and all",
		Example: `  bordon takes again last
  bordon takes again last --fast --format json   # without waiting, for scripts`,
		Long: `Play a take again through the live page, sound and all. At its end v overrules
what the ear said of a note.`,
		Args:              takeArguments(1, 1, "last"),
		ValidArgsFunction: a.takeNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.one(cmd, args[0])
			if err != nil {
				return fail(err)
			}
			set, err := s.Settings(language.Reason)
			if err != nil {
				return fail(err)
			}
			p := performance{set: set, countIn: max(set.FirstBeat*set.Tempo/60, 0), plain: fast, aloud: !fast, kept: s}
			p.open = func(ctx context.Context, _ *performance) (listen.Source, listen.Devices, func() error, error) {
				src, d, closed, err := a.openTake(ctx, s.WAV(), !fast)
				if err != nil {
					return nil, d, nil, err
				}
				return listen.WithGaps(src, s.Gaps()), d, closed, nil
			}
			return fail(a.perform(cmd.Context(), p, format))
		},
	}
	cmd.Flags().BoolVar(&fast, "fast", false, "do not play it in real time, and not aloud")
	cmd.Flags().Var(&word{to: &format, words: formats}, "format", "how to tell it")
	complete(cmd, "format", formats)
	return cmd
}

// openTake opens a recording as a microphone would give it, and a loudspeaker
// that plays it, where there is one.
func (a *app) openTake(ctx context.Context, path string, aloud bool) (listen.Source, listen.Devices, func() error, error) {
	r, err := decode.Open(ctx, path)
	if err != nil {
		return nil, listen.Devices{}, nil, err
	}
	if !aloud {
		return r, listen.Devices{}, r.Close, nil
	}
	src := &playback{Reader: r}
	out, err := a.sound.playback(ctx, r.Rate(), "")
	if err != nil { // it is seen in silence
		return src, listen.Devices{}, r.Close, nil
	}
	src.out = out
	closed := func() error {
		err := out.Close()
		if rerr := r.Close(); err == nil {
			err = rerr
		}
		return err
	}
	return src, listen.Devices{Output: out.Device().Name}, closed, nil
}

// playback gives a file no faster than it sounds, and plays it. The loudspeaker
// is ahead of what is judged by a fifth of a second, which is what it takes to
// be heard.
type playback struct {
	*decode.Reader
	out   loudspeaker // may be nil
	began time.Time
	given int64     // samples
	queue []float32 // played, and not yet given
	ended error
}

func (p *playback) Read(ctx context.Context, dst []float32) (int, int64, error) {
	rate := p.Rate()
	if p.began.IsZero() {
		p.began = time.Now()
	}
	for len(p.queue) < rate/5 && p.ended == nil {
		buf := make([]float32, 1024)
		n, _, err := p.Reader.Read(ctx, buf)
		p.queue = append(p.queue, buf[:n]...)
		if p.out != nil {
			p.out.Write(buf[:n]) // it never waits; what it cannot take is not heard
		}
		p.ended = err
	}
	n := min(len(dst), len(p.queue), rate/100)
	if n == 0 {
		return 0, 0, p.ended
	}
	due := p.began.Add(time.Duration(float64(p.given+int64(n)) / float64(rate) * float64(time.Second)))
	timer := time.NewTimer(time.Until(due))
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-ctx.Done():
		return 0, 0, ctx.Err()
	}
	copy(dst, p.queue[:n])
	p.queue = append(p.queue[:0], p.queue[n:]...)
	p.given += int64(n)
	return n, 0, nil
}
