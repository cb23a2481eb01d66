package report

import (
	"fmt"
	"io"
	"slices"

	"bordon/listen/take"
	"bordon/ui/words"
)

// mostWeeks is how many weeks a table shows, the latest.
const mostWeeks = 12

// progressView is what the template of a progress draws.
type progressView struct {
	frame
	W       words.ReportWords
	Over    string
	Weakest []string
	NoWeak  string
	Plan    []exercise
	Heads   [3]string // over weakest, plan, spots
	Tables  []table
	Method  string
}

type exercise struct{ Name, Steps, Why string }

// table is one line in one key: beats by weeks.
type table struct {
	ID, Name string
	Weeks    []string
	Rows     []spotRow
}

type spotRow struct {
	Beat  string
	Weeks []string
	State string
	Weak  bool
}

// Progress writes the report of a progress across takes to w.
func Progress(w io.Writer, lang *words.Language, p take.Progress) error {
	r := lang.Report()
	v := progressView{frame: newFrame(lang, r.ProgressTitle), W: r, Method: lang.WilsonSays(),
		Heads: [3]string{lang.WeakestHead(), lang.PlanHead(), lang.SpotsHead()}}
	v.Over = lang.NoTakes()
	if p.Takes > 0 {
		v.Over = lang.ProgressOver(p)
	}
	for _, s := range p.Weakest {
		v.Weakest = append(v.Weakest, lang.SpotLine(s)+": "+lang.SpotState(s))
	}
	if len(p.Weakest) == 0 {
		v.NoWeak = lang.NoWeakSpot()
	}
	for _, e := range p.Plan {
		v.Plan = append(v.Plan, exercise{lang.SpotLine(e.Spot), lang.ExerciseSteps(e), lang.ExerciseReason(e)})
	}
	for from := 0; from < len(p.Spots); {
		to := from
		for to < len(p.Spots) && sameLine(p.Spots[from], p.Spots[to]) {
			to++
		}
		v.Tables = append(v.Tables, tableOf(lang, p.Spots[from:to], len(v.Tables)))
		from = to
	}
	if err := progressPage.Execute(w, v); err != nil {
		return fmt.Errorf("cannot write the progress report: %w", err)
	}
	return nil
}

func sameLine(a, b take.Spot) bool {
	return a.Key == b.Key && a.Cejilla == b.Cejilla && a.Form == b.Form && a.Line == b.Line
}

func tableOf(lang *words.Language, spots []take.Spot, n int) table {
	t := table{ID: fmt.Sprintf("line%d", n), Name: lang.LineName(spots[0])}
	for _, s := range spots {
		for _, w := range s.Weeks {
			if !slices.Contains(t.Weeks, w.Monday) {
				t.Weeks = append(t.Weeks, w.Monday)
			}
		}
	}
	slices.Sort(t.Weeks)
	t.Weeks = t.Weeks[max(len(t.Weeks)-mostWeeks, 0):]
	for _, s := range spots {
		r := spotRow{Beat: take.BeatOf(s.Beat), State: lang.SpotState(s), Weak: s.State == take.Weak}
		for _, monday := range t.Weeks {
			text := ""
			for _, w := range s.Weeks {
				if w.Monday == monday {
					text = lang.RightOf(w.Right, w.Of)
				}
			}
			r.Weeks = append(r.Weeks, text)
		}
		t.Rows = append(t.Rows, r)
	}
	return t
}
