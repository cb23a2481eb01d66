package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"bordon/fixtures"
)

// number writes a value of a figure, "-" where there is none.
func (g *figure) number(v float64) string {
	switch {
	case math.IsNaN(v):
		return "-"
	case g.unit == "ms":
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.2f", v)
}

func (g *figure) goalText(goal float64) string {
	if math.IsNaN(goal) {
		return ""
	}
	sign := "<="
	if g.up {
		sign = ">="
	}
	return fmt.Sprintf("%s %g", sign, goal)
}

// columns lays lines of cells out under one another.
func columns(w io.Writer, rows [][]string) {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, row := range rows {
		fmt.Fprintln(tw, strings.TrimRight(strings.Join(row, "\t"), "\t "))
	}
	tw.Flush()
	fmt.Fprintln(w)
}

// summary writes every figure, its goal, and where it is worst.
func summary(w io.Writer, f *figures, conditions []string, sums map[string]*figures) {
	rows := [][]string{{"figure", "all", "goal", "", "worst", "goal", "", "where"}}
	for i := range table {
		g := &table[i]
		v := g.value(f)
		name, at := g.worstOf(conditions, sums)
		row := []string{g.name, strings.TrimSpace(g.number(v) + " " + g.unit), g.goalText(g.goal), missed(g.meets(v, g.goal)),
			g.number(at), g.goalText(g.worst), missed(g.meets(at, g.worst)), ""}
		if name != "" {
			row[7] = fmt.Sprintf("%s (of %d)", name, g.of(sums[name]))
		}
		rows = append(rows, row)
	}
	columns(w, rows)
}

func missed(meets bool) string {
	if meets {
		return ""
	}
	return "missed"
}

// list writes a row of figures for each name.
func list(w io.Writer, title string, names []string, sums map[string]*figures) {
	head := []string{title, "takes", "notes"}
	for _, g := range table {
		if g.short != "" {
			head = append(head, g.short)
		}
	}
	rows := [][]string{head}
	for _, n := range names {
		f := sums[n]
		row := []string{n, fmt.Sprint(f.takes), fmt.Sprint(f.coverage.Of)}
		for i := range table {
			if g := &table[i]; g.short != "" {
				row = append(row, g.number(g.value(f)))
			}
		}
		rows = append(rows, row)
	}
	columns(w, rows)
}

// told are the mistakes of the line's own notes, in the order of reports.
var told = []fixtures.Mistake{fixtures.None, fixtures.InScale, fixtures.OutOfScale, fixtures.Octave, fixtures.Missing, fixtures.Early, fixtures.Late, fixtures.Strummed}

func slipName(m fixtures.Mistake) string {
	if m == fixtures.None {
		return "as asked"
	}
	return string(m)
}

// mistakes writes what became of the notes with each mistake.
func mistakes(w io.Writer, f *figures) {
	rows := [][]string{{"what was played", "notes", "told", "called right", "unsure"}}
	for _, m := range told {
		k := f.kinds[m]
		if k == nil {
			continue
		}
		rows = append(rows, []string{slipName(m), fmt.Sprint(k.right.Of), table[0].number(k.told.percent()), table[0].number(k.right.percent()), table[0].number(k.unsure.percent())})
	}
	columns(w, rows)
}

// trust writes the reliability table and the note tracking.
func trust(w io.Writer, f *figures) {
	rows := [][]string{{"confidence", "heard", "were right"}}
	for i, b := range f.sure {
		to := 1.0
		if i+1 < len(edges) {
			to = edges[i+1]
		}
		rows = append(rows, []string{fmt.Sprintf("%.2f to %.2f", edges[i], to), fmt.Sprint(b.right.Of), table[0].number(b.right.percent())})
	}
	columns(w, rows)
	fmt.Fprintf(w, "confidence and frequency lie %.2f %% apart\n", f.sure.off())
	fmt.Fprintf(w, "note tracking (onset within 50 ms, pitch within a quarter tone): precision %.2f %%, recall %.2f %%, F %.2f %%; %d notes, %d heard\n\n",
		100*f.notes.precision(), 100*f.notes.recall(), 100*f.notes.fMeasure(), f.notes.reference, f.notes.estimated)
}

// faults writes what was got wrong in an outcome.
func faults(w io.Writer, o outcome) {
	t := o.judged.take
	fmt.Fprintf(w, "%s: %s %s, line %s, %.0f a minute, cejilla %d, %+.0f cents; %d of %d wrong\n", t.Name, t.Key, t.Form, t.Line, t.Tempo, t.Cejilla, t.TuningCents,
		len(o.figures.faults), len(o.judged.pairs))
	if _, p, err := o.entry.perform(); err == nil {
		fmt.Fprintf(w, "  %v\n", p)
	}
	rows := [][]string{}
	for _, f := range o.figures.faults {
		if f.extra != nil {
			rows = append(rows, []string{"", "extra", fmt.Sprintf("at %.3f s", f.extra.Time), "", "", fmt.Sprintf("heard %s, confidence %.2f", f.extra.Name, f.extra.Confidence)})
			continue
		}
		n, b := f.p.truth, f.p.beat
		row := []string{"", fmt.Sprintf("turn %d beat %s", n.Turn, n.Beat), fmt.Sprintf("at %.3f s", n.Due), "asked " + midiName(n.Asked), "played nothing", "said " + string(b.Pitch)}
		if n.MIDI > 0 {
			row[4] = fmt.Sprintf("played %s %+.0f ms", midiName(n.MIDI), 1000*(n.Time-n.Due))
		}
		if n.Mistake != fixtures.None {
			row[4] += " (" + string(n.Mistake) + ")"
		}
		if f.what == "timing" {
			row[5] += " and " + string(*b.Timing)
		}
		if b.Heard != nil {
			row = append(row, fmt.Sprintf("heard %s, confidence %.2f, %+.0f ms, decided %+.0f ms", midiName(b.Heard.MIDI), b.Heard.Confidence, 1000*(b.Heard.Time-n.Due), 1000*(b.Decided-n.Due)))
		}
		rows = append(rows, row)
	}
	columns(w, rows)
}

// midiName is scientific pitch notation, by sharps.
func midiName(midi int) string {
	if midi <= 0 {
		return "nothing"
	}
	return [...]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}[midi%12] + fmt.Sprint(midi/12-1)
}
