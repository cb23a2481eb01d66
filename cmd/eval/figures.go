package main

import (
	"math"
	"slices"

	"bordon/fixtures"
	"bordon/listen/match"
)

// figures are what the goal is stated in, as counts that can be added up.
type figures struct {
	Beats    int // expected notes judged
	Unsure   int
	Right    int // verdicts with the right word, unsure ones not counted
	Played   int // bass notes that sounded
	Named    int // of them, heard as the note they were
	Good     int // right notes
	Accused  int // of them, called anything but right or unsure
	Bad      int // wrong or missing notes
	LetOff   int // of them, called right
	InTime   int // right notes played in time, with a timing word
	TimeAcc  int // of them, called early or late
	OffTime  int // right notes played early or late on purpose
	TimeMiss int // of them, called on time
	Extras   int // extra notes that nobody played
	Turns    int
	Lost     int
	onset    []float64 // ms
	delay    []float64
	wrong    []fault
}

// fault is one verdict that was not what it should be.
type fault struct {
	take string
	p    pair
}

func (f *figures) take(j judged) {
	f.Turns += j.take.Turns
	f.Lost += j.lost
	planted := 0
	for _, n := range j.take.Truth {
		if n.Mistake == fixtures.Extra {
			planted++
		}
	}
	f.Extras += max(0, len(j.check.Extra)-planted)
	for _, p := range j.paired {
		f.pair(j.take.Name, p)
	}
}

func (f *figures) pair(take string, p pair) {
	f.Beats++
	want, got := word(p.truth), p.beat.Pitch
	switch {
	case got == match.Unsure:
		f.Unsure++
	case got == want:
		f.Right++
	default:
		f.wrong = append(f.wrong, fault{take, p})
	}
	if p.truth.MIDI > 0 && !p.truth.Chord {
		f.Played++
		if p.beat.Heard != nil && p.beat.Heard.MIDI == p.truth.MIDI {
			f.Named++
			f.onset = append(f.onset, math.Abs(p.beat.Heard.Time-p.truth.Time)*1000)
			f.delay = append(f.delay, (p.beat.Decided-p.truth.Time)*1000)
		}
	}
	if want == match.Right {
		f.Good++
		if got != match.Right && got != match.Unsure {
			f.Accused++
		}
		if p.beat.Timing != nil {
			off := p.truth.Mistake == fixtures.Early || p.truth.Mistake == fixtures.Late
			on := *p.beat.Timing == match.OnTime
			if off {
				f.OffTime++
				if on {
					f.TimeMiss++
				}
			} else {
				f.InTime++
				if !on {
					f.TimeAcc++
				}
			}
		}
	} else if want != match.Strummed {
		f.Bad++
		if got == match.Right {
			f.LetOff++
		}
	}
}

// add sums two.
func (f *figures) add(o figures) {
	f.Beats += o.Beats
	f.Unsure += o.Unsure
	f.Right += o.Right
	f.Played += o.Played
	f.Named += o.Named
	f.Good += o.Good
	f.Accused += o.Accused
	f.Bad += o.Bad
	f.LetOff += o.LetOff
	f.InTime += o.InTime
	f.TimeAcc += o.TimeAcc
	f.OffTime += o.OffTime
	f.TimeMiss += o.TimeMiss
	f.Extras += o.Extras
	f.Turns += o.Turns
	f.Lost += o.Lost
	f.onset = append(f.onset, o.onset...)
	f.delay = append(f.delay, o.delay...)
	f.wrong = append(f.wrong, o.wrong...)
}

func share(n, of int) float64 {
	if of == 0 {
		return math.NaN()
	}
	return 100 * float64(n) / float64(of)
}

// quantile is the q-th of v, 0 to 1, by nearest rank; NaN of none.
func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return s[min(len(s)-1, int(q*float64(len(s))))]
}
