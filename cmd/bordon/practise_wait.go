package main

import (
	"context"
	"slices"

	"bordon/listen"
	"bordon/listen/audio/cue"
	"bordon/listen/match"
	"bordon/listen/practice"
	"bordon/theory"
	"bordon/ui"
	"bordon/ui/page"
)

// tapped are the commands of taps on the guitar's top, by their number.
var tappedCommands = map[int]ui.Do{2: ui.GoOn, 3: ui.Again, 4: ui.Discard}

// waiting is a page that stands: it hears the room, the keys and the taps.
type waiting struct {
	p       *practising
	r       *running
	said    []string
	taps    *practice.Taps
	deaf    int64 // sample of the room until which nothing is listened to: something is being played
	at      int64
	sounded []float32 // what p plays
}

// read reads a piece of the room, and gives what is asked for meanwhile.
func (w *waiting) read(ctx context.Context, buf []float32) (heard []float32, asked ui.Command, err error) {
	n, lost, err := w.p.room.Read(ctx, buf)
	w.at += int64(n) + lost
	if err != nil {
		return nil, asked, err
	}
	if w.p.feed != nil {
		select {
		case asked = <-w.p.feed.Commands():
		default:
		}
	}
	if w.at < w.deaf {
		return nil, asked, nil
	}
	if do, ok := tappedCommands[w.taps.Write(buf[:n])]; ok && asked.Do == ui.Nothing {
		asked.Do = do
	}
	return buf[:n], asked, nil
}

// show lets sentences stand under the page.
func (w *waiting) show(more ...string) {
	if w.p.feed != nil {
		w.p.feed.Stand(append(slices.Clone(w.said), more...))
	}
}

// do does what can be done where the page stands; ok tells that it goes on
// from there.
func (w *waiting) do(c ui.Command) (e ending, ok bool) {
	switch c.Do {
	case ui.GoOn:
		return ending{why: goOn}, true
	case ui.Again:
		return ending{why: again}, true
	case ui.Next:
		return ending{why: onwards}, true
	case ui.Edit:
		return ending{why: changed, text: c.Text}, true
	case ui.Keep:
		w.show(language.KeptNow())
	case ui.Discard:
		w.show(w.p.discard())
	case ui.Replay:
		w.replay()
	}
	return e, false
}

// replay plays what was played, from the recording, and then what was asked.
func (w *waiting) replay() {
	seconds, ok := 0.0, false
	if len(w.sounded) > 0 {
		seconds, ok = w.p.room.PlayNow(w.sounded)
	}
	if !ok {
		w.show(language.NoReplay())
		return
	}
	const rings = 0.5 // seconds that the room goes on sounding, the devices' delay included
	w.deaf = w.at + int64((seconds+rings)*float64(w.p.room.Rate()))
	w.show(language.Plays())
}

// both is what was played between two samples of the session, and what was
// asked, a short silence between them.
func (r *running) both(from, to int64, asked []float32) []float32 {
	rate := r.Rate()
	played := r.p.tape.cut(from, to)
	const replayPeak = 0.4
	cue.Level(played, replayPeak)
	return append(append(played, make([]float32, rate/2)...), asked...)
}

// stretch is the last turn that was judged, as it was played and as it was
// asked.
func (r *running) stretch(turn int) []float32 {
	if r.s == nil || turn < 1 {
		return nil
	}
	form, line := r.set.Form, r.set.Line
	pass := max(line.Turns, 1)
	of := (turn-1)%pass + 1
	first, last := -1.0, 0.0
	for _, it := range line.Items {
		if max(it.Position.Turn, 1) == of {
			last = it.Position.Offset(form.Beats) - float64((of-1)*form.Beats)
			if first < 0 {
				first = last
			}
		}
	}
	if first < 0 {
		return nil
	}
	grid, rate := r.s.Grid(), int64(r.Rate())
	begin := float64((turn - 1) * form.Beats)
	delay := int64(r.set.Delay / 1000 * float64(rate))
	from, to := grid.Sample(begin+first)+delay-rate/4, grid.Sample(begin+last)+delay+rate
	asked, err := cue.Line(line, of, r.set.Cejilla, r.set.A4, int(rate), func(p theory.Position) float64 {
		at := p.Offset(form.Beats) - float64((of-1)*form.Beats)
		return float64(grid.Sample(begin+at)-grid.Sample(begin+first)) / float64(rate)
	})
	if err != nil {
		return nil
	}
	return r.both(from, to, asked)
}

// stand lets the page stand until the player asks for something.
func (p *practising) stand(ctx context.Context, r *running, done bool) (ending, error) {
	if p.feed == nil {
		return ending{why: left}, nil
	}
	w := &waiting{p: p, r: r, taps: practice.NewTaps(p.room.Rate()), said: append([]string{language.Standing()}, r.summary...)}
	if done {
		w.said[0] = language.Over()
	}
	if r.p.plan.Way == practice.Untimed {
		if r.tried != nil {
			w.sounded = r.alone(r.tried)
		}
	} else {
		w.sounded = r.stretch(r.turns)
	}
	r.close()
	w.show()
	buf := make([]float32, 1024)
	for {
		_, asked, err := w.read(ctx, buf)
		if err != nil {
			if ctx.Err() != nil {
				return ending{why: left}, nil
			}
			return ending{}, err
		}
		if e, ok := w.do(asked); ok {
			if e.why == goOn {
				e.why = again
			}
			return e, nil
		}
	}
}

// hold waits until the note that was wrong is played right, or the player
// asks to go on.
func (p *practising) hold(ctx context.Context, r *running, v match.Verdict) (ending, error) {
	u, err := listen.NewUntimed(r.set, p.room.Rate())
	if err != nil {
		return ending{}, err
	}
	for i, it := range r.set.Line.Items {
		if it.Position == v.Item.Position {
			if err := u.Await(i); err != nil {
				return ending{}, err
			}
		}
	}
	why := language.Reason(v, r.set)
	if why == "" { // it was the right note, out of time
		why = language.Timing(v, p.room.Rate()) + "."
	}
	w := &waiting{p: p, r: r, taps: practice.NewTaps(p.room.Rate()), said: []string{page.Sentence(language, v, why), language.Held()}}
	w.sounded = r.stretch(v.Turn)
	w.show()
	if p.feed == nil {
		for _, s := range w.said {
			r.say(s)
		}
	}
	var wait practice.Wait
	step := practice.Stay
	buf := make([]float32, 1024)
	for step == practice.Stay {
		heard, asked, err := w.read(ctx, buf)
		if err != nil {
			if ctx.Err() != nil {
				return ending{why: left}, nil
			}
			return ending{}, err
		}
		if e, ok := w.do(asked); ok {
			return e, nil
		}
		u.Write(heard, func(e listen.Event) bool {
			if step == practice.Stay {
				step = wait.Hear(e.Verdict.Pitch)
			}
			return false
		})
	}
	if step == practice.Pass {
		r.say(language.Passed())
	} else {
		r.say(language.HeldGoesOn())
	}
	return ending{why: goOn}, nil
}
