package main

import (
	"context"

	"bordon/listen"
	"bordon/listen/audio/cue"
	"bordon/listen/match"
	"bordon/listen/practice"
	"bordon/theory"
	"bordon/ui"
	"bordon/ui/page"
)

// untimed waits for each note of the line in turn.
func (r *running) untimed(ctx context.Context) (ending, error) {
	rate := r.Rate()
	u, err := listen.NewUntimed(r.set, rate)
	if err != nil {
		return ending{}, err
	}
	// A session that hears nothing: it words and writes what is told.
	if r.s, err = listen.NewSession(r.set, rate); err != nil {
		return ending{}, err
	}
	r.p.dir = ""
	if err := r.outlet.start(r.s, r.p.o.devices); err != nil {
		return ending{}, err
	}
	var wait practice.Wait
	var told error
	var firsts []match.Verdict // what was played at the first try
	tell := func(e listen.Event) {
		if err := r.outlet.event(e); told == nil {
			told = err
		}
	}
	on := func(e listen.Event) bool {
		tell(e)
		if e.Try == 1 {
			firsts = append(firsts, e.Verdict)
		}
		step := wait.Hear(e.Verdict.Pitch)
		if step == practice.Stay {
			if e.Verdict.Heard != nil {
				v, heard := e.Verdict, *e.Verdict.Heard
				v.Heard = &heard
				r.tried = &v
			}
			return false
		}
		wait = practice.Wait{}
		if step == practice.Pass {
			r.say(language.Passed())
		} else {
			r.say("")
		}
		return true
	}
	hold := levelHold{span: int64(levelSeconds * rate)}
	buf := make([]float32, 1024)
	round := 1
	metered := int64(0)
	for r.ends == nil && told == nil {
		n, _, err := r.Read(ctx, buf)
		if err != nil {
			if ctx.Err() != nil || r.ends != nil {
				break
			}
			return ending{}, err
		}
		if r.opened && u.Heard() > openingSeconds*int64(rate) {
			r.opened = false
			r.close()
		}
		u.Write(buf[:n], on)
		item, now := u.Awaited()
		if now != round {
			r.turns = round
			tell(listen.Event{Kind: listen.TurnScore, Turn: round, Score: match.Count(firsts, nil, rate)})
			round = now
			if r.set.Turns > 0 && round > r.set.Turns {
				r.ends = &ending{why: over}
				break
			}
		}
		if u.Heard()-metered < int64(rate)/metersASecond {
			continue
		}
		metered = u.Heard()
		_, peak, clipped := u.Level()
		cents, known := u.Tuning()
		r.outlet.meters(ui.Meters{Heard: u.Heard(), Level: page.LevelOf(hold.of(u.Heard(), peak, clipped)), Cents: cents, CentsKnown: known,
			Await: &ui.Await{Round: round, Item: item}})
	}
	score := match.Count(firsts, nil, rate)
	tell(listen.Event{Kind: listen.TurnScore, Score: score})
	r.summary = append(language.Summary(score), language.NotKept())
	if told == nil {
		told = r.endUntimed()
	}
	if r.ends == nil || ctx.Err() != nil {
		r.ends = &ending{why: left}
	}
	r.ends.turns = r.turns
	return *r.ends, told
}

// openingSeconds is how long a key's opening stands where no count-in ends it.
const openingSeconds = 6

// endUntimed ends what is told: there is no take, and no page to draw again.
func (r *running) endUntimed() error {
	switch o := r.outlet.(type) {
	case *jsonOutlet:
		return o.stream.End("")
	case *linesOutlet:
		for _, s := range r.summary {
			r.say(s)
		}
	}
	return nil
}

// alone is one note, as it was played and as it was asked.
func (r *running) alone(v *match.Verdict) []float32 {
	rate := int64(r.Rate())
	one := r.set.Line
	one.Items = []theory.Item{v.Item}
	asked, err := cue.Line(one, 0, r.set.Cejilla, r.set.A4, int(rate), func(theory.Position) float64 { return 0 })
	if err != nil {
		return nil
	}
	return r.both(v.Heard.Onset-rate/10, v.Heard.Onset+rate, asked)
}
