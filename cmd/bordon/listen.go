package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"bordon/listen"
	"bordon/listen/audio"
)

// listenFlags are the flags of listen.
type listenFlags struct {
	musicFlags
	device  string
	delay   delay
	turns   int
	countIn float64 // beats; negative for half a turn
	lead    float64 // seconds
	format  string
	record  bool
	list    bool
}

// defaultLead is how long the player has to get the hands to the guitar before
// the count-in, in seconds.
const defaultLead = 2

func (f *listenFlags) defaults() {
	f.musicFlags.defaults()
	f.key, f.tempo = defaultKey, defaultTempo
	f.countIn, f.lead = -1, defaultLead
	f.format, f.record = formats[0], true
}

func (a *app) listenCommand() *cobra.Command {
	var f listenFlags
	cmd := &cobra.Command{
		Use:   "listen",
		Short: "Listen to the microphone and judge what is played",
		Long: `Listen to the microphone and judge the bass line as it is played.

After a short lead the count-in begins, then beat 1 of the first turn. What is
heard is kept as a take, unless --record=false. Whether a note was early or late
can only be said when the delay between the string and the computer is known:
give it with --delay. q or ctrl-c ends; the recording is kept.

With --format json each event is one JSON object on a line of its own.`,
		Example: `  bordon listen -k G -t 104
  bordon listen -k G --cejilla 3 -t 108 --turns 8   # sounds in B flat
  bordon listen -k por-medio --form solea -t 76
  bordon listen -k F -t 92 -l "7:3 8:2 9:7 10:1" --delay 133 --format json
  bordon listen --list-devices`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return a.listen(cmd.Context(), &f) },
	}
	f.defaults()
	f.add(cmd)
	fs := cmd.Flags()
	fs.Var(&f.delay, "delay", "delay from string to computer in ms; unknown: nothing is called early or late")
	fs.StringVar(&f.device, "device", f.device, "microphone, by name, part of a name, or number (default: the system's)")
	fs.Var(&whole{to: &f.turns, such: "a number of turns, such as 8"}, "turns", "end after that many turns; 0 goes on until stopped")
	count := &number{to: &f.countIn, such: "a number of beats, such as 6"}
	fs.Var(count, "count-in", "beats counted before beat 1 of the first turn (-1: half a turn)")
	fs.Var(&number{to: &f.lead, such: "seconds, such as 2"}, "lead", "seconds before the count-in")
	fs.Var(&word{to: &f.format, words: formats}, "format", "how to tell it")
	fs.BoolVar(&f.record, "record", f.record, "keep the recording and its verdicts as a take")
	fs.BoolVar(&f.list, "list-devices", f.list, "list the microphones and end")
	complete(cmd, "format", formats)
	complete(cmd, "delay", []string{unknown})
	for _, name := range []string{"device", "turns", "count-in", "lead"} {
		complete(cmd, name, nil)
	}
	return cmd
}

// settings reads the flags; beat 1 of the first turn comes after the lead and
// the count-in.
func (f *listenFlags) settings() (listen.Settings, error) {
	set, err := f.musicFlags.settings()
	if err != nil {
		return set, err
	}
	switch {
	case f.countIn < 0 && f.countIn != -1, f.countIn > 48:
		return set, fmt.Errorf("a count-in of %g beats is not usable; it must be 0 to 48", f.countIn)
	case !(f.lead >= 0 && f.lead <= 60):
		return set, fmt.Errorf("a lead of %g seconds is not usable; it must be 0 to 60", f.lead)
	}
	set.Turns = f.turns
	set.Delay, set.DelayKnown = f.delay.ms, f.delay.known
	if set.Tempo > 0 { // otherwise validate says so
		set.FirstBeat = f.lead + f.beats(set)*60/set.Tempo
	}
	return set, validate(set)
}

// beats of the count-in.
func (f *listenFlags) beats(set listen.Settings) float64 {
	if f.countIn == -1 {
		return float64(set.Form.Beats) / 2
	}
	return f.countIn
}

// listen judges the microphone.
func (a *app) listen(ctx context.Context, f *listenFlags) error {
	if f.list {
		return fail(a.listDevices(ctx, f.format))
	}
	set, err := f.settings()
	if err != nil {
		return err
	}
	return fail(a.judgeMicrophone(ctx, set, f))
}

func (a *app) judgeMicrophone(ctx context.Context, set listen.Settings, f *listenFlags) error {
	p := performance{set: set, countIn: f.beats(set), record: f.record, cautions: true}
	if !set.DelayKnown {
		p.note = language.NoDelay()
	}
	p.open = func(ctx context.Context) (listen.Source, listen.Devices, func() error, error) {
		mic, err := a.sound.capture(ctx, audio.Options{Device: f.device})
		if err != nil {
			return nil, listen.Devices{}, nil, noMicrophone{err}
		}
		closed := func() error {
			// How much the system lost it does not say, so there is no gap of it.
			if n := mic.Stats().Overflows; n > 0 {
				a.talk("%s", language.Overflows(n))
			}
			return mic.Close()
		}
		return mic, listen.Devices{Input: mic.Device().Name}, closed, nil
	}
	return a.perform(ctx, p, f.format)
}

// orDemo offers the built-in performance to someone at a terminal who has no
// microphone.
func (a *app) orDemo(ctx context.Context, err error) error {
	if !errors.Is(err, audio.ErrNoMicrophone) || !isTerminal(a.stdin) || !isTerminal(a.stdout) {
		return err
	}
	var no noMicrophone
	errors.As(err, &no)
	a.talk("bordon: %s", oneLine(no.error))
	fmt.Fprint(a.stderr, language.Offer()+" ")
	yes, err := a.answer(ctx)
	if err != nil || !yes {
		return fail(err)
	}
	return fail(a.demo(ctx, false))
}

// answer reads a yes or no; the end of the input is a no.
func (a *app) answer(ctx context.Context) (yes bool, err error) {
	got := make(chan string, 1)
	go func() {
		var s string
		if _, err := fmt.Fscanln(a.stdin, &s); errors.Is(err, io.EOF) && s == "" {
			s = "n"
		}
		got <- s
	}()
	select {
	case s := <-got:
		return s == "" || s[0] == 'y' || s[0] == 'Y', nil
	case <-ctx.Done():
		return false, nil
	}
}

// endAfter ends a source at a sample of its stream.
type endAfter struct {
	listen.Source
	at, passed int64
}

func (e *endAfter) Read(ctx context.Context, dst []float32) (int, int64, error) {
	if e.passed >= e.at {
		return 0, 0, io.EOF
	}
	n, lost, err := e.Source.Read(ctx, dst[:min(int64(len(dst)), e.at-e.passed)])
	e.passed += int64(n) + lost
	return n, lost, err
}

// endOf is the sample at which the last of the asked turns is over and its
// last note has rung for a second; 0 where no number of turns was asked for.
func endOf(set listen.Settings, rate int) int64 {
	if set.Turns == 0 {
		return 0
	}
	beats := float64(set.Form.Beats)
	end := set.FirstBeat + float64(set.Turns)*beats*60/set.Tempo
	for _, it := range set.Line.Items {
		turn := max(it.Position.Turn, 1)
		if turn == (set.Turns-1)%max(set.Line.Turns, 1)+1 {
			at := it.Position.Offset(set.Form.Beats) - float64(turn-1)*beats
			end = max(end, set.FirstBeat+(float64(set.Turns-1)*beats+at)*60/set.Tempo+1)
		}
	}
	return int64((end + max(set.Delay, 0)/1000) * float64(rate))
}

// now is the time of day that a take is filed under.
func now() time.Time { return time.Now() }
