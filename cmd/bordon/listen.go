package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"bordon/listen"
	"bordon/listen/audio"
	"bordon/listen/config"
)

// listenFlags are the flags of listen.
type listenFlags struct {
	musicFlags
	pulseFlags
	wayFlags
	device  string
	delay   delay
	turns   int
	countIn float64 // beats; negative for half a turn, or a whole one of few beats
	lead    float64 // seconds
	format  string
	record  bool
	list    bool
	follow  bool
}

// defaultLead is how long the player has to get the hands to the guitar before
// the count-in, in seconds.
const defaultLead = 2

func (f *listenFlags) defaults() {
	f.musicFlags.defaults()
	f.pulseFlags.defaults()
	f.wayFlags.defaults()
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

After a short lead the count-in is clapped, then the pulse, quiet at first. What
is heard is kept as a take, unless --record=false. Whether a note was early or
late can only be said when the delay of the devices is known: "bordon setup"
measures it, --delay gives it. q or ctrl-c ends; the recording is kept. ? lists
the keys: space stops the page and lets it go on, a begins again, p plays what
you played and then what was asked, e changes how you practise.

How to practise can be said in a sentence (--say) or by flags. A sentence names
what it needs, in any order, commas between:

  alegrías in F, cejilla 1, at 92        the form, the key, the cejilla, the tempo
  in G then F then Bb, 4 turns           through keys; by chance, or weak keys first
  line 7:3 8:2 9:7 10:1, beats 7 to 10   the line, and what of it is judged
  untimed                                each note is waited for until it is right
  hear it first                          a turn is played for you, the next is yours
  listening only                         nothing is judged
  hold wrong notes                       the page waits for the right note
  plan strummed; 2 line; falseta         what each turn is, again and again
  claps on the accents                   or no claps, claps between the beats,
                                         every other turn silent, counted from 12
  sounds                                 one high sound: clean; two: late; three
                                         low ones: wrong

With --follow no pulse is played. Bordon listens until it knows where in the
compás you are, two turns at most, and follows you from there: early and late are
told against your own pulse, some beats after they are played. At the end all of
it is judged again as a whole, as "bordon check" judges the recording.

While the page stands, taps on the guitar's top do what keys do: two go on, three
begin again, four discard the take.

With --format json each event is one JSON object on a line of its own.`,
		Example: `  bordon listen -k G -t 104
  bordon listen -k G --cejilla 3 -t 108 --turns 8   # sounds in B flat
  bordon listen -k por-medio --form solea -t 76
  bordon listen -k F -t 92 -l "7:3 8:2 9:7 10:1" --delay 133 --format json
  bordon listen --say "alegrías in F, untimed"       # no pulse: take your time
  bordon listen -k F -t 80 --hear-first --turns 4
  bordon listen -k F -t 80 --hold                    # for a lesson
  bordon listen -k G -t 92 --beats 7-10 --sounds
  bordon listen --through "G F Bb" --turns 4 --order weak-first
  bordon listen -k G --turn-plan "strummed; 2 line; falseta"
  bordon listen --plan                               # what your takes show to be weak
  bordon listen -k G --keys start=pgdown,again=pgup --large
  bordon listen -k G --pulse accents --contratiempo --count-from 12
  bordon listen -k G -t 92 --rise 4 --rise-after 2   # faster after two clean turns
  bordon listen -k G --follow                        # at your own tempo
  bordon listen --list-devices`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return a.listen(cmd.Context(), &f) },
	}
	f.defaults()
	f.musicFlags.add(cmd)
	f.pulseFlags.add(cmd)
	f.wayFlags.add(cmd)
	fs := cmd.Flags()
	fs.Var(&f.delay, "delay", "delay from string to computer in ms; unknown: nothing is called early or late")
	fs.StringVar(&f.device, "device", f.device, "microphone, by name, part of a name, or number (default: the system's)")
	fs.Var(&whole{to: &f.turns, such: "a number of turns, such as 8"}, "turns", "end after that many turns; 0 goes on until stopped")
	count := &number{to: &f.countIn, such: "a number of beats, such as 6"}
	fs.Var(count, "count-in", "beats counted before beat 1 of the first turn (-1: half a turn, a whole one of few beats)")
	fs.Var(&number{to: &f.lead, such: "seconds, such as 2"}, "lead", "seconds before the count-in; 3.5 or more with a pulse")
	fs.Var(&word{to: &f.format, words: formats}, "format", "how to tell it")
	fs.BoolVar(&f.record, "record", f.record, "keep the recording and its verdicts as a take")
	fs.BoolVar(&f.follow, "follow", f.follow, "no pulse: the compás is taken from your playing, at your own tempo")
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
	if f.half {
		set.Tempo /= 2
	}
	if err := f.pulseFlags.validate(set); err != nil {
		return set, err
	}
	set.Turns = f.turns
	set.Delay, set.DelayKnown = f.delay.ms, f.delay.known
	if set.Tempo > 0 { // otherwise validate says so
		lead := f.lead
		if f.kind != noPulse {
			lead = max(lead, pulseLead)
		}
		set.FirstBeat = lead - set.Form.Units(-f.beats(set))*60/set.Tempo
	}
	return set, validate(set)
}

// beats of the count-in; half a turn of few beats would be too short.
func (f *listenFlags) beats(set listen.Settings) float64 {
	if f.countFrom > 0 {
		return float64(set.Form.Beats + 1 - f.countFrom)
	}
	if f.countIn == -1 && set.Form.Beats < 8 {
		return float64(set.Form.Beats)
	}
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
	if f.follow {
		return a.follow(ctx, f)
	}
	if f.asked() || a.onScreen(f.format) {
		return a.practise(ctx, f)
	}
	if f.tap {
		bpm, err := a.tapped(ctx, time.Now)
		if err != nil {
			return fail(err)
		}
		f.tempo = bpm
	}
	set, err := f.settings()
	if err != nil {
		return err
	}
	return fail(a.judgeMicrophone(ctx, set, f))
}

func (a *app) judgeMicrophone(ctx context.Context, set listen.Settings, f *listenFlags) error {
	p := performance{set: set, countIn: f.beats(set), record: f.record, cautions: true}
	o := &opener{a: a, input: f.device, output: f.output, play: f.kind != noPulse}
	if c, err := config.Load(a.config); err == nil { // delayOf tells of an error
		o.input, o.output = cmp.Or(o.input, c.Input), cmp.Or(o.output, c.Output)
	}
	if set.Find != nil {
		p.countIn = 0
	}
	p.open = func(ctx context.Context, p *performance) (listen.Source, listen.Devices, func() error, error) {
		st, err := a.stage(ctx, o, set, f)
		if err != nil {
			return nil, listen.Devices{}, nil, err
		}
		p.stage, p.note = st, ""
		if !f.delay.known {
			p.set.Delay, p.set.DelayKnown, p.note = a.delayOf(o)
		}
		if o.noPulse != nil {
			p.note = strings.TrimSpace(language.NoPulse(inWords(o.noPulse)) + " " + p.note)
		}
		if set.Find != nil {
			p.note = strings.TrimSpace(p.note + " " + language.OwnPulse())
		}
		p.note = strings.TrimSpace(f.chosen + " " + p.note)
		closed := func() error {
			err := st.room.Close()
			o.tell()
			return err
		}
		return st.room, o.devices, closed, nil
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
	a.talk("bordon: %s", inWords(no.error))
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
		return s == "" || language.Yes(s), nil
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
	g, err := set.Grid(rate)
	if err != nil {
		return 0
	}
	beats := float64(set.Form.Beats)
	end := g.Sample(float64(set.Turns) * beats)
	for _, it := range set.Line.Items {
		turn := max(it.Position.Turn, 1)
		if turn == (set.Turns-1)%max(set.Line.Turns, 1)+1 {
			at := it.Position.Offset(set.Form.Beats) - float64(turn-1)*beats
			end = max(end, g.Sample(float64(set.Turns-1)*beats+at)+int64(rate))
		}
	}
	return end + int64(max(set.Delay, 0)/1000*float64(rate))
}

// now is the time of day that a take is filed under.
func now() time.Time { return time.Now() }
