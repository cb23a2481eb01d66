package export

import (
	"math"
	"sort"

	"bordon/theory"
)

// clock lays the sound on the ticks of a MIDI file: tick 0 is the first
// sample, and every beat of the grid falls on its own tick. Between the first
// sample and the first beat that lies half a beat or more after it there is one
// beat of its own length, so that the file and the sound begin together.
type clock struct {
	first   int // the beat of the grid that tick 0 stands for
	ticks   int // of a unit of the form
	quarter int // of a quarter note
	form    theory.Form
	rate    float64
	tempos  []tempo // in order, the first at tick 0
}

// tempo holds from a tick on.
type tempo struct {
	tick   int64
	at     float64 // when that is, in microseconds of what the file says
	micros int     // of a quarter note
}

// ticksAQuarter are 0.6 ms each at 104 beats a minute, a twelfth of what the
// ear's onsets are sure to.
const ticksAQuarter = 960

// The tempo that a MIDI file can hold, in microseconds of a quarter note.
const maxMicros = 1<<24 - 1

// beside is how far in microseconds a beat may fall beside its place before
// the tempo is written anew: a sixth of a tick at 104 beats a minute.
const beside = 100

// newClock lays a grid out from the first sample to the beat last.
func newClock(g delayed, rate int, form theory.Form, last int) *clock {
	c := &clock{quarter: ticksAQuarter, ticks: ticksAQuarter * 4 / unit(form), form: form, rate: float64(rate)}
	next := int(math.Ceil(g.Beat(0) + 0.5))
	c.first = next - 1
	last = max(last, next)
	at := func(beat int) float64 {
		if beat == c.first {
			return 0
		}
		return float64(g.Sample(float64(beat))) * 1e6 / c.rate
	}
	quarters := func(from, to int) float64 {
		return (form.Units(float64(to)) - form.Units(float64(from))) * float64(c.ticks) / float64(c.quarter)
	}
	// What is said may also lie half a sample beside, for the grid's rounding.
	near := beside + 0.5e6/c.rate
	now, micros := 0.0, 0
	for beat := c.first; beat < last; beat++ {
		if micros == 0 || beat == next || math.Abs(now+float64(micros)*quarters(beat, beat+1)-at(beat+1)) > near {
			// The slope to the farthest beat that all beats before agree with.
			fits := func(to int) (int, bool) {
				m := int(math.Round((at(to) - now) / quarters(beat, to)))
				m = min(max(m, 1), maxMicros)
				for b := beat + 1; b <= to; b++ {
					if math.Abs(now+float64(m)*quarters(beat, b)-at(b)) > near {
						return m, false
					}
				}
				return m, true
			}
			micros, _ = fits(beat + 1)
			for far := 2; beat >= next && beat+far <= last && far <= 1024; far *= 2 {
				m, ok := fits(beat + far)
				if !ok {
					break
				}
				micros = m
			}
			c.tempos = append(c.tempos, tempo{c.beat(beat), now, micros})
		}
		now += float64(micros) * quarters(beat, beat+1)
	}
	return c
}

// beat is the tick of a beat of the grid.
func (c *clock) beat(beat int) int64 {
	return int64(math.Round((c.form.Units(float64(beat)) - c.form.Units(float64(c.first))) * float64(c.ticks)))
}

// tick is the tick of a sample, 0 for one before the first.
func (c *clock) tick(sample int64) int64 {
	micros := float64(sample) * 1e6 / c.rate
	i := sort.Search(len(c.tempos), func(i int) bool { return c.tempos[i].at > micros }) - 1
	if i < 0 {
		return 0
	}
	t := c.tempos[i]
	return t.tick + int64(math.Round((micros-t.at)/float64(t.micros)*float64(c.quarter)))
}

// unit is the note value of a form's unit as the part of a whole note that it
// is: 4 for a quarter note, which a beat is where the form says nothing else.
func unit(f theory.Form) int {
	switch f.TempoUnit() {
	case "halves":
		return 2
	case "eighths":
		return 8
	case "sixteenths":
		return 16
	}
	return 4
}
