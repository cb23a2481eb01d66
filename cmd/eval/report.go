package main

import (
	"encoding/json"
	"fmt"
	"io"
)

// schema names the JSON that report is written as.
const schema = "bordon-eval/1"

// report is all that was measured.
type report struct {
	settings runSettings
	absent   []missing
	parts    [][]outcome // by variant; nil where not asked for
	variants []string
	alone    []alone
	outcomes []outcome
	halves   []half
	speed    float64 // times faster than real time; NaN where not measured
}

// runSettings are what a report can be repeated with.
type runSettings struct {
	Seed    uint64 `json:"seed"`
	Takes   int    `json:"takes"`
	Weights string `json:"weights"`
	Without string `json:"without"`
	Blind   bool   `json:"line_unknown"`
}

func byCondition(o outcome) string { return o.entry.cond.name }
func byGuitar(o outcome) string    { return o.entry.guitar.name }

// of keeps the outcomes of a half, played on instruments left out of tuning or
// on the others, without lines that overlap with the fingers' notes.
func (r *report) of(h half, apart bool) []outcome {
	var out []outcome
	for _, o := range r.outcomes {
		if o.entry.half == h && o.entry.guitar.apart == apart && !o.entry.cond.overlap {
			out = append(out, o)
		}
	}
	return out
}

// overlapping keeps those of lines that do.
func (r *report) overlapping(h half) []outcome {
	var out []outcome
	for _, o := range r.outcomes {
		if o.entry.half == h && o.entry.cond.overlap {
			out = append(out, o)
		}
	}
	return out
}

func total(all []outcome) *figures {
	var f figures
	for _, o := range all {
		f.add(o.figures)
	}
	return &f
}

// text writes the report for people.
func (r *report) text(w io.Writer) {
	fmt.Fprintf(w, "seed %d, %d takes of each condition in each half, weights %s", r.settings.Seed, r.settings.Takes, r.settings.Weights)
	if r.settings.Without != "" {
		fmt.Fprintf(w, ", without %s", r.settings.Without)
	}
	if r.settings.Blind {
		fmt.Fprint(w, ", the line unknown")
	}
	fmt.Fprintln(w)
	for _, m := range r.absent {
		fmt.Fprintf(w, "left out: %s: %s\n", m.Name, m.Why)
	}
	for _, h := range r.halves {
		all := r.of(h, false)
		if len(all) > 0 {
			r.half(w, fmt.Sprintf("Half of the seeds %s", h), all)
		}
		if names, sums := group(r.overlapping(h), byCondition); len(names) > 0 {
			list(w, "apart, for bass and fingers overlap", names, sums)
		}
		if apart := r.of(h, true); len(apart) > 0 {
			names, sums := group(apart, byGuitar)
			for _, n := range names {
				fmt.Fprintf(w, "== %s, left out of all tuning: %d takes, %d notes ==\n\n", n, sums[n].takes, sums[n].coverage.Of)
				conditions, bySum := group(apart, func(o outcome) string {
					if o.entry.guitar.name == n {
						return o.entry.cond.name
					}
					return ""
				})
				summary(w, sums[n], conditions, bySum)
				mistakes(w, sums[n])
			}
		}
	}
	r.textParts(w)
	if len(r.alone) > 0 {
		rows := [][]string{{"nobody plays", "beats", "sworn to", "unsure", "extras"}}
		for _, a := range r.alone {
			rows = append(rows, []string{a.Name, fmt.Sprint(a.Beats), fmt.Sprint(a.Sworn.N), fmt.Sprint(a.Unsure.N), fmt.Sprint(a.Extras)})
		}
		columns(w, rows)
	}
	if r.speed == r.speed {
		fmt.Fprintf(w, "speed: %.0f times real time on one core, decoding excluded\n", r.speed)
	}
}

func (r *report) half(w io.Writer, title string, all []outcome) {
	f := total(all)
	fmt.Fprintf(w, "\n== %s: %d takes, %d notes ==\n\n", title, f.takes, f.coverage.Of)
	if f.lost > 0 {
		fmt.Fprintf(w, "%d expected notes got no verdict\n\n", f.lost)
	}
	conditions, sums := group(all, byCondition)
	summary(w, f, conditions, sums)
	list(w, "condition", conditions, sums)
	guitars, bySum := group(all, byGuitar)
	list(w, "instrument", guitars, bySum)
	mistakes(w, f)
	trust(w, f)
}

func (r *report) textParts(w io.Writer) {
	if len(r.parts) == 0 {
		return
	}
	names, sums := r.partSums()
	list(w, "the ear with", names, sums)
}

func (r *report) partSums() ([]string, map[string]*figures) {
	sums := map[string]*figures{}
	for i, n := range r.variants {
		sums[n] = total(r.parts[i])
	}
	return r.variants, sums
}

// row is a set of figures in JSON.
type row struct {
	Name           string  `json:"name"`
	Takes          int     `json:"takes"`
	Turns          int     `json:"turns"`
	Notes          int     `json:"notes"`
	Accuracy       share   `json:"accuracy"`
	Coverage       share   `json:"coverage"`
	Identity       share   `json:"identity"`
	Accused        share   `json:"accused"`
	LetOff         share   `json:"let_off"`
	TimingAccused  share   `json:"timing_accused"`
	TimingMissed   share   `json:"timing_missed"`
	Extras         int     `json:"extras"`
	ExtrasPerTurn  decimal `json:"extras_per_turn"`
	ExtrasTold     share   `json:"planted_extras_told"`
	OnsetMedian    decimal `json:"onset_error_median_ms"`
	Onset95        decimal `json:"onset_error_95th_ms"`
	DelayMedian    decimal `json:"delay_median_ms"`
	Delay95        decimal `json:"delay_95th_ms"`
	FirstMedian    decimal `json:"first_answer_median_ms"`
	PlayedStrummed share   `json:"played_turns_called_strummed"`
	StrummedPlayed share   `json:"strummed_turns_not_called_so"`
	TuningWithin3  share   `json:"tuning_told_within_3_cents"`
	NotesPrecision decimal `json:"note_tracking_precision"`
	NotesRecall    decimal `json:"note_tracking_recall"`
	NotesF         decimal `json:"note_tracking_f"`
	LostVerdicts   int     `json:"notes_without_verdict"`
}

func rowOf(name string, f *figures) row {
	return row{
		Name: name, Takes: f.takes, Turns: f.turns, Notes: f.coverage.Of,
		Accuracy: f.accuracy, Coverage: f.coverage, Identity: f.identity, Accused: f.accused, LetOff: f.letOff,
		TimingAccused: f.timingAccused, TimingMissed: f.timingMissed, Extras: f.extras, ExtrasPerTurn: decimal(f.extrasPerTurn()), ExtrasTold: f.extrasHeard,
		OnsetMedian: decimal(quantile(f.onset, 0.5)), Onset95: decimal(quantile(f.onset, 0.95)),
		DelayMedian: decimal(quantile(f.delay, 0.5)), Delay95: decimal(quantile(f.delay, 0.95)), FirstMedian: decimal(quantile(f.first, 0.5)),
		PlayedStrummed: f.playedStrummed, StrummedPlayed: f.strummedPlayed, TuningWithin3: f.tuned,
		NotesPrecision: decimal(f.notes.precision()), NotesRecall: decimal(f.notes.recall()), NotesF: decimal(f.notes.fMeasure()),
		LostVerdicts: f.lost,
	}
}

func rowsOf(names []string, sums map[string]*figures) []row {
	rows := []row{}
	for _, n := range names {
		rows = append(rows, rowOf(n, sums[n]))
	}
	return rows
}

type halfObject struct {
	Half        string     `json:"half"`
	All         row        `json:"all"`
	Conditions  []row      `json:"conditions"`
	Instruments []row      `json:"instruments"`
	Worst       []worstRow `json:"worst"`
	Mistakes    []slipRow  `json:"mistakes"`
	Reliability []binRow   `json:"reliability"`
	Apart       []row      `json:"left_out_of_tuning"`
	Overlap     []row      `json:"bass_and_fingers_overlap"`
}

type worstRow struct {
	Figure    string  `json:"figure"`
	Condition string  `json:"condition"`
	Value     decimal `json:"value"`
}

type slipRow struct {
	Mistake string `json:"mistake"`
	Told    share  `json:"told"`
	Right   share  `json:"called_right"`
	Unsure  share  `json:"unsure"`
}

type binRow struct {
	From  float64 `json:"from"`
	Right share   `json:"right"`
}

// json writes the report for programs: one object.
func (r *report) json(w io.Writer) error {
	out := struct {
		Schema string       `json:"schema"`
		Run    runSettings  `json:"run"`
		Absent []missing    `json:"left_out"`
		Halves []halfObject `json:"halves"`
		Parts  []row        `json:"parts"`
		Alone  []alone      `json:"alone"`
		Speed  decimal      `json:"times_real_time"`
	}{schema, r.settings, append([]missing{}, r.absent...), []halfObject{}, rowsOf(r.partSums()), append([]alone{}, r.alone...), decimal(r.speed)}
	for _, h := range r.halves {
		out.Halves = append(out.Halves, r.object(h))
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	if err := enc.Encode(out); err != nil {
		return fmt.Errorf("write the report: %w", err)
	}
	return nil
}

func (r *report) object(h half) halfObject {
	all := r.of(h, false)
	f := total(all)
	names, sums := group(all, byCondition)
	o := halfObject{Half: h.String(), All: rowOf("all", f), Conditions: rowsOf(names, sums), Instruments: rowsOf(group(all, byGuitar)),
		Apart: rowsOf(group(r.of(h, true), byGuitar)), Overlap: rowsOf(group(r.overlapping(h), byCondition)), Worst: []worstRow{}, Mistakes: []slipRow{}}
	for i := range table {
		if name, v := table[i].worstOf(names, sums); name != "" {
			o.Worst = append(o.Worst, worstRow{table[i].name, name, decimal(v)})
		}
	}
	for _, m := range told {
		if k := f.kinds[m]; k != nil {
			o.Mistakes = append(o.Mistakes, slipRow{slipName(m), k.told, k.right, k.unsure})
		}
	}
	for i, b := range f.sure {
		o.Reliability = append(o.Reliability, binRow{edges[i], b.right})
	}
	return o
}
