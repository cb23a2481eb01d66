package main

import (
	"context"
	"io"
	"math"

	"bordon/listen"
	"bordon/listen/audio/cue"
	"bordon/listen/audio/pulse"
	"bordon/listen/live"
	"bordon/listen/match"
	"bordon/listen/practice"
	"bordon/theory"
	"bordon/ui"
)

// running is one run: it stands between the room and the session as the
// source, and between the session and whoever is told as the outlet.
type running struct {
	outlet
	p    *practising
	part part
	set  listen.Settings
	s    *listen.Session

	ends    *ending // set when the run is to end
	turn    []match.Verdict
	turns   int // that are over
	said    []match.Verdict
	summary []string
	tried   *match.Verdict // untimed: the last note that was not right
	shown   int            // turn of which was last said whose it is
	opened  bool

	heard  []float32 // the line as it is heard, from its first note on
	first  float64   // beats after beat 1 at which that lies
	passes int       // of the line that were sent to the loudspeaker
}

// run plays a part, and says how it ended. more tells that another follows
// without a break.
func (p *practising) run(ctx context.Context, q part, how beginning, more bool, i int) (ending, *running, error) {
	set, countIn, style := p.place(q, how)
	r := &running{outlet: p.outlet(countIn), p: p, part: q, set: set, opened: q.opening != nil && how != goingOn}
	room := set
	if more {
		room.Turns = 0 // the claps go on into the next part
	}
	cfg := live.Config{Settings: room, CountIn: countIn, Style: style, Risen: how == carried, Tell: (&stage{say: r.say}).tell}
	if p.f.rise > 0 {
		cfg.Rise = &pulse.Rise{Step: p.f.rise, Clean: p.f.riseAfter, Most: p.f.riseTo}
	}
	if err := p.room.Again(cfg); err != nil {
		return ending{}, r, err
	}
	if q.flags.kind == noPulse {
		p.room.Still(false)
	}
	p.tape.reset()
	if p.feed != nil {
		p.feed.Begin(p.live(q, set, countIn, how == goingOn))
		if how != goingOn {
			p.feed.Say("")
		}
	}
	if r.opened {
		p.announce(q, how)
	}
	switch p.plan.Way {
	case practice.Untimed:
		end, err := r.untimed(ctx)
		return end, r, err
	case practice.HearFirst, practice.Listening:
		if err := r.prepare(); err != nil {
			return ending{}, r, err
		}
	}
	if p.plan.Way == practice.Listening {
		end, err := r.listenOnly(ctx)
		return end, r, err
	}
	perf := performance{set: set, countIn: countIn, record: p.f.record, stage: &stage{room: p.room}}
	err := p.a.judge(ctx, perf, r, p.o.devices, r)
	if err != nil || ctx.Err() != nil {
		return ending{why: left}, r, err
	}
	if r.ends == nil {
		r.ends = &ending{why: over}
		if set.Turns > 0 {
			last := r.s.Grid().Sample(float64(set.Turns * set.Form.Beats))
			r.ends.ahead = float64(last-r.s.Heard()) / float64(r.s.Rate())
		}
	}
	r.ends.turns = r.turns
	return *r.ends, r, nil
}

// outlet is who is told of a run.
func (p *practising) outlet(countIn float64) outlet {
	switch {
	case p.feed != nil:
		return p.screen
	case p.format == "json":
		return &jsonOutlet{a: p.a}
	}
	return &linesOutlet{a: p.a, countIn: countIn}
}

func (r *running) Rate() int { return r.p.room.Rate() }

// Read gives what the room hears, until the run is to end.
func (r *running) Read(ctx context.Context, dst []float32) (int, int64, error) {
	if r.ends == nil {
		r.ask()
	}
	if r.ends != nil {
		return 0, 0, io.EOF
	}
	n, lost, err := r.p.room.Read(ctx, dst)
	r.p.tape.write(dst[:n], lost)
	if r.heard != nil && r.s != nil {
		r.sound(r.s.Grid().Beat(r.p.tape.at))
	}
	return n, lost, err
}

// ask takes what the player asks for while it is played.
func (r *running) ask() {
	if r.p.feed == nil {
		return
	}
	select {
	case c := <-r.p.feed.Commands():
		switch c.Do {
		case ui.GoOn:
			r.ends = &ending{why: stopped}
		case ui.Again:
			r.ends = &ending{why: again}
		case ui.Next:
			r.ends = &ending{why: onwards}
		case ui.Edit:
			r.ends = &ending{why: changed, text: c.Text}
		}
	default:
	}
}

func (r *running) start(s *listen.Session, d listen.Devices) error {
	r.s = s
	return r.outlet.start(s, d)
}

func (r *running) event(e listen.Event) error {
	switch {
	case e.Kind == listen.Final:
		r.turn = append(r.turn, e.Verdict)
		r.said = append(r.said, e.Verdict)
	case e.Kind == listen.TurnScore && e.Turn > 0:
		r.turns = e.Turn
		r.over()
		r.turn = nil
	}
	return r.outlet.event(e)
}

// over is the end of a stretch.
func (r *running) over() {
	if r.p.plan.Sounds {
		if sound := cue.Told(practice.OutcomeOf(r.turn), r.Rate()); sound != nil {
			r.p.room.PlayNow(sound)
		}
	}
	for _, v := range r.turn {
		if r.p.plan.Hold.Holds(v) && r.ends == nil {
			r.ends = &ending{why: held, verdict: v}
		}
	}
}

func (r *running) meters(m ui.Meters) {
	r.outlet.meters(m)
	if r.s == nil {
		return
	}
	beat := r.s.Grid().Beat(m.Heard)
	if r.opened && beat >= -3 { // the hands are on the strings by now
		r.opened = false
		r.close()
	}
	if r.p.plan.Way != practice.HearFirst || beat < 0 {
		return
	}
	passes := max(r.part.line.Turns, 1)
	if n := int(beat)/(passes*r.set.Form.Beats) + 1; n != r.shown {
		r.shown = n
		if n%2 == 1 {
			r.say(language.HearTurn())
		} else {
			r.say(language.AnswerTurn())
		}
	}
}

// close puts the opening of a key away.
func (r *running) close() {
	if r.p.feed != nil {
		r.p.feed.Open(nil)
		r.p.feed.Say("")
	}
}

// end tells of the end of the session, and remembers the take.
func (r *running) end(s *listen.Session, dir string) error {
	r.p.dir = dir
	r.summary = summary(s)
	return r.outlet.end(s, dir)
}

// prepare makes the line's sound.
func (r *running) prepare() error {
	line := r.part.line
	form := r.set.Form
	r.first = line.Items[0].Position.Offset(form.Beats)
	seconds := func(beat float64) float64 { return form.Units(beat) * 60 / r.set.Tempo }
	sound, err := cue.Line(line, 0, r.set.Cejilla, r.set.A4, r.Rate(), func(p theory.Position) float64 {
		return seconds(p.Offset(form.Beats)) - seconds(r.first)
	})
	r.heard = sound
	return err
}

// sound sends the line to the loudspeaker a second before it is due: in each
// pass where one only listens, else in every other.
func (r *running) sound(beat float64) {
	pass := float64(max(r.part.line.Turns, 1) * r.set.Form.Beats)
	every := pass
	if r.p.plan.Way == practice.HearFirst {
		every = 2 * pass
	}
	due := float64(r.passes)*every + r.first
	if r.set.Turns > 0 && due >= float64(r.set.Turns*r.set.Form.Beats) {
		return
	}
	if ahead := r.set.Form.Units(due-beat) * 60 / r.set.Tempo; ahead > 1 {
		return
	}
	if !r.p.room.PlayAt(due, r.heard) && due-beat > 0.5 {
		return // the clocks are not known yet
	}
	r.passes++
}

// listenOnly lets the line be heard in every turn; nothing is judged or kept.
func (r *running) listenOnly(ctx context.Context) (ending, error) {
	s, err := listen.NewSession(r.set, r.Rate())
	if err != nil {
		return ending{}, err
	}
	r.s = s
	r.say(language.OnlyListen())
	until := int64(math.MaxInt64)
	if at := endOf(r.set, r.Rate()); at > 0 {
		until = at
	}
	buf := make([]float32, 1024)
	for r.ends == nil && r.p.tape.at < until {
		if _, _, err := r.Read(ctx, buf); err != nil {
			if ctx.Err() != nil {
				return ending{why: left}, nil
			}
			if r.ends == nil {
				return ending{}, err
			}
		}
		r.meters(ui.Meters{Heard: r.p.tape.at})
	}
	r.p.dir = ""
	if r.ends == nil {
		r.ends = &ending{why: over}
	}
	r.ends.ahead = float64(until-r.p.tape.at) / float64(r.Rate())
	return *r.ends, nil
}
