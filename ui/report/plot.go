package report

import (
	"fmt"
	"math"

	"bordon/listen"
	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/ui/words"
)

// plot is a drawing in a box of plotWidth by plotHeight.
type plot struct {
	ID, Title, Desc string
	Lines           []line
	Dots            []dot
	Texts           []label
}

type line struct {
	X1, Y1, X2, Y2 float64
	Class          string
}

type dot struct {
	X, Y  float64
	Wrong bool
	Title string
}

type label struct {
	X, Y   float64
	Anchor string
	Text   string
}

const (
	plotWidth, plotHeight = 640.0, 220.0
	plotLeft, plotRight   = 124.0, 10.0 // the left holds the longest label as large as a phone shows it
	plotTop, plotBottom   = 14.0, 30.0
)

// axis maps low..high to the box, upwards.
func axis(x, low, high float64) float64 {
	return plotTop + (plotHeight-plotTop-plotBottom)*(1-(x-low)/(high-low))
}

func round1(x float64) float64 { return math.Round(x*10) / 10 }

// timingPlot draws the offset of each note over its beat, early up and late
// down, with the tolerance; nil where no note was timed.
func timingPlot(lang *words.Language, columns []string, s *take.Stored, set listen.Settings) *plot {
	w := lang.Report()
	p := &plot{ID: "timing", Title: w.Timing, Desc: w.TimingDesc}
	most := 60.0
	col := map[string]int{}
	for i, c := range columns {
		col[c] = i
	}
	beats := s.Beats()
	n := 0
	for _, b := range beats {
		if b.Offset != nil {
			n++
			most = math.Max(most, math.Ceil(math.Abs(*b.Offset)/20)*20)
		}
	}
	if n == 0 || len(columns) == 0 {
		return nil
	}
	most = math.Min(most, 400)
	x := func(i int) float64 {
		return plotLeft + (plotWidth-plotLeft-plotRight)*(float64(i)+0.5)/float64(len(columns))
	}
	// Early is above: what comes first is read first.
	y := func(ms float64) float64 { return round1(axis(-math.Max(math.Min(ms, most), -most), -most, most)) }
	p.Lines = append(p.Lines, line{plotLeft, y(0), plotWidth - plotRight, y(0), "axis"})
	for _, ms := range []float64{-most, most} {
		p.Lines = append(p.Lines, line{plotLeft, y(ms), plotWidth - plotRight, y(ms), "grid"})
	}
	p.Texts = append(p.Texts,
		label{plotLeft - 6, y(0) + 4, "end", w.OnBeat},
		label{plotLeft - 6, y(-most) + 4, "end", fmt.Sprintf("%.0f ms", most)}, label{plotLeft - 6, y(-most) + 20, "end", w.Early},
		label{plotLeft - 6, y(most) + 4, "end", fmt.Sprintf("%.0f ms", most)}, label{plotLeft - 6, y(most) - 12, "end", w.Late})
	for i, c := range columns {
		p.Texts = append(p.Texts, label{round1(x(i)), plotHeight - 8, "middle", c})
	}
	turns := 1
	for _, b := range beats {
		turns = max(turns, b.Turn)
	}
	spread := math.Min(0.7*(plotWidth-plotLeft-plotRight)/float64(len(columns)), 120)
	for _, b := range beats {
		i, ok := col[take.BeatOf(b.Beat)]
		if b.Offset == nil || !ok {
			continue
		}
		// Turns go from left to right within a beat.
		dx := spread * (float64(b.Turn)/float64(turns+1) - 0.5)
		wrong := b.Timing != nil && *b.Timing != match.OnTime
		p.Dots = append(p.Dots, dot{round1(x(i) + dx), y(*b.Offset), wrong, lang.Sprintf(w.DotTitle, b.Turn, take.BeatOf(b.Beat), *b.Offset)})
	}
	return p
}

// offsets tells the same as numbers: beat, mean and spread in ms, notes.
func offsets(columns []string, s *take.Stored) [][]string {
	var rows [][]string
	for _, c := range columns {
		var n, sum, squares float64
		for _, b := range s.Beats() {
			if b.Offset != nil && take.BeatOf(b.Beat) == c {
				n++
				sum += *b.Offset
				squares += *b.Offset * *b.Offset
			}
		}
		if n > 0 {
			mean := sum / n
			rows = append(rows, []string{c, fmt.Sprintf("%+.0f", mean), fmt.Sprintf("%.0f", math.Sqrt(math.Max(squares/n-mean*mean, 0))), fmt.Sprint(n)})
		}
	}
	return rows
}

// tuningPlot draws how far each right note lies from concert pitch over the
// time of the take; nil where fewer than two were heard.
func tuningPlot(lang *words.Language, s *take.Stored) *plot {
	w := lang.Report()
	guitar := 0.0
	if t := s.Take.Check.Tuning; t != nil {
		guitar = *t
	}
	p := &plot{ID: "tuning", Title: w.Tuning, Desc: lang.Sprintf(w.TuningDesc, guitar)}
	first, last, low, high := math.Inf(1), math.Inf(-1), math.Min(guitar, 0)-10, math.Max(guitar, 0)+10
	var right []listen.Beat
	for _, b := range s.Take.Check.Beats {
		if b.Pitch == match.Right && b.Heard != nil && math.Abs(b.Heard.Cents) <= 100 {
			right = append(right, b)
			first, last = math.Min(first, b.Heard.Time), math.Max(last, b.Heard.Time)
			low, high = math.Min(low, guitar+b.Heard.Cents-2), math.Max(high, guitar+b.Heard.Cents+2)
		}
	}
	if len(right) < 2 || last <= first {
		return nil
	}
	low, high = math.Floor(low/5)*5, math.Ceil(high/5)*5
	x := func(t float64) float64 {
		return round1(plotLeft + (plotWidth-plotLeft-plotRight)*(t-first)/(last-first))
	}
	y := func(c float64) float64 { return round1(axis(c, low, high)) }
	p.Lines = append(p.Lines, line{plotLeft, y(0), plotWidth - plotRight, y(0), "axis"}, line{plotLeft, y(guitar), plotWidth - plotRight, y(guitar), "mean"})
	for _, c := range []float64{low, high} {
		p.Lines = append(p.Lines, line{plotLeft, y(c), plotWidth - plotRight, y(c), "grid"})
		p.Texts = append(p.Texts, label{plotLeft - 6, y(c) + 4, "end", fmt.Sprintf("%+.0f", c)})
	}
	p.Texts = append(p.Texts, label{plotLeft - 6, y(0) + 4, "end", w.InTune},
		label{plotLeft, plotHeight - 8, "start", fmt.Sprintf("%.0f s", first)}, label{plotWidth - plotRight, plotHeight - 8, "end", fmt.Sprintf("%.0f s", last)})
	for _, b := range right {
		c := guitar + b.Heard.Cents
		p.Dots = append(p.Dots, dot{x(b.Heard.Time), y(c), false, lang.Sprintf(w.CentsTitle, lang.Read(b.Heard.Name), b.Heard.Time, c)})
	}
	return p
}
