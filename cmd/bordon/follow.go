package main

import (
	"context"
	"errors"
	"fmt"

	"bordon/listen"
	"bordon/listen/grid"
	"bordon/listen/take"
	"bordon/ui"
	"bordon/ui/page"
)

// pulseOnly are the flags of listen that need a pulse, or say what is found
// out where one follows.
var pulseOnly = []string{
	"tempo", "pulse", "output", "contratiempo", "every-other-turn", "count-from", "half-tempo", "tap",
	"rise", "rise-after", "rise-to", "count-in", "lead", "delay", "turns",
	"say", "untimed", "beats", "through", "order", "hear-first", "listen-only", "turn-plan", "hold", "hold-timing", "sounds", "keys", "plan",
}

// following are the settings of listen where no pulse is played.
func (f *listenFlags) following() (listen.Settings, error) {
	for _, flag := range pulseOnly {
		if f.has(flag) {
			return listen.Settings{}, fmt.Errorf("--%s does not go with --follow, which takes the pulse from your playing; leave one of them out", flag)
		}
	}
	set, err := f.musicFlags.settings()
	if err != nil {
		return set, err
	}
	set.Find, set.DelayKnown = &grid.Options{}, true
	return set, validate(set)
}

// follow judges the microphone against the player's own pulse.
func (a *app) follow(ctx context.Context, f *listenFlags) error {
	set, err := f.following()
	if err != nil {
		return err
	}
	f.kind, f.delay.known = noPulse, true
	return fail(a.judgeMicrophone(ctx, set, f))
}

// judgeFollowed follows one performance from its first sample to its last, and
// judges the whole of it then.
func (a *app) judgeFollowed(ctx context.Context, p performance, src listen.Source, d listen.Devices, out outlet) (err error) {
	f, err := listen.NewFollower(p.set, src.Rate())
	if err != nil {
		return err
	}
	src = &endAfter{Source: src, at: int64(listen.MaxFree * 3600 * src.Rate())}
	if p.stage != nil {
		p.stage.say = out.say
	}
	s, err := f.Unjudged()
	if err != nil {
		return err
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
		if err := rec.WriteJSON(s.Take(started, d, take.WAVName)); err != nil {
			rec.Close()
			return fmt.Errorf("%w; --record=false listens without keeping a take", err)
		}
	}
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
	out.say(language.Seeking())
	m := followMeter{f: f, out: out, rec: rec, hold: levelHold{span: int64(levelSeconds * src.Rate())}}
	err = listen.Run(ctx, watched{src, m.tell}, sink, f, func(e listen.Event) {
		tell(followed(out, e))
		if e.Kind == listen.GapFound && rec != nil {
			if so, err := f.Unjudged(); err == nil {
				rec.Describe(so.Take(started, d, take.WAVName))
			}
		}
	})
	why := ""
	if judged, none := f.JudgeAny(); none == nil {
		s = judged
		if _, ok := out.(*jsonOutlet); ok && s.TwoWays() != nil {
			why = language.TwoWays(s.TwoWays())[0]
		}
	} else {
		why = sentence(none)
		var bad error
		if s, bad = f.Unjudged(); bad != nil {
			return errors.Join(err, bad)
		}
	}
	if rec != nil {
		err = errors.Join(err, rec.Finish(s.Take(started, d, take.WAVName), takeWords.Cues(s)))
	}
	tell(finally(out, s))
	out.say(why)
	tell(out.end(s, dir))
	if so, ok := out.(*screenOutlet); ok && why != "" {
		so.last.Summary = append(so.last.Summary, why)
	}
	return errors.Join(err, told)
}

// followed tells of an event while it is played. What a stream calls
// provisional is all that a page can tell before the end.
func followed(out outlet, e listen.Event) error {
	if _, ok := out.(*jsonOutlet); ok {
		if e.Kind == listen.ExtraNote {
			return nil // told at the end, once
		}
		return out.event(e)
	}
	switch e.Kind {
	case listen.PlaceFound:
		if _, ok := out.(*screenOutlet); ok { // which shows the place anyway
			out.say("")
			return nil
		}
		out.say(language.PlaceFound(e.Place.Turn, e.Place.Beat, e.Place.Tempo))
		return nil
	case listen.PlaceLost:
		out.say(language.PlaceLost())
		return nil
	case listen.Provisional:
		e.Kind = listen.Final
	}
	return out.event(e)
}

// finally tells what is final of a performance that was followed. Lines have
// been told, and the page is drawn after them.
func finally(out outlet, s *listen.Session) error {
	switch o := out.(type) {
	case *linesOutlet:
		return nil
	case *screenOutlet:
		o.feed.Begin(ui.Live{Words: language, Settings: s.Settings(), Rate: s.Rate()})
	}
	var err error
	for _, v := range s.Verdicts() {
		err = errors.Join(err, out.event(listen.Event{Kind: listen.Final, Verdict: v}))
	}
	for _, x := range s.Extras() {
		err = errors.Join(err, out.event(listen.Event{Kind: listen.ExtraNote, Extra: x}))
	}
	return errors.Join(err, out.event(listen.Event{Kind: listen.TurnScore, Score: s.Score()}))
}

// followMeter tells the level and the place in the compás.
type followMeter struct {
	f       *listen.Follower
	out     outlet
	rec     *take.Recorder
	hold    levelHold
	metered int64
	stopped bool
}

func (m *followMeter) tell() {
	f := m.f
	if f.Heard()-m.metered < int64(f.Rate())/metersASecond && m.metered > 0 {
		return
	}
	m.metered = f.Heard()
	if m.rec != nil && !m.stopped && m.rec.Err() != nil {
		m.stopped = true
		m.out.say(language.RecordingStopped(inWords(m.rec.Err())))
	}
	_, peak, clipped := f.Level()
	cents, known := f.Tuning()
	now := ui.Meters{Heard: f.Heard(), Level: page.LevelOf(m.hold.of(f.Heard(), peak, clipped)), Cents: cents, CentsKnown: known, Following: true}
	if place, ok := f.Now(); ok {
		now.Place = &place
	}
	m.out.meters(now)
}
