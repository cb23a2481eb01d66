package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"bordon/dsp"
	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"
)

// points are a grid that runs straight from beat to beat, and on beyond the
// first and last as beside them.
type points struct {
	first float64   // the beat of the first sample, from 0
	at    []float64 // samples; rising, two or more
}

// Sample implements grid.Grid.
func (p points) Sample(beat float64) int64 {
	i := min(max(int(math.Floor(beat-p.first)), 0), len(p.at)-2)
	return int64(math.Round(p.at[i] + (beat-p.first-float64(i))*(p.at[i+1]-p.at[i])))
}

// Beat implements grid.Grid.
func (p points) Beat(sample int64) float64 {
	x := float64(sample)
	i := min(max(sort.SearchFloat64s(p.at, x)-1, 0), len(p.at)-2)
	return p.first + float64(i) + (x-p.at[i])/(p.at[i+1]-p.at[i])
}

// givenGrid reads a take on its true grid: each segment is judged by what the
// ear hears of the whole recording. It names no key and hears no chord.
func givenGrid(t fixtures.FreeTake, x []float32, e ear) (found, error) {
	var f found
	fail := func(err error) (found, error) { return f, fmt.Errorf("judge take %q on its grid: %w", t.Name, err) }
	set, err := settings(t.Take, e)
	if err != nil {
		return fail(err)
	}
	hears, err := dsp.NewEar(dsp.EarConfig{Rate: freeRate, A4: set.A4, Lowest: max(set.Line.Tuning[5]+set.Cejilla, dsp.LowestMIDI),
		Highest: min(set.Line.Tuning[3]+4+set.Cejilla, dsp.HighestMIDI), Net: set.Weights, Without: set.Without})
	if err != nil {
		return fail(err)
	}
	var all []*segmentJudge
	for _, seg := range t.Segments {
		j, err := newSegmentJudge(seg, set, int64(hears.Delay()))
		if err != nil {
			return fail(err)
		}
		all = append(all, j)
		f.segments = append(f.segments, foundSegment{seg.Beats})
	}
	heard := int64(0)
	tell := func(notes []dsp.Note) {
		for _, j := range all {
			for i := range notes {
				j.keep(j.match.Note(&notes[i]))
			}
			j.keep(j.match.Advance(heard))
		}
	}
	for len(x) > 0 {
		n := min(len(x), 4096)
		heard += int64(n)
		tell(hears.Write(x[:n]))
		x = x[n:]
	}
	tell(hears.Flush())
	for _, j := range all {
		j.keep(j.match.End(heard))
		f.beats, f.extras = append(f.beats, j.beats...), append(f.extras, j.extras...)
	}
	if cents, known := hears.Tuning(); known {
		f.tuning = &cents
	}
	return f, nil
}

// segmentJudge judges what falls into a segment.
type segmentJudge struct {
	seg    fixtures.Segment
	match  *match.Matcher
	set    listen.Settings
	beats  []listen.Beat
	extras []listen.Note
}

func newSegmentJudge(seg fixtures.Segment, set listen.Settings, delay int64) (*segmentJudge, error) {
	p := points{first: float64(seg.Beats[0].Beat - 1)}
	for _, b := range seg.Beats {
		p.at = append(p.at, b.Time*freeRate)
	}
	p.at = append(p.at, seg.End*freeRate)
	m, err := match.New(match.Config{Rate: freeRate, Line: set.Line, Cejilla: set.Cejilla, Grid: p, Tolerance: set.Tolerance, DelayKnown: true,
		OnsetError: int64(onsetError * freeRate), Blind: set.Blind, EarDelay: delay})
	return &segmentJudge{seg: seg, match: m, set: set}, err
}

// keep remembers what is final and inside the segment.
func (j *segmentJudge) keep(said []match.Event) {
	from, to := j.seg.Beats[0].Time-0.001, j.seg.End-0.001
	seconds := func(sample int64) float64 { return float64(sample) / freeRate }
	note := func(h match.Heard) listen.Note {
		return listen.Note{MIDI: h.MIDI, Name: midiName(h.MIDI), Cents: h.Cents, Time: seconds(h.Onset), Confidence: h.Confidence}
	}
	turns := j.seg.Beats[0].Turn - 1
	for _, e := range said {
		switch v := e.Verdict; e.Kind {
		case match.Judged:
			if at := seconds(v.Time); v.Provisional || at < from || at >= to {
				continue
			}
			b := listen.Beat{Turn: turns + v.Turn, Beat: v.Item.Position.String(), Time: seconds(v.Time),
				Expected: listen.Expected{MIDI: v.ExpectedMIDI}, Pitch: v.Pitch, Decided: seconds(v.Decided)}
			if v.Heard != nil {
				n := note(*v.Heard)
				b.Heard = &n
			}
			if v.Timing != "" {
				timing, off := v.Timing, 1000*seconds(v.Offset)
				b.Timing, b.Offset = &timing, &off
			}
			j.beats = append(j.beats, b)
		case match.Added:
			if at := seconds(e.Extra.Heard.Onset); at >= from && at < to {
				j.extras = append(j.extras, note(e.Extra.Heard))
			}
		case match.Cut:
			j.beats = slices.DeleteFunc(j.beats, func(b listen.Beat) bool { return b.Turn >= turns+e.Turn && b.Turn <= turns+e.LastTurn })
		}
	}
	slices.SortStableFunc(j.beats, func(a, b listen.Beat) int { return cmp.Compare(a.Time, b.Time) })
}
