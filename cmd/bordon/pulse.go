package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/spf13/cobra"

	"bordon/listen"
	"bordon/listen/audio"
	"bordon/listen/audio/pulse"
	"bordon/listen/config"
	"bordon/listen/grid"
	"bordon/listen/live"
)

// pulseFlags say what is clapped, and how the tempo goes on.
type pulseFlags struct {
	kind         string
	output       string
	contratiempo bool
	everyOther   bool
	countFrom    int
	half         bool
	tap          bool
	rise         float64 // beats a minute
	riseAfter    int     // clean turns
	riseTo       float64 // beats a minute
}

const noPulse = "none"

var pulses = []string{"claps", "accents", noPulse}

// pulseLead is the shortest time before the count-in where a pulse is played,
// in seconds: the clocks of both devices are being compared.
const pulseLead = 3.5

func (f *pulseFlags) defaults() {
	*f = pulseFlags{kind: pulses[0], riseAfter: 2, riseTo: pulse.MaxTempo}
}

func (f *pulseFlags) add(cmd *cobra.Command) {
	fs := cmd.Flags()
	fs.Var(&word{to: &f.kind, words: pulses}, "pulse", "what is clapped: every beat, the accents only, or nothing")
	fs.StringVar(&f.output, "output", f.output, "loudspeaker of the pulse, by name, part of a name, or number")
	fs.BoolVar(&f.contratiempo, "contratiempo", f.contratiempo, "clap between the beats as well")
	fs.BoolVar(&f.everyOther, "every-other-turn", f.everyOther, "leave the pulse out in every second turn")
	fs.Var(&whole{to: &f.countFrom, such: "a beat of the form, such as 12"}, "count-from", "beat that the count-in begins with, in place of --count-in")
	fs.BoolVar(&f.half, "half-tempo", f.half, "play at half of the tempo")
	fs.BoolVar(&f.tap, "tap", f.tap, "take the tempo from taps of the enter key")
	fs.Var(&number{to: &f.rise, such: "beats a minute, such as 4"}, "rise", "let the tempo rise by that many beats a minute after clean turns")
	fs.Var(&whole{to: &f.riseAfter, such: "a number of turns, such as 2"}, "rise-after", "clean turns in a row that it takes")
	fs.Var(&number{to: &f.riseTo, such: "beats a minute, such as 120"}, "rise-to", "where the tempo stops rising")
	complete(cmd, "pulse", pulses)
	for _, name := range []string{"output", "count-from", "rise", "rise-after", "rise-to"} {
		complete(cmd, name, nil)
	}
}

// validate says what is wrong with the flags for a form and its tempo.
func (f *pulseFlags) validate(set listen.Settings) error {
	least := pulse.MinTempo
	if f.half {
		least /= 2
	}
	switch {
	case f.kind != noPulse && !(set.Tempo >= least && set.Tempo <= pulse.MaxTempo):
		return fmt.Errorf("a tempo of %g beats a minute is not usable for a pulse; it must be %g to %g, or --pulse none", set.Tempo, pulse.MinTempo, pulse.MaxTempo)
	case f.countFrom < 0 || f.countFrom > set.Form.Beats:
		return fmt.Errorf("a count-in from beat %d is not usable; %s has the beats 1 to %d", f.countFrom, set.Form.Title, set.Form.Beats)
	case f.rise < 0 || f.rise > 100:
		return fmt.Errorf("a tempo that rises by %g beats a minute is not usable; it must be 0 (it stays) to 100", f.rise)
	case f.riseAfter < 1:
		return fmt.Errorf("a tempo cannot rise after %d clean turns; it must be 1 or more", f.riseAfter)
	case f.rise > 0 && !(f.riseTo >= set.Tempo && f.riseTo <= grid.MaxTempo):
		return fmt.Errorf("a tempo of %g cannot rise to %g beats a minute; it must be %g to %g", set.Tempo, f.riseTo, set.Tempo, grid.MaxTempo)
	}
	return nil
}

func (f *pulseFlags) style() pulse.Style {
	return pulse.Style{Contratiempo: f.contratiempo, AccentsOnly: f.kind == "accents", EveryOther: f.everyOther}
}

// tapPause is how long nothing is tapped before the tempo is taken.
const tapPause = 2 * time.Second

// tapped asks for taps of the enter key and returns their tempo in beats a
// minute.
func (a *app) tapped(ctx context.Context, now func() time.Time) (float64, error) {
	a.talk("%s", language.Tap())
	lines := make(chan time.Time)
	go func() {
		defer close(lines)
		for in := bufio.NewReader(a.stdin); ; {
			if _, err := in.ReadString('\n'); err != nil {
				return
			}
			select {
			case lines <- now():
			case <-ctx.Done():
				return
			}
		}
	}()
	var taps []time.Duration
	var began time.Time
	var pause <-chan time.Time
	for more := true; more; {
		select {
		case at, ok := <-lines:
			if more = ok; !ok {
				break
			}
			if len(taps) == 0 {
				began = at
			}
			taps = append(taps, at.Sub(began))
			pause = time.After(tapPause)
		case <-pause:
			more = len(taps) < pulse.MinTaps
			pause = nil
		case <-ctx.Done():
			return 0, ctx.Err()
		}
	}
	bpm, err := pulse.Tempo(taps)
	if err != nil {
		return 0, err
	}
	bpm = math.Round(bpm*10) / 10
	a.talk("%s", language.Tapped(bpm))
	return bpm, nil
}

// stage is a live session's room, and where its news go.
type stage struct {
	room *live.Room
	say  func(sentence string)
}

func (s *stage) tell(n live.Notice) {
	if s.say == nil {
		return
	}
	s.say(map[live.Notice]string{live.Gone: language.Gone(), live.Back: language.Back(), live.Silent: language.Silenced()}[n])
}

// turn tells the room of a session's event, and the session of a new tempo.
func (s *stage) turn(session *listen.Session, e listen.Event) (tempo listen.Event, ok bool) {
	if s == nil || e.Kind != listen.TurnScore {
		return e, false
	}
	c, ok := s.room.Turn(session, e)
	if ok && s.say != nil {
		s.say(language.Faster(c.Tempo, c.Turn))
	}
	return listen.Event{Kind: listen.NewTempo, Tempo: c}, ok
}

// opener opens a microphone and, if asked, a loudspeaker, the same ones again
// each time, and remembers what they are.
type opener struct {
	a             *app
	input, output string
	play          bool
	rate          int
	devices       listen.Devices
	noPulse       error   // why there is no loudspeaker
	lost          int64   // overflows and the like of microphones that are closed
	load          float64 // the highest of devices that are closed
}

func (o *opener) open(ctx context.Context) (live.Microphone, live.Loudspeaker, error) {
	mic, err := o.a.sound.capture(ctx, audio.Options{Device: o.input, Rate: o.rate})
	if err != nil {
		return nil, nil, noMicrophone{err}
	}
	o.rate, o.devices.Input = mic.Rate(), mic.Device().Name
	counted := &counted{microphone: mic, o: o}
	if !o.play {
		return counted, nil, nil
	}
	out, err := o.a.sound.playback(ctx, o.rate, o.output)
	if err != nil {
		if errors.Is(err, context.Canceled) {
			return nil, nil, errors.Join(err, mic.Close())
		}
		o.noPulse = err
		return counted, nil, nil
	}
	o.devices.Output = out.Device().Name
	return counted, &loaded{out, o}, nil
}

// counted adds up what the system lost.
type counted struct {
	microphone
	o *opener
}

func (c *counted) Close() error {
	c.o.lost += c.Stats().Overflows
	c.o.load = max(c.o.load, c.Stats().Load)
	return c.microphone.Close()
}

// loaded remembers how busy a loudspeaker was.
type loaded struct {
	loudspeaker
	o *opener
}

func (l *loaded) Close() error {
	l.o.load = max(l.o.load, l.Load())
	return l.loudspeaker.Close()
}

// tell says what there is to say of the devices when they are closed. How much
// the system lost it does not say, so there is no gap of it.
func (o *opener) tell() {
	if o.lost > 0 {
		o.a.talk("%s", language.Overflows(o.lost))
	}
	if o.load > 1 {
		o.a.talk("%s", language.Busy())
	}
	o.lost, o.load = 0, 0
}

// stage opens the room of a live session.
func (a *app) stage(ctx context.Context, o *opener, set listen.Settings, f *listenFlags) (*stage, error) {
	s := &stage{}
	var rise *pulse.Rise
	if f.rise > 0 {
		rise = &pulse.Rise{Step: f.rise, Clean: f.riseAfter, Most: f.riseTo}
	}
	var err error
	s.room, err = live.Enter(ctx, live.Config{Open: o.open, Settings: set, CountIn: f.beats(set), Style: f.style(), Rise: rise, Tell: s.tell})
	return s, err
}

// delayOf is the delay of the devices that an opener has opened, as it was set
// up, and what is to be said of it.
func (a *app) delayOf(o *opener) (ms float64, known bool, note string) {
	if o.devices.Output == "" {
		return 0, false, language.NoDelay()
	}
	c, err := config.Load(a.config)
	if err != nil {
		return 0, false, language.NoDelay() + " " + sentence(err)
	}
	d, _ := c.Delay(config.Pair{Input: o.devices.Input, Output: o.devices.Output, Rate: o.rate})
	ms, own, known := d.Known()
	switch {
	case !known:
		return 0, false, language.NoDelay()
	case !own:
		return ms, true, language.Together(ms)
	}
	return ms, true, ""
}

// sentence is an error as a sentence of its own.
func sentence(err error) string { return inWords(err) + "." }
