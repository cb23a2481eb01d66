package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
)

// freeSchema names the JSON that a freeReport is written as.
const freeSchema = "bordon-eval-free/1"

// freeReport is all that was measured of the free takes.
type freeReport struct {
	settings runSettings
	absent   []missing
	halves   []half
	outcomes []*freeOutcome
	worst    []*freeOutcome
	by       string // who scored the beats
	speed    float64
}

// freeColumn is a figure of free takes.
type freeColumn struct {
	name, key, short string
	value            func(*freeFigures) float64
	goal             string
}

func percentOf(of func(*freeFigures) share) func(*freeFigures) float64 {
	return func(f *freeFigures) float64 { return of(f).percent() }
}

func meanOf(of func(*freeFigures) []float64) func(*freeFigures) float64 {
	return func(f *freeFigures) float64 { return mean(of(f)) }
}

// freeColumns are the figures of takes with some compás, in the order of
// reports.
var freeColumns = []freeColumn{
	{"beats, F-measure", "beat_f", "beat", meanOf(func(f *freeFigures) []float64 { return f.beats }), ">= 0.98"},
	{"beats 1, F-measure", "downbeat_f", "beat 1", meanOf(func(f *freeFigures) []float64 { return f.downs }), ">= 0.97"},
	{"beats in compás alone, F-measure", "beat_in_compas_f", "inside", meanOf(func(f *freeFigures) []float64 { return f.inside }), ""},
	{"aubiotrack's beats, F-measure", "aubio_beat_f", "aubio", meanOf(func(f *freeFigures) []float64 { return f.aubioBeats }), ""},
	{"aubiotrack's beats in compás alone, F-measure", "aubio_beat_in_compas_f", "inside", meanOf(func(f *freeFigures) []float64 { return f.aubioInside }), ""},
	{"accuracy on the grid found, %", "accuracy", "acc", percentOf(func(f *freeFigures) share { return f.accuracy }), ""},
	{"accuracy on the true grid, %", "accuracy_given", "given", percentOf(func(f *freeFigures) share { return f.given.accuracy }), ""},
	{"accuracy lost by finding the grid, points", "accuracy_lost", "lost", func(f *freeFigures) float64 { return f.given.accuracy.percent() - f.accuracy.percent() }, "<= 1"},
	{"coverage on the grid found, %", "coverage", "cov", percentOf(func(f *freeFigures) share { return f.coverage }), ""},
	{"coverage on the true grid, %", "coverage_given", "given", percentOf(func(f *freeFigures) share { return f.given.coverage }), ""},
	{"accused on the grid found, %", "accused", "accus", percentOf(func(f *freeFigures) share { return f.accused }), "<= 0.5"},
	{"accused on the true grid, %", "accused_given", "given", percentOf(func(f *freeFigures) share { return f.given.accused }), ""},
	{"timing accused on the grid found, %", "timing_accused", "t acc", percentOf(func(f *freeFigures) share { return f.follow.timingAccused }), ""},
	{"timing accused on the true grid, %", "timing_accused_given", "", percentOf(func(f *freeFigures) share { return f.given.timingAccused }), ""},
	{"timing missed on the grid found, %", "timing_missed", "t miss", percentOf(func(f *freeFigures) share { return f.follow.timingMissed }), ""},
	{"timing missed on the true grid, %", "timing_missed_given", "", percentOf(func(f *freeFigures) share { return f.given.timingMissed }), ""},
	{"strummed turns judged on the grid found, %", "strummed_judged", "", percentOf(func(f *freeFigures) share { return f.follow.strummedPlayed }), ""},
	{"strummed turns judged on the true grid, %", "strummed_judged_given", "", percentOf(func(f *freeFigures) share { return f.given.strummedPlayed }), ""},
	{"segments of a turn or more found, %", "segments_found", "segs", percentOf(func(f *freeFigures) share { return f.segments }), ""},
	{"shorter segments found, %", "short_segments_found", "short", percentOf(func(f *freeFigures) share { return f.short }), ""},
	{"segments invented", "segments_invented", "inv", func(f *freeFigures) float64 { return float64(f.invented) }, "0"},
	{"takes refused, %", "refused", "refus", percentOf(func(f *freeFigures) share { return f.refused }), ""},
	{"takes with two readings, none picked, %", "two_readings", "two", percentOf(func(f *freeFigures) share { return f.close }), ""},
	{"changes of chord accused on the grid found, %", "chords_accused", "ch acc", percentOf(func(f *freeFigures) share { return f.chords.accused }), "<= 1"},
	{"changes of chord accused on the true grid, %", "chords_accused_given", "", percentOf(func(f *freeFigures) share { return f.chordsGiven.accused }), ""},
	{"changes of chord let off on the grid found, %", "chords_let_off", "ch off", percentOf(func(f *freeFigures) share { return f.chords.letOff }), "<= 5"},
	{"changes of chord let off on the true grid, %", "chords_let_off_given", "", percentOf(func(f *freeFigures) share { return f.chordsGiven.letOff }), ""},
	{"changes of chord unsure on the grid found, %", "chords_unsure", "ch uns", percentOf(func(f *freeFigures) share { return f.chords.unsure }), ""},
	{"changes of chord unsure on the true grid, %", "chords_unsure_given", "", percentOf(func(f *freeFigures) share { return f.chordsGiven.unsure }), ""},
	{"early and late changes told the right way round, of those told, %", "chords_timed", "", percentOf(func(f *freeFigures) share { return f.chords.timed }), ""},
	{"key named right, of takes of two turns or more in the form's usual keys, %", "key", "key", percentOf(func(f *freeFigures) share { return f.key }), ">= 99"},
	{"key named wrong, of the same, %", "key_wrong", "wrong", percentOf(func(f *freeFigures) share { return f.keyWrong }), ""},
	{"key named right, of takes of two turns or more in any key, %", "any_key", "any", percentOf(func(f *freeFigures) share { return f.anyKey }), ""},
}

// rightlyRefused is the figure of takes of something else.
var rightlyRefused = freeColumn{"something else, refused rightly, %", "refused_rightly", "refused",
	percentOf(func(f *freeFigures) share { return f.refusedRightly }), "100"}

func freeNumber(c *freeColumn, f *freeFigures) string {
	v := c.value(f)
	switch {
	case math.IsNaN(v):
		return "-"
	case c.key == "segments_invented":
		return fmt.Sprintf("%.0f", v)
	case len(c.key) > 2 && c.key[len(c.key)-2:] == "_f":
		return fmt.Sprintf("%.3f", v)
	}
	return fmt.Sprintf("%.1f", v)
}

// sumFree sums up outcomes by what of tells of each, in order of appearance;
// what it calls "" is passed over.
func sumFree(all []*freeOutcome, of func(*freeOutcome) string) (names []string, sums map[string]*freeFigures) {
	sums = map[string]*freeFigures{}
	for _, o := range all {
		name := of(o)
		if name == "" {
			continue
		}
		if sums[name] == nil {
			sums[name] = &freeFigures{}
			names = append(names, name)
		}
		sums[name].add(o.figures)
	}
	return names, sums
}

// groups of a half: kinds, instruments, those left out of tuning, and
// recordings of something else.
func (r *freeReport) groups(h half) (total *freeFigures, by [4]func(*freeOutcome) string) {
	in := func(o *freeOutcome, apart, none bool) bool {
		return o.entry.half == h && o.entry.guitar.apart == apart && o.entry.cond.none == none
	}
	named := func(apart, none bool, name func(*freeOutcome) string) func(*freeOutcome) string {
		return func(o *freeOutcome) string {
			if in(o, apart, none) {
				return name(o)
			}
			return ""
		}
	}
	cond := func(o *freeOutcome) string { return o.entry.cond.name }
	guitar := func(o *freeOutcome) string { return o.entry.guitar.name }
	by = [4]func(*freeOutcome) string{named(false, false, cond), named(false, false, guitar), named(true, false, guitar), named(false, true, cond)}
	_, sums := sumFree(r.outcomes, named(false, false, func(*freeOutcome) string { return "all" }))
	total = &freeFigures{}
	if sums["all"] != nil {
		total = sums["all"]
	}
	return total, by
}

// text writes the report for people.
func (r *freeReport) text(w io.Writer) {
	fmt.Fprintf(w, "free takes: seed %d, %d of each kind in each half, weights %s\n", r.settings.Seed, r.settings.Takes, r.settings.Weights)
	for _, m := range r.absent {
		fmt.Fprintf(w, "left out: %s: %s\n", m.Name, m.Why)
	}
	fmt.Fprintf(w, "beats scored by %s, within %.0f ms\n", r.by, 1000*beatWindow)
	for _, h := range r.halves {
		f, by := r.groups(h)
		fmt.Fprintf(w, "\n== Half of the seeds %s: %d takes with some compás, %d notes ==\n\n", h, f.takes, f.given.coverage.Of)
		rows := [][]string{{"figure", "all", "goal"}}
		for i := range freeColumns {
			c := &freeColumns[i]
			rows = append(rows, []string{c.name, freeNumber(c, f), c.goal})
		}
		var none freeFigures
		names, sums := sumFree(r.outcomes, by[3])
		for _, n := range names {
			none.add(sums[n])
		}
		rows = append(rows, []string{rightlyRefused.name, freeNumber(&rightlyRefused, &none), rightlyRefused.goal})
		columns(w, rows)
		r.list(w, "kind", by[0])
		r.list(w, "instrument", by[1])
		r.list(w, "left out of all tuning", by[2])
		if len(names) > 0 {
			rows := [][]string{{"something else", "takes", "refused", "segments"}}
			for _, n := range names {
				rows = append(rows, []string{n, fmt.Sprint(sums[n].takes), freeNumber(&rightlyRefused, sums[n]), fmt.Sprint(sums[n].segmentsFound)})
			}
			columns(w, rows)
		}
	}
	if len(r.worst) > 0 {
		rows := [][]string{{"worst takes", "beat", "beat 1", "acc", "accused", "segments", ""}}
		for _, o := range r.worst {
			f := o.figures
			rows = append(rows, []string{o.entry.name(), freeNumber(&freeColumns[0], f), freeNumber(&freeColumns[1], f), freeNumber(&freeColumns[5], f),
				fmt.Sprint(f.accused.N), fmt.Sprintf("%d of %d", len(o.follow.segments), len(o.take.Segments)), o.told()})
		}
		columns(w, rows)
	}
	fmt.Fprintf(w, "speed: %.0f times real time on one core, decoding excluded\n", r.speed)
}

// told is what a take is, and what was said of it.
func (o *freeOutcome) told() string {
	t := o.take
	s := fmt.Sprintf("%s %s at %.0f, line %s", t.Key, t.Form, t.Tempo, t.Line)
	if o.follow.refused != "" {
		s += "; " + o.follow.refused
	}
	if o.follow.close {
		s += "; two readings"
	}
	return s
}

func (r *freeReport) list(w io.Writer, title string, of func(*freeOutcome) string) {
	names, sums := sumFree(r.outcomes, of)
	if len(names) == 0 {
		return
	}
	head := []string{title, "takes"}
	for _, c := range freeColumns {
		if c.short != "" {
			head = append(head, c.short)
		}
	}
	rows := [][]string{head}
	for _, n := range names {
		row := []string{n, fmt.Sprint(sums[n].takes)}
		for i := range freeColumns {
			if c := &freeColumns[i]; c.short != "" {
				row = append(row, freeNumber(c, sums[n]))
			}
		}
		rows = append(rows, row)
	}
	columns(w, rows)
}

// worstFree are the n takes whose beats 1 and verdicts went most wrong.
func worstFree(all []*freeOutcome, n int) []*freeOutcome {
	loss := func(o *freeOutcome) float64 {
		f := o.figures
		if len(o.take.Segments) == 0 {
			return 2 * float64(f.refusedRightly.Of-f.refusedRightly.N)
		}
		v := 1 - mean(f.beats)
		if len(f.downs) > 0 {
			v += 1 - mean(f.downs)
		}
		return v + 0.1*float64(f.accused.N)
	}
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b *freeOutcome) int { return cmp.Compare(loss(b), loss(a)) })
	return sorted[:min(n, len(sorted))]
}

// freeRow is a set of figures in JSON, by their keys.
type freeRow struct {
	Name    string             `json:"name"`
	Takes   int                `json:"takes"`
	Notes   int                `json:"notes"`
	Figures map[string]decimal `json:"figures"`
}

func freeRowOf(name string, f *freeFigures, of []freeColumn) freeRow {
	row := freeRow{name, f.takes, f.given.coverage.Of, map[string]decimal{}}
	for _, c := range of {
		row.Figures[c.key] = decimal(c.value(f))
	}
	return row
}

// json writes the report for programs: one object.
func (r *freeReport) json(w io.Writer) error {
	type halfRows struct {
		Half        string    `json:"half"`
		All         freeRow   `json:"all"`
		Kinds       []freeRow `json:"kinds"`
		Instruments []freeRow `json:"instruments"`
		Apart       []freeRow `json:"left_out_of_tuning"`
		Others      []freeRow `json:"something_else"`
	}
	out := struct {
		Schema string      `json:"schema"`
		Run    runSettings `json:"run"`
		Absent []missing   `json:"left_out"`
		By     string      `json:"beats_scored_by"`
		Halves []halfRows  `json:"halves"`
		Speed  decimal     `json:"times_real_time"`
	}{freeSchema, r.settings, append([]missing{}, r.absent...), r.by, []halfRows{}, decimal(r.speed)}
	for _, h := range r.halves {
		f, by := r.groups(h)
		rows := func(i int, of []freeColumn) []freeRow {
			out := []freeRow{}
			names, sums := sumFree(r.outcomes, by[i])
			for _, n := range names {
				out = append(out, freeRowOf(n, sums[n], of))
			}
			return out
		}
		out.Halves = append(out.Halves, halfRows{h.String(), freeRowOf("all", f, freeColumns), rows(0, freeColumns), rows(1, freeColumns),
			rows(2, freeColumns), rows(3, []freeColumn{rightlyRefused})})
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	if err := enc.Encode(out); err != nil {
		return fmt.Errorf("write the report: %w", err)
	}
	return nil
}
