package listen

import (
	"errors"

	"bordon/dsp"
	"bordon/listen/match"
)

// Untimed listens without a pulse: each note of a line is waited for in turn,
// and what is heard meanwhile is judged against it. It is for one goroutine.
type Untimed struct {
	ear   hearer
	lone  *match.Lone
	meter meter
	rate  int
	items int

	heard int64
	at    int // item that is waited for
	round int // times through the line, from 1
	out   []Event
	tries int
}

// NewUntimed returns an Untimed that waits for the line's first note, samples
// coming at rate. Of the settings, tempo, grid and delay are not used.
func NewUntimed(set Settings, rate int) (*Untimed, error) {
	if err := checkSession(&set, rate); err != nil {
		return nil, err
	}
	ear, err := dsp.NewEar(set.hearing(rate))
	if err != nil {
		return nil, err
	}
	return newUntimed(set, rate, ear)
}

func newUntimed(set Settings, rate int, ear hearer) (*Untimed, error) {
	cfg, err := set.matching(rate)
	if err != nil {
		return nil, err
	}
	lone, err := match.NewLone(cfg)
	if err != nil {
		return nil, err
	}
	return &Untimed{ear: ear, lone: lone, meter: newMeter(rate), rate: rate, items: len(set.Line.Items), round: 1}, nil
}

// Await waits for another item of the line, by its index.
func (u *Untimed) Await(item int) error {
	if item < 0 || item >= u.items {
		return errors.New("there is no such note in the line")
	}
	u.at, u.tries = item, 0
	return nil
}

// Awaited is the item that is waited for, by its index, and how often the line
// was begun.
func (u *Untimed) Awaited() (item, round int) { return u.at, u.round }

// Next goes on to the note that follows.
func (u *Untimed) Next() {
	u.tries = 0
	if u.at++; u.at == u.items {
		u.at = 0
		u.round++
	}
}

// Write hears samples and returns a Final event, with its Try, for each note
// that answers; on decides after each whether it was answered well enough to
// go on to the next. The events stay valid, the slice until the next call.
func (u *Untimed) Write(samples []float32, on func(Event) (next bool)) []Event {
	u.out = u.out[:0]
	u.meter.write(samples)
	u.heard += int64(len(samples))
	notes := u.ear.Write(samples)
	for i := range notes {
		v, ok := u.lone.Hear(&notes[i], u.at)
		if !ok {
			continue
		}
		heard := *v.Heard
		v.Heard, v.Turn = &heard, u.round
		u.tries++
		e := Event{Kind: Final, Verdict: v, Try: u.tries}
		u.out = append(u.out, e)
		if on(e) {
			u.Next()
		}
	}
	return u.out
}

// Heard is the number of samples so far.
func (u *Untimed) Heard() int64 { return u.heard }

// Level and Tuning are as those of a Session.
func (u *Untimed) Level() (rms, peak float64, clipped bool) { return u.meter.level() }
func (u *Untimed) Tuning() (cents float64, known bool)      { return u.ear.Tuning() }
