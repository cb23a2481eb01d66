// Package clock places the samples of sound streams in time, and so the samples
// of one stream in another. An output and an input run on clocks of their own,
// some hundred parts in a million apart; 50 of them are 30 ms in ten minutes.
//
// The package reads no clock: whoever counts samples tells it when.
package clock

import (
	"math"
	"time"
)

const (
	blockSeconds  = 0.5
	blocks        = 64 // kept: 32 s
	settleSeconds = 1  // at the start buffers are filled and times mean little

	// The slope of a short stretch is mostly jitter. Clocks are within some
	// 100 parts in a million of each other (common practice, no source) and
	// the minimum of a block is good to half a millisecond: where both weigh
	// the same, at five seconds, half of a slope is believed.
	believe  = 5.0
	steepest = 1000e-6

	// jumpSeconds is how much later than the line both of the last two blocks
	// must be for samples to have been lost: three blocks of 256 at 48 kHz. A
	// computer that was busy for a moment is on time again in the next block.
	jumpSeconds = 0.016
)

// Clock follows one stream of samples, from when how many of them had passed.
// A report can be late, by as much as the computer is busy, but never early:
// the true line lies along the lower edge of all reports (as in Moon, Skelly &
// Towsley, "Estimation and removal of clock skew from network delay
// measurements", INFOCOM 1999). Make one with New.
type Clock struct {
	rate float64 // samples a second, nominal

	began bool
	first float64 // seconds, of the first report
	now   block   // being filled
	until float64 // seconds at which it ends
	done  []block // in order of time

	at, late float64 // the line: lateness at that nominal second,
	slope    float64 // and by how much it grows a second
	known    bool
}

// block is the least late report of half a second.
type block struct {
	at   float64 // nominal seconds: samples by rate
	late float64 // seconds of time less nominal seconds
	any  bool
}

// New returns a Clock for a stream of that many samples a second, 1 or more.
func New(rate int) *Clock {
	return &Clock{rate: float64(rate), done: make([]block, 0, blocks)}
}

// Observe reports that samples had passed at a time, of any monotonic clock.
// Reports come in order.
func (c *Clock) Observe(samples int64, at time.Duration) {
	t := at.Seconds()
	if !c.began {
		c.began, c.first = true, t
	}
	if t < c.first+settleSeconds {
		return
	}
	if c.until == 0 {
		c.until = t + blockSeconds
	}
	if t >= c.until {
		c.end()
		c.until = t + blockSeconds
	}
	nominal := float64(samples) / c.rate
	if late := t - nominal; !c.now.any || late < c.now.late {
		c.now = block{nominal, late, true}
	}
}

// end closes the block that is being filled.
func (c *Clock) end() {
	if !c.now.any {
		return
	}
	if len(c.done) == blocks {
		c.done = append(c.done[:0], c.done[1:]...)
	}
	c.done = append(c.done, c.now)
	c.now = block{}
	c.fit()
}

// fit lays the line along the lower edge: the edge of the lower convex hull
// over the middle of the stretch.
func (c *Clock) fit() {
	if len(c.done) < 2 {
		return
	}
	var hull [blocks]int
	n := 0
	for i := range c.done {
		for n >= 2 && !below(c.done[hull[n-2]], c.done[hull[n-1]], c.done[i]) {
			n--
		}
		hull[n] = i
		n++
	}
	first, last := c.done[0].at, c.done[len(c.done)-1].at
	middle := (first + last) / 2
	a, b := c.done[hull[0]], c.done[hull[1]]
	for i := 1; i < n && a.at <= middle; i++ {
		b = c.done[hull[i]]
		if b.at >= middle {
			break
		}
		a = b
	}
	if b.at <= a.at {
		return
	}
	span := last - first
	slope := (b.late - a.late) / (b.at - a.at)
	c.slope = min(max(slope*span*span/(span*span+believe*believe), -steepest), steepest)
	c.at, c.late = middle, math.Inf(1)
	for _, b := range c.done {
		c.late = min(c.late, b.late-c.slope*(b.at-middle))
	}
	c.known = true
}

// below reports whether b lies below the line from a to d.
func below(a, b, d block) bool {
	return (b.late-a.late)*(d.at-a.at) < (d.late-a.late)*(b.at-a.at)
}

// Known reports whether two seconds and more were seen, so that Time and
// Sample mean something.
func (c *Clock) Known() bool { return c.known }

// Seconds is when a sample passes, in seconds of the reports' clock.
func (c *Clock) Seconds(sample float64) float64 {
	nominal := sample / c.rate
	return nominal + c.late + c.slope*(nominal-c.at)
}

// Sample is which sample passes at a time in seconds: the inverse of Seconds.
func (c *Clock) Sample(seconds float64) float64 {
	return (seconds - c.late + c.slope*c.at) / (1 + c.slope) * c.rate
}

// Rate is samples a second by the reports' clock.
func (c *Clock) Rate() float64 { return c.rate / (1 + c.slope) }

// Lost returns how many samples must have gone missing in silence: so many
// that for a second every report came as much later than the line says. It is
// 0 where none did. Skip lets the Clock go on from there.
func (c *Clock) Lost() int64 {
	n := len(c.done)
	if n < 6 { // the line would be made of the very blocks in question
		return 0
	}
	late := math.Inf(1)
	for _, b := range c.done[n-2:] {
		late = min(late, b.late-(c.late+c.slope*(b.at-c.at)))
	}
	if late < jumpSeconds {
		return 0
	}
	return int64(math.Round(late * c.rate))
}

// Skip forgets all but the last second of the stream: what was lost before it
// is lost, and the line begins anew.
func (c *Clock) Skip() {
	c.done = append(c.done[:0], c.done[max(0, len(c.done)-2):]...)
	c.fit()
}

// Across is the sample of the stream to at the moment at which sample passes
// in the stream from.
func Across(from, to *Clock, sample float64) float64 { return to.Sample(from.Seconds(sample)) }
