package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"slices"

	"bordon/listen"
	"bordon/listen/audio"
	"bordon/listen/take"
	"bordon/ui"
	"bordon/ui/page"
)

// performance is something to be judged as it is played: a microphone, or the
// demo.
type performance struct {
	set      listen.Settings
	countIn  float64 // beats counted before beat 1 of the first turn
	record   bool
	plain    bool         // no screen, also on a terminal
	cautions bool         // show them if they never were
	aloud    bool         // it is played through the loudspeaker, where there is one
	stage    *stage       // the devices of a live session; nil where there are none
	kept     *take.Stored // the take that is played; nil for none
	note     string       // stays under the page: what is not judged, and why
	// open opens the sound; closed is called at the end.
	open func(context.Context, *performance) (src listen.Source, d listen.Devices, closed func() error, err error)
}

// outlet is who is told of a performance. All calls come from one goroutine.
type outlet interface {
	start(s *listen.Session, d listen.Devices) error
	event(e listen.Event) error
	meters(m ui.Meters)
	say(sentence string) // of the devices or the tempo
	end(s *listen.Session, dir string) error
}

// perform judges a performance and tells of it: on the screen where there is a
// terminal, else as lines; or as JSON.
func (a *app) perform(ctx context.Context, p performance, format string) error {
	screen := format == "text" && !p.plain && isTerminal(a.stdout) && isTerminal(a.stdin) && os.Getenv("TERM") != "dumb"
	if p.record {
		a.repairTakes(ctx)
	}
	defer oneProcessor()()
	src, devices, closed, err := p.open(ctx, &p)
	if err != nil {
		return err
	}
	if p.aloud && devices.Output == "" {
		p.note += " " + language.Silent()
	}
	var cautions []string
	if p.cautions {
		cautions = a.cautionsOnce()
	}
	if !screen {
		for _, c := range cautions {
			a.talk("%s", c)
		}
		if p.note != "" {
			a.talk("%s", p.note)
		}
	} else if len(cautions) > 0 {
		// The stream begins anew once they are read: its first sample is when
		// the lead begins.
		if err := closed(); err != nil {
			return err
		}
		if read, err := ui.Notice(ctx, language, cautions, a.stdin, a.stdout); err != nil || !read {
			return err
		}
		if src, devices, closed, err = p.open(ctx, &p); err != nil {
			return err
		}
	}
	var judged error
	switch {
	case screen:
		judged = a.performOnScreen(ctx, p, src, devices)
	case format == "json":
		judged = a.judge(ctx, p, src, devices, &jsonOutlet{a: a})
	default:
		judged = a.judge(ctx, p, src, devices, &linesOutlet{a: a, countIn: p.countIn})
	}
	return errors.Join(judged, closed())
}

func (a *app) performOnScreen(ctx context.Context, p performance, src listen.Source, d listen.Devices) error {
	out := &screenOutlet{kept: p.kept}
	defer audio.Quiet()() // sound libraries print to the terminal what they like
	live := ui.Live{Words: language, Settings: p.set, CountIn: p.countIn, Rate: src.Rate(), Note: p.note}
	err := ui.Show(ctx, live, a.stdin, a.stdout, func(ctx context.Context, f *ui.Feed) ([]string, error) {
		out.feed = f
		err := a.judge(ctx, p, src, d, out)
		return out.last.Summary, err
	})
	if out.done {
		if _, werr := io.WriteString(a.stdout, page.Text(out.ruled(), a.width())); err == nil {
			err = werr
		}
		if out.dir != "" {
			fmt.Fprintf(a.stdout, "  %s\n", language.Kept(printable(out.dir)))
		}
	}
	return err
}

// judge runs one session from its first sample to its last.
func (a *app) judge(ctx context.Context, p performance, src listen.Source, d listen.Devices, out outlet) (err error) {
	if p.set.Find != nil {
		return a.judgeFollowed(ctx, p, src, d, out)
	}
	set := p.set
	set.Glance = true // somebody watches
	s, err := listen.NewSession(set, src.Rate())
	if err != nil {
		return err
	}
	var end *endAfter
	if at := endOf(p.set, src.Rate()); at > 0 {
		end = &endAfter{Source: src, at: at}
		src = end
	}
	if p.stage != nil {
		p.stage.say = out.say
	}
	started := now()
	var rec *take.Recorder
	var sink listen.Sink
	dir := ""
	if p.record {
		if rec, err = take.Record(a.takes, started, p.set.Key.String(), src.Rate()); err != nil {
			return fmt.Errorf("%w; --record=false listens without keeping a take", err)
		}
		sink, dir = rec, rec.Dir()
		// The settings are on disk from the start: a take that is cut short can
		// be judged again.
		if err := rec.WriteJSON(s.Take(started, d, take.WAVName)); err != nil {
			rec.Close()
			return fmt.Errorf("%w; --record=false listens without keeping a take", err)
		}
	}
	// An outlet that fails, a closed pipe, ends the session; the take is kept.
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var told error
	tell := func(err error) {
		if err != nil && told == nil {
			told = err
			cancel()
		}
	}
	tell(out.start(s, d))
	hold := levelHold{span: int64(levelSeconds * src.Rate())}
	stopped := false
	metered := int64(0)
	meter := func() {
		// As often as one can read it: drawing is what a live session costs most.
		if s.Heard()-metered < int64(s.Rate())/metersASecond && metered > 0 {
			return
		}
		metered = s.Heard()
		if rec != nil && !stopped && rec.Err() != nil { // the player hears of it while it can be helped
			stopped = true
			out.say(language.RecordingStopped(inWords(rec.Err())))
		}
		_, peak, clipped := s.Level()
		cents, known := s.Tuning()
		out.meters(ui.Meters{Heard: s.Heard(), Level: page.LevelOf(hold.of(s.Heard(), peak, clipped)), Cents: cents, CentsKnown: known})
	}
	kept := slices.Clone(p.set.Tempos)
	err = listen.Run(ctx, watched{src, meter}, sink, s, func(e listen.Event) {
		tell(out.event(e))
		if tempo, ok := p.stage.turn(s, e); ok {
			tell(out.event(tempo))
		}
		// What a judge needs beside the sound is on disk before it is needed.
		if tempos := s.Settings().Tempos; rec != nil && (e.Kind == listen.GapFound || !slices.Equal(tempos, kept)) {
			kept = slices.Clone(tempos)
			rec.Describe(s.Take(started, d, take.WAVName))
		}
		if end != nil {
			end.at = endOf(s.Settings(), s.Rate())
		}
	})
	if rec != nil {
		err = errors.Join(err, rec.Finish(s.Take(started, d, take.WAVName), takeWords.Cues(s)))
	}
	tell(out.end(s, dir))
	return errors.Join(err, told)
}

// oneProcessor lets Go's code run on one processor until the function that it
// returns is called. All that a live session does takes some hundredths of one.
// With more, Go's runtime waits for ten milliseconds after each callback of a
// device for the thread to come back, awake all the while, and that was a third
// of what a session cost. The devices hold a tenth of a second.
func oneProcessor() (restore func()) {
	before := runtime.GOMAXPROCS(1)
	return func() { runtime.GOMAXPROCS(before) }
}

// metersASecond is how often the level and the place in the turn are told. The
// shortest beat, at 260 a minute, is told three times.
const metersASecond = 15

// levelSeconds is how long a level stands: longer than the longest silence
// within a turn that is played.
const levelSeconds = 4

// levelHold keeps the highest level of a stretch of samples.
type levelHold struct {
	span        int64
	peak        float64
	peakAt      int64
	clipped     bool
	clippedAt   int64
	knownBefore bool
}

func (h *levelHold) of(at int64, peak float64, clipped bool) (float64, bool) {
	if !h.knownBefore || peak >= h.peak || at-h.peakAt > h.span {
		h.peak, h.peakAt, h.knownBefore = peak, at, true
	}
	if clipped {
		h.clippedAt = at
	}
	h.clipped = clipped || h.clipped && at-h.clippedAt <= h.span
	return h.peak, h.clipped
}
