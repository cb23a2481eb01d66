package practice

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"bordon/theory"
)

// MaxSentence is the length of a sentence in bytes.
const MaxSentence = 2000

// Default is what a sentence leaves unsaid.
var Default = Plan{Form: "alegrias", Keys: []string{"D"}}

// Parse reads a sentence:
//
//	sentence = clause { "," clause }
//	clause   = [ form ] ( "in" | "through" ) key { ( "then" | "and" ) key }
//	         | form [ "por medio" | "por arriba" ]
//	         | "cejilla" fret | "no cejilla"
//	         | "at" tempo
//	         | "claps" [ "on every beat" | "on the accents" | "between the beats" ] | "no claps"
//	         | "every other turn silent" | "counted from" beat
//	         | "line" ( name | items ) | "beats" beat "to" beat
//	         | number ( "turn" | "turns" ) [ "each" ]
//	         | "untimed" | "hear it first" | "listening only"
//	         | "in order" | "by chance" | "weak keys first"
//	         | "hold" [ "wrong notes" | "late notes too" ] | "sounds"
//	         | "plan" turn { ";" turn }
//	turn     = [ number ] ( "strummed" | "falseta" | "line" [ name | items ] )
//
// Clauses come in any order, each once; accents and capitals do not matter but
// for keys and notes. Keys are as theory.ParseKey reads them; "B flat" and
// "F sharp minor" are keys too. What is not said is as in Default. known
// reports whether there is a form of a name. The error names the clause.
func Parse(sentence string, known func(form string) bool) (Plan, error) {
	p := Default
	p.Keys = append([]string(nil), p.Keys...)
	if len(sentence) > MaxSentence {
		return p, fmt.Errorf("the sentence is %d bytes long; say it in at most %d", len(sentence), MaxSentence)
	}
	r := reader{plan: &p, known: known, said: map[string]bool{}}
	some := false
	for _, clause := range strings.Split(strings.TrimSuffix(strings.TrimSpace(sentence), "."), ",") {
		words := strings.Fields(clause)
		if len(words) == 0 {
			continue
		}
		some = true
		if err := r.clause(words); err != nil {
			return p, fmt.Errorf("%q: %w", short(strings.Join(words, " ")), err)
		}
	}
	if !some {
		return p, errors.New("nothing is said; say it such as: alegrías in G, at 104, claps on the accents")
	}
	return p, p.consistent()
}

// consistent says what of a plan does not go together.
func (p *Plan) consistent() error {
	switch {
	case p.Way == Untimed && (p.EveryOther || p.Contratiempo || p.Claps == Accents):
		return errors.New("untimed has no pulse, so nothing is clapped; leave the claps out")
	case p.Way == Untimed && len(p.TurnPlan) > 0, p.Way != Timed && len(p.TurnPlan) > 0:
		return errors.New("a turn plan is played with the pulse; leave out untimed, hear it first and listening only, or the plan")
	case p.Way == Listening && (p.Hold != NoHold || p.Sounds):
		return errors.New("where one only listens nothing is judged; leave out hold and sounds")
	case p.Way == Untimed && p.Hold != NoHold:
		return errors.New("untimed waits for each note anyway; leave out hold")
	case p.Order != InOrder && len(p.Keys) < 2:
		return errors.New("an order needs several keys, such as: in G then F then Bb")
	case len(p.TurnPlan) > 0 && p.From > 0:
		return errors.New("a turn plan names its own lines; leave out the beats, or the plan")
	}
	return nil
}

type reader struct {
	plan  *Plan
	known func(string) bool
	said  map[string]bool
}

// once refuses a thing that was said before.
func (r *reader) once(thing string) error {
	if r.said[thing] {
		return fmt.Errorf("the %s was said before; say it once", thing)
	}
	r.said[thing] = true
	return nil
}

// fixed are the clauses of set words.
var fixed = map[string]struct {
	thing string
	set   func(*Plan)
}{
	"no cejilla":              {"cejilla", func(p *Plan) { p.Cejilla = 0 }},
	"claps":                   {"claps", func(p *Plan) { p.Claps = EveryBeat }},
	"claps on every beat":     {"claps", func(p *Plan) { p.Claps = EveryBeat }},
	"claps on the accents":    {"claps", func(p *Plan) { p.Claps = Accents }},
	"no claps":                {"claps", func(p *Plan) { p.Claps = NoClaps }},
	"claps between the beats": {"claps between the beats", func(p *Plan) { p.Contratiempo = true }},
	"contratiempo":            {"claps between the beats", func(p *Plan) { p.Contratiempo = true }},
	"every other turn silent": {"silent turn", func(p *Plan) { p.EveryOther = true }},
	"untimed":                 {"way", func(p *Plan) { p.Way = Untimed }},
	"hear it first":           {"way", func(p *Plan) { p.Way = HearFirst }},
	"listening only":          {"way", func(p *Plan) { p.Way = Listening }},
	"in order":                {"order", func(p *Plan) { p.Order = InOrder }},
	"by chance":               {"order", func(p *Plan) { p.Order = ByChance }},
	"weak keys first":         {"order", func(p *Plan) { p.Order = WeakFirst }},
	"hold":                    {"hold", func(p *Plan) { p.Hold = HoldPitch }},
	"hold wrong notes":        {"hold", func(p *Plan) { p.Hold = HoldPitch }},
	"hold late notes too":     {"hold", func(p *Plan) { p.Hold = HoldTiming }},
	"sounds":                  {"sounds", func(p *Plan) { p.Sounds = true }},
}

func (r *reader) clause(words []string) error {
	low := make([]string, len(words))
	for i, w := range words {
		low[i] = fold(w)
	}
	if f, ok := fixed[strings.Join(low, " ")]; ok {
		if err := r.once(f.thing); err != nil {
			return err
		}
		f.set(r.plan)
		return nil
	}
	rest := words[1:]
	switch low[0] {
	case "cejilla":
		return r.whole("cejilla", rest, &r.plan.Cejilla, 0, 12, "a fret, such as cejilla 3")
	case "at":
		return r.tempo(rest)
	case "counted":
		if len(rest) == 2 && low[1] == "from" {
			return r.whole("count-in", rest[1:], &r.plan.CountFrom, 1, theory.MaxBeats, "a beat, such as counted from 12")
		}
	case "beats":
		return r.beats(low[1:])
	case "line":
		if err := r.once("line"); err != nil {
			return err
		}
		if len(rest) == 0 {
			return errors.New("name the line, such as line usual, or line 7:3 8:2 9:7 10:1")
		}
		r.plan.Line = strings.Join(rest, " ")
		return nil
	case "plan":
		return r.turns(strings.Join(rest, " "))
	case "in", "through":
		return r.keys(rest)
	}
	if _, err := strconv.Atoi(low[0]); err == nil {
		if n := len(low); n >= 2 && n <= 3 && strings.HasPrefix(low[1], "turn") && (n == 2 || low[2] == "each") {
			return r.whole("number of turns", words[:1], &r.plan.Turns, 1, 10000, "a number, such as 8 turns")
		}
	}
	return r.form(words, low)
}

// form reads a form, and the key behind it.
func (r *reader) form(words, low []string) error {
	cut := len(words)
	for i, w := range low {
		if w == "in" || w == "through" || w == "por" {
			cut = i
			break
		}
	}
	name := strings.ReplaceAll(strings.Join(low[:cut], "-"), "-/-", "/")
	if cut == 0 || !r.known(name) {
		return errors.New("that is no form and no way to practise; say it such as: alegrías in G, cejilla 3, at 104, claps on the accents, beats 7 to 10, untimed, hear it first, hold")
	}
	if err := r.once("form"); err != nil {
		return err
	}
	r.plan.Form = name
	switch {
	case cut == len(words):
		return nil
	case low[cut] == "por":
		return r.keys(words[cut:])
	}
	return r.keys(words[cut+1:])
}

func (r *reader) whole(thing string, words []string, to *int, least, most int, such string) error {
	if err := r.once(thing); err != nil {
		return err
	}
	if len(words) == 1 {
		if v, err := strconv.Atoi(words[0]); err == nil && v >= least && v <= most {
			*to = v
			return nil
		}
	}
	return fmt.Errorf("it wants %s, from %d to %d", such, least, most)
}

func (r *reader) tempo(words []string) error {
	if err := r.once("tempo"); err != nil {
		return err
	}
	if n := len(words); n == 1 || n == 3 && words[1] == "a" && words[2] == "minute" {
		if v, err := strconv.ParseFloat(words[0], 64); err == nil && v >= 20 && v <= 400 && !math.IsNaN(v) {
			r.plan.Tempo = v
			return nil
		}
	}
	return errors.New("it wants a tempo, such as at 104, from 20 to 400 a minute")
}

func (r *reader) beats(words []string) error {
	if err := r.once("beats"); err != nil {
		return err
	}
	if len(words) == 3 && words[1] == "to" {
		from, err := strconv.Atoi(words[0])
		to, err2 := strconv.Atoi(words[2])
		if err == nil && err2 == nil && from >= 1 && to >= from && to <= theory.MaxBeats {
			r.plan.From, r.plan.To = from, to
			return nil
		}
	}
	return errors.New("it wants two beats in order, such as beats 7 to 10")
}

// keys reads keys that are parted by then or and.
func (r *reader) keys(words []string) error {
	if err := r.once("key"); err != nil {
		return err
	}
	var keys []string
	for part := []string{}; ; words = words[1:] {
		if len(words) > 0 && fold(words[0]) != "then" && fold(words[0]) != "and" {
			part = append(part, words[0])
			continue
		}
		key, err := keyOf(part)
		if err != nil {
			return err
		}
		keys, part = append(keys, key), nil
		if len(keys) > maxKeys {
			return fmt.Errorf("there are more than %d keys; name fewer", maxKeys)
		}
		if len(words) == 0 {
			break
		}
	}
	r.plan.Keys = keys
	return nil
}

const maxKeys = 24

// keyOf reads a key of one or more words: "Bb", "B flat", "F sharp minor".
func keyOf(words []string) (string, error) {
	if len(words) == 0 {
		return "", errors.New("a key is missing; name one such as G, F#m or por-medio")
	}
	name := words[0]
	if fold(name) == "por" && len(words) == 2 {
		name, words = "por-"+fold(words[1]), nil
	} else {
		words = words[1:]
	}
	for _, w := range words {
		switch fold(w) {
		case "flat":
			name += "b"
		case "sharp":
			name += "#"
		case "major":
		case "minor":
			name += "m"
		case "phrygian":
			name += "-phrygian"
		default:
			return "", fmt.Errorf("%q is not part of a key; keys are parted by then or and: in G then Bb", short(w))
		}
	}
	if _, err := theory.ParseKey(name); err != nil {
		return "", err
	}
	return name, nil
}

// turns reads a turn plan.
func (r *reader) turns(text string) error {
	if err := r.once("plan"); err != nil {
		return err
	}
	turns, err := ParseTurns(text)
	r.plan.TurnPlan = turns
	return err
}

// ParseTurns reads a turn plan as the sentence has it: "strummed; 2 line".
func ParseTurns(text string) ([]Turn, error) {
	const such = "name each turn: strummed, falseta, or line, such as plan strummed; 2 line; falseta"
	var turns []Turn
	for _, part := range strings.Split(text, ";") {
		words := strings.Fields(part)
		t := Turn{Times: 1}
		if len(words) > 0 {
			if n, err := strconv.Atoi(words[0]); err == nil {
				if n < 1 || n > MaxTimes {
					return nil, fmt.Errorf("a turn cannot be played %d times in a row; it must be 1 to %d", n, MaxTimes)
				}
				t.Times, words = n, words[1:]
			}
		}
		if len(words) == 0 {
			return nil, errors.New(such)
		}
		switch fold(words[0]) {
		case "strummed":
			t.Kind = Strummed
		case "falseta":
			t.Kind = Falseta
		case "line":
			t.Kind, t.Line = Played, strings.Join(words[1:], " ")
		default:
			return nil, errors.New(such)
		}
		if t.Kind != Played && len(words) > 1 {
			return nil, errors.New(such)
		}
		if len(turns) >= theory.MaxTurns {
			return nil, fmt.Errorf("the turn plan has more than %d turns", theory.MaxTurns)
		}
		turns = append(turns, t)
	}
	return turns, nil
}

// String is the sentence of the plan, which Parse reads to the same plan.
func (p Plan) String() string {
	said := []string{p.Form + " in " + strings.Join(p.Keys, " then ")}
	say := func(when bool, format string, args ...any) {
		if when {
			said = append(said, fmt.Sprintf(format, args...))
		}
	}
	say(p.Cejilla > 0, "cejilla %d", p.Cejilla)
	say(p.Tempo > 0, "at %s", strconv.FormatFloat(p.Tempo, 'f', -1, 64))
	say(p.Line != "", "line %s", p.Line)
	say(p.From > 0, "beats %d to %d", p.From, p.To)
	say(p.Turns == 1, "1 turn")
	say(p.Turns > 1, "%d turns", p.Turns)
	say(p.Way == Untimed, "untimed")
	say(p.Way == HearFirst, "hear it first")
	say(p.Way == Listening, "listening only")
	say(p.Order == ByChance, "by chance")
	say(p.Order == WeakFirst, "weak keys first")
	say(p.Hold == HoldPitch, "hold wrong notes")
	say(p.Hold == HoldTiming, "hold late notes too")
	say(p.Claps == Accents, "claps on the accents")
	say(p.Claps == NoClaps, "no claps")
	say(p.Contratiempo, "claps between the beats")
	say(p.EveryOther, "every other turn silent")
	say(p.CountFrom > 0, "counted from %d", p.CountFrom)
	say(len(p.TurnPlan) > 0, "plan %s", SayTurns(p.TurnPlan))
	say(p.Sounds, "sounds")
	return strings.Join(said, ", ")
}

var accents = strings.NewReplacer("á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ñ", "n")

func fold(s string) string { return accents.Replace(strings.ToLower(s)) }

func short(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "..."
	}
	return s
}
