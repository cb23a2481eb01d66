package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bordon/listen"
	"bordon/listen/audio"
	"bordon/listen/audio/pulse"
	"bordon/listen/config"
	"bordon/listen/forms"
	"bordon/listen/live"
	"bordon/listen/match"
	"bordon/listen/practice"
	"bordon/listen/take"
	"bordon/ui"
	"bordon/ui/page"
)

// practising is a live session of one run or several on the same devices.
type practising struct {
	a      *app
	f      *listenFlags
	plan   practice.Plan
	parts  []part
	weak   func(string) float64
	pedals ui.Keys

	o     *opener
	room  *live.Room
	tape  *tape
	note  string // of the delay
	delay struct {
		ms    float64
		known bool
	}

	format string
	feed   *ui.Feed // nil without a screen
	screen *screenOutlet
	dir    string // of the last take; "" where none was kept
}

// beginning is how a run begins.
type beginning int

const (
	fresh   beginning = iota // after the lead
	anew                     // on devices that are known: after a short one
	goingOn                  // likewise, on the page as it is
	carried                  // one turn after the last, without a break
)

// why a run ended, or the page no longer stands.
type why int

const (
	over    why = iota // all of it was played
	left               // the program ends
	stopped            // the player stopped it
	held               // a note was wrong: it is waited for
	again
	onwards // to the next part
	goOn
	changed // another sentence
)

// ending is how a run ended.
type ending struct {
	why     why
	text    string        // of changed
	verdict match.Verdict // of held
	turns   int           // that were played
	ahead   float64       // seconds until the last turn is over
}

// practise holds a live session in the ways that the flags ask for.
func (a *app) practise(ctx context.Context, f *listenFlags) error {
	p := &practising{a: a, f: f, format: f.format}
	var err error
	if p.pedals, err = f.pedals(); err != nil {
		return err
	}
	if f.tap {
		bpm, err := a.tapped(ctx, time.Now)
		if err != nil {
			return fail(err)
		}
		f.tempo = bpm
	}
	if err := p.choose(ctx); err != nil {
		return err
	}
	screen := a.onScreen(f.format)
	if f.record {
		a.repairTakes(ctx)
	}
	defer oneProcessor()()
	if err := p.enter(ctx); err != nil {
		return fail(err)
	}
	if cautions := a.cautionsOnce(); len(cautions) > 0 {
		if !screen {
			for _, c := range cautions {
				a.talk("%s", c)
			}
		} else {
			// The stream begins anew once they are read.
			if err := p.leave(); err != nil {
				return fail(err)
			}
			if read, err := ui.Notice(ctx, language, cautions, a.stdin, a.stdout); err != nil || !read {
				return fail(err)
			}
			if err := p.enter(ctx); err != nil {
				return fail(err)
			}
		}
	}
	if screen {
		err = p.onScreen(ctx)
	} else {
		if note := p.notes(); note != "" {
			a.talk("%s", note)
		}
		err = p.runs(ctx)
	}
	return fail(errors.Join(err, p.leave()))
}

// onScreen reports whether there is a screen to draw on.
func (a *app) onScreen(format string) bool {
	return format == "text" && isTerminal(a.stdout) && isTerminal(a.stdin) && os.Getenv("TERM") != "dumb"
}

// choose reads what is to be practised.
func (p *practising) choose(ctx context.Context) error {
	if p.f.plan {
		p.a.repairTakes(ctx)
		entries, _, err := take.History(p.a.takes)
		if err != nil {
			return fail(err)
		}
		p.plan = practice.Plan{Hold: p.f.holds(), Sounds: p.f.sounds}
		p.parts, err = p.f.exercises(entries)
		return err
	}
	plan, err := p.f.planOf()
	if err != nil {
		return err
	}
	if plan.Order == practice.WeakFirst {
		entries, _, err := take.History(p.a.takes)
		if err != nil {
			return fail(err)
		}
		p.weak = weaknessOf(entries)
	}
	p.plan = plan
	p.parts, err = p.f.parts(plan, p.weak, uint64(now().UnixNano()))
	return err
}

// check says what is wrong with another sentence.
func (p *practising) check(sentence string) error {
	_, _, err := p.read(sentence)
	return err
}

func (p *practising) read(sentence string) (practice.Plan, []part, error) {
	plan, err := practice.Parse(language.Practice(sentence), knownForm)
	if err != nil {
		return plan, nil, err
	}
	parts, err := p.f.parts(plan, p.weak, uint64(now().UnixNano()))
	return plan, parts, err
}

// enter opens the devices.
func (p *practising) enter(ctx context.Context) error {
	f := p.f
	p.o = &opener{a: p.a, input: f.device, output: f.output, play: true}
	if c, err := config.Load(p.a.config); err == nil { // delayOf tells of an error
		p.o.input, p.o.output = cmp.Or(p.o.input, c.Input), cmp.Or(p.o.output, c.Output)
	}
	room, err := live.Enter(ctx, live.Config{Open: p.o.open, Settings: p.parts[0].set, CountIn: p.parts[0].countIn})
	if err != nil {
		return err
	}
	p.room, p.tape = room, newTape(room.Rate())
	p.delay.ms, p.delay.known, p.note = f.delay.ms, f.delay.known, ""
	if !f.delay.known {
		p.delay.ms, p.delay.known, p.note = p.a.delayOf(p.o)
	}
	return nil
}

// notes are what stands under the page: what is not heard or not judged, and
// why.
func (p *practising) notes() string {
	var notes []string
	if p.o.noPulse != nil && p.parts[0].flags.kind != noPulse {
		notes = append(notes, language.NoPulse(inWords(p.o.noPulse)))
	}
	if p.note != "" && p.plan.Way != practice.Untimed && p.plan.Way != practice.Listening { // which know no early and late
		notes = append(notes, p.note)
	}
	return strings.Join(notes, " ")
}

func (p *practising) leave() error {
	err := p.room.Close()
	p.o.tell()
	return err
}

// onScreen shows the runs on the live screen.
func (p *practising) onScreen(ctx context.Context) error {
	defer audio.Quiet()() // sound libraries print to the terminal what they like
	p.screen = &screenOutlet{}
	err := ui.Show(ctx, p.live(p.parts[0], p.parts[0].set, p.parts[0].countIn, false), p.a.stdin, p.a.stdout,
		func(ctx context.Context, feed *ui.Feed) ([]string, error) {
			p.feed, p.screen.feed = feed, feed
			err := p.runs(ctx)
			return p.screen.last.Summary, err
		})
	if p.screen.done {
		if _, werr := io.WriteString(p.a.stdout, page.Text(p.screen.ruled(), p.a.width())); err == nil {
			err = werr
		}
		if p.dir != "" {
			fmt.Fprintf(p.a.stdout, "  %s\n", language.Kept(printable(p.dir)))
		}
	}
	return err
}

// live is what the screen shows of a part.
func (p *practising) live(q part, set listen.Settings, countIn float64, goesOn bool) ui.Live {
	note := strings.TrimSpace(q.chosen + " " + p.notes())
	for i := range p.parts {
		if len(p.parts) > 1 && p.parts[i].flags == q.flags {
			note = strings.TrimSpace(language.Stretch(i+1, len(p.parts)) + " " + note)
		}
	}
	l := ui.Live{Words: language, Settings: set, CountIn: countIn, Rate: p.room.Rate(), Note: note,
		Large: p.f.large, Continue: goesOn, Commands: true, Keys: p.pedals, Check: p.check}
	if !p.f.plan {
		l.Sentence = language.Practised(titled(p.plan))
	}
	return l
}

// titled is a plan's sentence, its form written as the page has it where that reads
// to the same plan.
func titled(plan practice.Plan) string {
	said := plan.String()
	form, err := forms.Lookup("", plan.Form)
	if err != nil {
		return said
	}
	better := form.Title + strings.TrimPrefix(said, plan.Form)
	if again, err := practice.Parse(better, knownForm); err == nil && again.String() == said {
		return better
	}
	return said
}

// runs plays the parts one after the other, and what the player asks for
// between them.
func (p *practising) runs(ctx context.Context) error {
	how := fresh
	for i, q := 0, p.parts[0]; ; {
		end, r, err := p.run(ctx, q, how, i+1 < len(p.parts), i)
		if err != nil {
			return err
		}
		if end.why == over && i+1 < len(p.parts) {
			i++
			q = p.parts[i]
			q.set.FirstBeat = end.ahead
			how = carried
			continue
		}
		for standing := true; standing; {
			standing = false
			switch end.why {
			case over, stopped:
				p.room.Still(end.why == stopped)
				if end, err = p.stand(ctx, r, end.why == over); err != nil {
					return err
				}
				standing = true
			case held:
				p.room.Still(false)
				before := end
				if end, err = p.hold(ctx, r, end.verdict); err != nil {
					return err
				}
				if end.why != goOn {
					standing = true
					break
				}
				how = goingOn
				if q.set.Turns > 0 {
					if q.set.Turns -= before.turns; q.set.Turns <= 0 {
						end, standing = ending{why: over}, true
					}
				}
			case left:
				return nil
			case again, goOn:
				q, how = p.parts[i], anew
			case onwards:
				i = (i + 1) % len(p.parts)
				q, how = p.parts[i], anew
			case changed:
				plan, parts, err := p.read(end.text)
				if err != nil { // its screen has checked it
					return err
				}
				p.plan, p.parts = plan, parts
				i, q, how = 0, parts[0], anew
			}
		}
	}
}

// again's lead, in seconds: hands are on the guitar, and the clocks are known.
const shortLead = 1.5

// place lets a part begin the way it does. carried, its FirstBeat is in how
// many seconds the turn before it is over.
func (p *practising) place(q part, how beginning) (set listen.Settings, countIn float64, style pulse.Style) {
	set, countIn = q.set, q.countIn
	set.Delay, set.DelayKnown = p.delay.ms, p.delay.known
	units := 60 / set.Tempo
	switch how {
	case anew, goingOn:
		set.FirstBeat = shortLead - set.Form.Units(-countIn)*units
	case carried:
		countIn = float64(set.Form.Beats)
		set.FirstBeat = q.set.FirstBeat + set.Form.Units(countIn)*units
	}
	return set, countIn, q.flags.style()
}

// announce opens the key that comes.
func (p *practising) announce(q part, how beginning) {
	if q.opening == nil {
		return
	}
	key := language.Key(q.set.Key)
	said := language.FirstKey(key)
	if how == carried {
		said = language.Announce(key)
	}
	if p.feed == nil {
		p.a.talk("%s", said)
		return
	}
	p.feed.Open(q.opening)
	p.feed.Say(said)
}

// discard throws the last take away.
func (p *practising) discard() (said string) {
	if p.dir == "" {
		return language.NotKept()
	}
	if err := take.Delete(filepath.Dir(p.dir), filepath.Base(p.dir)); err != nil {
		return inWords(err)
	}
	p.dir = ""
	if p.screen != nil {
		p.screen.dir = ""
		p.feed.Keep(nil)
	}
	return language.Discarded()
}
