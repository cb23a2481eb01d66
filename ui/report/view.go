package report

import (
	"fmt"
	"math"
	"strings"

	"bordon/listen"
	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/ui/page"
	"bordon/ui/words"
)

// view is what the template of a take draws.
type view struct {
	frame
	W       words.ReportWords
	ID      string
	When    string
	Heading string
	Columns []string
	Rows    []row
	NoTurns []string // in their place
	Fit     string   // how small the page is printed
	Left    string   // what is left out in print; "" for nothing
	Silent  string   // why there is no sound, or not all; "" where all is there
	Summary []string
	Formula []string
	Reasons []string
	Rulings []string
	Newer   []string
	Note    string
	Timing  *plot
	Offsets [][]string // beat, mean, spread, notes
	Tuning  *plot
	Sound   sound
	Command string // that overrules a verdict; "" where no take is kept
	Holds   string // whose the recording is; "" where it is the reader's own
}

type row struct {
	Label    string
	Strummed string
	Cells    []cell
	Also     string
	Screen   bool // not printed
}

type cell struct {
	Role    string // CSS class
	Note    string
	Remarks []string
	Blank   bool
	Play    bool
	Clip    string
	At, For float64
	Asked   string
	Name    string // what a screen reader says of the button
}

var roles = map[page.Role]string{page.Quiet: "quiet", page.Wrong: "wrong", page.Doubt: "doubt", page.Ahead: "doubt"}

func newView(lang *words.Language, s *take.Stored) (*view, error) {
	p, err := page.OfTake(lang, s)
	if err != nil {
		return nil, err
	}
	set, err := s.Settings(nil)
	if err != nil {
		return nil, err
	}
	w := lang.Report()
	v := &view{
		frame: newFrame(lang, strings.TrimSpace(w.Title+" "+s.ID)), W: w, ID: s.ID, When: when(s.Take.Started),
		Heading: page.Title(p), Note: s.Player.Note,
		Summary: page.Summary(lang, s), NoTurns: p.NoTurns,
		Command: "bordon takes overrule " + s.ID + " 2 8 right",
		Sound:   sound{Clips: map[string]string{}},
	}
	score := s.Score()
	if len(v.NoTurns) > 0 { // nothing to be overruled
		v.Command = ""
	}
	if len(v.NoTurns) == 0 || score.Judged > 0 {
		v.Formula = lang.Formula(score)
	}
	for _, c := range p.Columns {
		v.Columns = append(v.Columns, c.Beat)
	}
	beats := map[string]*listen.Beat{}
	for i := range s.Take.Check.Beats {
		b := &s.Take.Check.Beats[i]
		beats[place(b.Turn, take.BeatOf(b.Beat))] = b
	}
	clips, err := v.hear(lang, s, set.Delay)
	if err != nil {
		v.Silent = fmt.Sprintf("%s (%v)", w.NoSound, err)
	}
	for _, r := range p.Rows {
		x := row{Label: lang.Turn(r.Turn)}
		if r.Strummed {
			x.Strummed = lang.Label(match.Verdict{Pitch: match.Strummed})
		}
		for i, c := range r.Cells {
			b := beats[place(r.Turn, p.Columns[i].Beat)]
			y := cell{Note: c.Text(), Remarks: c.Remarks(lang, true), Role: roles[c.Role()], Blank: c.State != page.Written}
			if b != nil && !y.Blank {
				if err := v.play(&y, s, b, clips); err != nil {
					return nil, err
				}
				y.Name = lang.At(r.Turn, p.Columns[i].Beat)
			}
			x.Cells = append(x.Cells, y)
		}
		if len(r.Extras) > 0 {
			var also []string
			for _, e := range r.Extras {
				also = append(also, lang.After(e.Note, e.After))
			}
			x.Also = lang.Also(also)
		}
		v.Rows = append(v.Rows, x)
	}
	reasons, err := page.Reasons(lang, s)
	if err != nil {
		return nil, err
	}
	v.say(lang, s, reasons)
	v.fit(lang)
	v.Timing = timingPlot(lang, v.Columns, s, set)
	v.Offsets = offsets(v.Columns, s)
	v.Tuning = tuningPlot(lang, s)
	return v, nil
}

func place(turn int, beat string) string { return fmt.Sprint(turn, " ", beat) }

// when is a time as people read it.
func when(rfc3339 string) string {
	return strings.Replace(rfc3339[:min(len(rfc3339), 16)], "T", " ", 1)
}

// hear cuts the recording into the turns.
func (v *view) hear(lang *words.Language, s *take.Stored, delay float64) (map[int]stretch, error) {
	var all []stretch
	for _, b := range s.Take.Check.Beats {
		from, to := b.Time+delay/1000, b.Time+delay/1000
		if b.Heard != nil {
			from, to = min(from, b.Heard.Time), max(to, b.Heard.Time)
		}
		from, to = max(from-before, 0), min(to+long, s.Take.Length)
		if to <= from {
			continue
		}
		if n := len(all); n > 0 && all[n-1].turn == b.Turn {
			all[n-1].from, all[n-1].to = min(all[n-1].from, from), max(all[n-1].to, to)
			all[n-1].wrong = all[n-1].wrong || b.Pitch != match.Right
			continue
		}
		all = append(all, stretch{b.Turn, from, to, b.Pitch != match.Right})
	}
	clips, snd, left, err := cut(s, all)
	if err != nil {
		return nil, err
	}
	v.Sound = snd
	if left > 0 {
		v.Silent = lang.SomeSound(mostSeconds)
	}
	return clips, nil
}

// play says what a note's button plays: from the recording, then what was
// asked.
func (v *view) play(c *cell, s *take.Stored, b *listen.Beat, clips map[int]stretch) error {
	if x, ok := clips[b.Turn]; ok {
		at := b.Time
		if s.Take.Delay != nil {
			at += *s.Take.Delay / 1000
		}
		if b.Heard != nil {
			at = b.Heard.Time
		}
		c.Clip, c.At, c.For = turnName(b.Turn), math.Max(at-before-x.from, 0), before+long
	}
	tuning := 1200 * math.Log2(s.Take.Settings.A4/440)
	if t := s.Take.Check.Tuning; t != nil {
		tuning += *t
	}
	asked, err := v.Sound.asked(b.Expected.MIDI, s.Take.Settings.Cejilla, tuning)
	if err != nil {
		return err
	}
	c.Asked = asked
	c.Play = c.Clip != "" || c.Asked != ""
	return nil
}

// The lines of print that a sheet holds beside the rest, at each size.
var sizes = []struct {
	lines int
	class string
}{{24, "large"}, {34, "middle"}, {46, "small"}}

// fit chooses a size of print at which the page fits a sheet; where none does,
// turns without a mistake are left out, and then the last ones.
func (v *view) fit(lang *words.Language) {
	lines := func(r row) int {
		n := 1
		for _, c := range r.Cells {
			n = max(n, 1+len(c.Remarks))
		}
		if r.Also != "" {
			n++
		}
		return n
	}
	// Eight of each list are printed.
	total := min(len(v.Rulings), 8) + min(len(v.Newer), 8)
	for _, r := range v.Rows {
		total += lines(r)
	}
	most := sizes[len(sizes)-1].lines
	out := 0
	for _, drop := range []func(row) bool{func(r row) bool { return lines(r) == 1 }, func(row) bool { return true }} {
		for i := len(v.Rows) - 1; i >= 0 && total > most; i-- {
			if r := &v.Rows[i]; !r.Screen && drop(*r) {
				r.Screen = true
				total -= lines(*r)
				out++
			}
		}
	}
	if out > 0 {
		v.Left = lang.LeftOut(out)
	}
	v.Fit = sizes[len(sizes)-1].class
	for i := len(sizes) - 1; i >= 0; i-- {
		if total <= sizes[i].lines {
			v.Fit = sizes[i].class
		}
	}
}

// say fills in the sentences.
func (v *view) say(lang *words.Language, s *take.Stored, reasons []string) {
	v.Reasons = reasons
	for _, r := range s.Player.Rulings {
		v.Rulings = append(v.Rulings, lang.Ruling(r))
	}
	if s.Newer == nil {
		return
	}
	for _, d := range take.Differs(s.Take.Check, *s.Newer) {
		var then, now *listen.Beat
		if d[0] >= 0 {
			then = &s.Take.Check.Beats[d[0]]
		}
		if d[1] >= 0 {
			now = &s.Newer.Beats[d[1]]
		}
		v.Newer = append(v.Newer, lang.Newer(then, now))
	}
}
