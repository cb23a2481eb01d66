package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"bordon/listen"
	"bordon/listen/forms"
	"bordon/listen/lines"
	"bordon/listen/practice"
	"bordon/listen/take"
	"bordon/theory"
	"bordon/ui"
	"bordon/ui/keys"
	"bordon/ui/page"
)

// wayFlags say how a line is practised.
type wayFlags struct {
	say        string
	untimed    bool
	only       string
	through    string
	order      string
	hearFirst  bool
	listenOnly bool
	turnPlan   string
	hold       bool
	holdTiming bool
	sounds     bool
	large      bool
	keys       string
	home       string
	plan       bool
}

var orders = []string{"in-order", "by-chance", "weak-first"}

func (f *wayFlags) defaults() { *f = wayFlags{order: orders[0], home: defaultKey} }

func (f *wayFlags) add(cmd *cobra.Command) {
	fs := cmd.Flags()
	fs.StringVarP(&f.say, "say", "s", f.say, `how to practise, in a sentence: "alegrías in G, cejilla 3, at 104, claps on the accents"`)
	fs.BoolVar(&f.untimed, "untimed", f.untimed, "no pulse: each note is waited for until it is right")
	fs.StringVar(&f.only, "beats", f.only, "judge these beats only, such as 7-10")
	fs.StringVar(&f.through, "through", f.through, `go through several keys: "G F Bb"; --turns says how long in each`)
	fs.Var(&word{to: &f.order, words: orders}, "order", "in which order: as named, by chance, or weak keys first")
	fs.BoolVar(&f.hearFirst, "hear-first", f.hearFirst, "a turn is played for you, the next is your answer")
	fs.BoolVar(&f.listenOnly, "listen-only", f.listenOnly, "the line is played for you in every turn, nothing is judged")
	fs.StringVar(&f.turnPlan, "turn-plan", f.turnPlan, `what each turn is: "strummed; 2 line; falseta; line best-2"`)
	fs.BoolVar(&f.hold, "hold", f.hold, "stop after a wrong note until the right one is played")
	fs.BoolVar(&f.holdTiming, "hold-timing", f.holdTiming, "stop after an early or late note too")
	fs.BoolVar(&f.sounds, "sounds", f.sounds, "tell with a short sound how each stretch went: clean, late, wrong")
	fs.BoolVar(&f.large, "large", f.large, "large letters, for the wall")
	fs.StringVar(&f.keys, "keys", f.keys, "map keys, such as those of a pedal: start=pgdown,again=pgup")
	fs.StringVar(&f.home, "home", f.home, "key that you know, which an opening key is compared with")
	fs.BoolVar(&f.plan, "plan", f.plan, "practise what your takes show to be weak")
	complete(cmd, "order", orders)
	complete(cmd, "home", keyValues())
	for _, name := range []string{"say", "beats", "through", "turn-plan", "keys"} {
		complete(cmd, name, nil)
	}
}

// asked reports whether any way to practise was asked for.
func (f *wayFlags) asked() bool {
	return f.say != "" || f.untimed || f.only != "" || f.through != "" || f.hearFirst || f.listenOnly ||
		f.turnPlan != "" || f.hold || f.holdTiming || f.sounds || f.plan || f.order != orders[0] || f.keys != ""
}

func knownForm(name string) bool {
	_, err := forms.Lookup("", name)
	return err == nil
}

// planOf is how the flags say to practise.
func (f *listenFlags) planOf() (practice.Plan, error) {
	if f.say != "" {
		for _, flag := range []string{"key", "line", "form", "tempo", "cejilla", "turns", "through", "beats", "turn-plan", "count-from"} {
			if f.has(flag) {
				return practice.Plan{}, fmt.Errorf("--say and --%s both say how to practise; say it in the sentence", flag)
			}
		}
		return practice.Parse(language.Practice(f.say), knownForm)
	}
	said := []string{f.form + " in " + f.key}
	if f.through != "" {
		said[0] = f.form + " in " + strings.Join(strings.Fields(strings.ReplaceAll(f.through, ",", " ")), " then ")
	}
	say := func(when bool, format string, args ...any) {
		if when {
			said = append(said, fmt.Sprintf(format, args...))
		}
	}
	say(f.cejilla != 0, "cejilla %d", f.cejilla)
	say(f.has("tempo") || f.tap || f.flags == nil, "at %s", strconv.FormatFloat(f.tempo, 'f', -1, 64))
	say(f.line != "", "line %s", f.line)
	say(f.only != "", "beats %s", strings.ReplaceAll(f.only, "-", " to "))
	say(f.turns == 1, "1 turn")
	say(f.turns > 1, "%d turns", f.turns)
	say(f.untimed, "untimed")
	say(f.hearFirst, "hear it first")
	say(f.listenOnly, "listening only")
	say(f.order == orders[1], "by chance")
	say(f.order == orders[2], "weak keys first")
	say(f.holdTiming, "hold late notes too")
	say(f.hold && !f.holdTiming, "hold wrong notes")
	if !f.untimed {
		say(f.kind == "accents", "claps on the accents")
		say(f.kind == noPulse, "no claps")
	}
	say(f.contratiempo, "claps between the beats")
	say(f.everyOther, "every other turn silent")
	say(f.countFrom > 0, "counted from %d", f.countFrom)
	say(f.turnPlan != "", "plan %s", f.turnPlan)
	say(f.sounds, "sounds")
	return practice.Parse(language.Practice(strings.Join(said, ", ")), knownForm)
}

// part is one key, or one exercise, of what is practised.
type part struct {
	set     listen.Settings // FirstBeat is for a room that was just opened
	countIn float64
	line    theory.Line                 // that is played; set.Line is what is judged of it
	opening func(width int) []page.Line // of the key; nil where there is but one
	chosen  string                      // which line is asked for where none was named
	flags   *listenFlags
}

// parts are what a plan comes to, in its order.
func (f *listenFlags) parts(plan practice.Plan, weakness func(string) float64, seed uint64) ([]part, error) {
	if plan.Way == practice.HearFirst || plan.Way == practice.Listening {
		if plan.Claps == practice.NoClaps {
			return nil, errors.New("what is heard needs its place in the compás; let the claps be heard too")
		}
	}
	var all []part
	for _, key := range practice.Arrange(plan.Keys, plan.Order, weakness, seed) {
		p, err := f.part(plan, key)
		if err != nil {
			return nil, err
		}
		if len(plan.Keys) > 1 {
			if plan.Turns == 0 {
				return nil, errors.New("going through keys needs to know how long each is played; say such as 4 turns (--turns 4)")
			}
			if p.opening, err = f.open(p.set, p.line); err != nil {
				return nil, err
			}
		}
		all = append(all, p)
	}
	return all, nil
}

// open is the opening screen of a key.
func (f *listenFlags) open(set listen.Settings, line theory.Line) (func(width int) []page.Line, error) {
	home, err := theory.ParseKey(f.home)
	if err != nil {
		return nil, err
	}
	o, err := keys.Open(language, set.Key, set.Form.KeyIn(home), set.Form, set.Line.Tuning)
	if err != nil {
		return nil, err
	}
	o.Cejilla, o.Asked = set.Cejilla, line
	return o.Draw, nil
}

// part lays out one key of a plan.
func (f *listenFlags) part(plan practice.Plan, key string) (part, error) {
	g := *f
	g.flags = nil
	g.key, g.form, g.line, g.cejilla, g.turns = key, plan.Form, plan.Line, plan.Cejilla, plan.Turns
	g.kind = pulses[plan.Claps]
	if plan.Way == practice.Untimed {
		g.kind = noPulse
	}
	g.contratiempo, g.everyOther, g.countFrom = plan.Contratiempo, plan.EveryOther, plan.CountFrom
	form, err := forms.Lookup("", plan.Form)
	if err != nil {
		return part{}, err
	}
	switch {
	case plan.Tempo > 0:
		g.tempo = plan.Tempo
	case form.Tempo > 0:
		g.tempo = form.Tempo
	default:
		g.tempo = defaultTempo
	}
	set, err := g.settings()
	if err != nil {
		return part{}, err
	}
	p := part{line: set.Line, chosen: g.chosen, flags: &g}
	switch {
	case plan.From > 0:
		set.Line, err = practice.Only(set.Line, plan.From, plan.To)
		set.LineText, p.line = "", set.Line
	case len(plan.TurnPlan) > 0:
		set.Line, err = practice.Compose(plan.TurnPlan, set.Key, set.Form, set.Line.Tuning, func(name string) (theory.Line, error) {
			if name == "" {
				return p.line, nil
			}
			return lines.Named(name, set.Key, set.Form, p.line.Tuning)
		})
		set.LineText, set.Planned = "", true
	}
	if err != nil {
		return part{}, err
	}
	if plan.Way == practice.HearFirst {
		if set.Line, err = practice.Answered(set.Line); err != nil {
			return part{}, err
		}
		set.LineText, set.Planned = "", true
		set.Turns *= 2
	}
	p.set, p.countIn = set, g.beats(set)
	return p, validate(set)
}

// exercises are the parts that the progress of the takes comes to.
func (f *listenFlags) exercises(entries []take.Entry) ([]part, error) {
	progress := take.ProgressOf(entries)
	if len(progress.Plan) == 0 {
		return nil, fail(errors.New(language.NoWeakSpot()))
	}
	var all []part
	for _, e := range progress.Plan {
		for _, tempo := range e.Tempos {
			plan := practice.Plan{Form: e.Spot.Form, Keys: []string{e.Spot.Key}, Cejilla: e.Spot.Cejilla, Tempo: tempo,
				Line: e.Spot.Line, Turns: e.Turns, Claps: practice.Claps(max(indexOf(pulses, f.kind), 0)), Hold: f.holds(), Sounds: f.sounds}
			p, err := f.part(plan, e.Spot.Key)
			if err != nil {
				return nil, fail(fmt.Errorf("%s: %w", language.SpotLine(e.Spot), err))
			}
			if p.opening, err = f.open(p.set, p.line); err != nil {
				return nil, fail(err)
			}
			all = append(all, p)
		}
	}
	return all, nil
}

func (f *wayFlags) holds() practice.Hold {
	switch {
	case f.holdTiming:
		return practice.HoldTiming
	case f.hold:
		return practice.HoldPitch
	}
	return practice.NoHold
}

func indexOf(words []string, word string) int {
	for i, w := range words {
		if w == word {
			return i
		}
	}
	return -1
}

// weaknessOf tells how weak keys are by what the takes show: the share of their
// notes that was not right and on time, 0 where nothing is known.
func weaknessOf(entries []take.Entry) func(string) float64 {
	right, of := map[string]int{}, map[string]int{}
	for _, s := range take.ProgressOf(entries).Spots {
		right[s.Key] += s.Right
		of[s.Key] += s.Of
	}
	return func(key string) float64 {
		k, err := theory.ParseKey(key)
		if err != nil || of[k.String()] == 0 {
			return 0
		}
		return 1 - float64(right[k.String()])/float64(of[k.String()])
	}
}

// pedals are the keys that the player maps.
func (f *wayFlags) pedals() (ui.Keys, error) { return ui.ParseKeys(f.keys) }
