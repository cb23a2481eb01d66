package live

import (
	"context"
	"errors"
	"math"

	"bordon/dsp"
	"bordon/listen/audio/clock"
	"bordon/listen/audio/delay"
	"bordon/listen/audio/pulse"
	"bordon/listen/grid"
	"bordon/theory"
)

// leadSeconds pass before anything is played: the clocks become known.
const leadSeconds = 4

// listening is a microphone and a loudspeaker while something is played from
// a track.
type listening struct {
	ears, mouth *clock.Clock
	rate        int
	heard       []float32
	lost        int64
}

// playAndHear plays a track, which begins leadSeconds after the loudspeaker's
// first frame, and hears until tail seconds after its end. on, which may be
// nil, is given what is heard as it comes.
func playAndHear(ctx context.Context, in Microphone, out Loudspeaker, track func(dst []float32, at int64), length int64, tail float64, on func([]float32)) (*listening, error) {
	rate := in.Rate()
	l := &listening{ears: clock.New(rate), mouth: clock.New(rate), rate: rate}
	out.Steady()
	lead := int64(leadSeconds * rate)
	end := lead + length + int64(tail*float64(rate))
	buf, piece, sent := make([]float32, 1024), make([]float32, rate/100), int64(0)
	hold := max(out.Room()-int(feedSeconds*float64(rate)), 0)
	for int64(len(l.heard)) < end {
		for k := 0; k < mostPieces && out.Room() > hold; k++ {
			clear(piece)
			if sent >= lead && sent < lead+length {
				track(piece, sent-lead)
			}
			n := out.Write(piece)
			if n == 0 {
				break
			}
			sent += int64(n)
		}
		n, lost, err := in.Read(ctx, buf)
		if err != nil {
			return nil, err
		}
		l.lost += lost
		l.heard = append(l.heard, buf[:n]...)
		in.Marks(l.ears.Observe)
		out.Marks(l.mouth.Observe)
		l.lost += l.ears.Lost() + l.mouth.Lost()
		if on != nil {
			on(buf[:n])
		}
	}
	if l.lost > 0 {
		return nil, ErrFlagged
	}
	if !l.ears.Known() || !l.mouth.Known() {
		return nil, errors.New("the loudspeaker does not ask for sound; choose another")
	}
	return l, nil
}

// place is where, in what was heard, a sample of the track was sent out.
func (l *listening) place(sample int64) float64 {
	return clock.Across(l.mouth, l.ears, float64(sample+int64(leadSeconds*l.rate)))
}

// ErrFlagged says that sound was lost while a delay was being measured.
var ErrFlagged = errors.New("sound was lost meanwhile, so the figure would mean nothing; close what else is busy, and try again")

// Clicks plays clicks and hears them come back: the devices' own delay. It
// takes some thirteen seconds.
func Clicks(ctx context.Context, in Microphone, out Loudspeaker) (delay.Result, error) {
	sound, starts := delay.Track(in.Rate())
	track := func(dst []float32, at int64) { copy(dst, sound[min(at, int64(len(sound))):]) }
	l, err := playAndHear(ctx, in, out, track, int64(len(sound)), 0.6, nil)
	if err != nil {
		return delay.Result{}, err
	}
	var places []float64
	for _, s := range starts {
		places = append(places, l.place(s))
	}
	return delay.Find(l.heard, l.rate, places)
}

// The beats that are plucked along with, after four to listen to.
const (
	alongTempo = 90.0
	alongCount = 4
	alongBeats = 8
)

// PluckAlong claps beats and hears notes plucked with them: the delay of player
// and devices together. on is told of each beat as it is sent out, from -3
// (counted) to 8.
func PluckAlong(ctx context.Context, in Microphone, out Loudspeaker, on func(beat int)) (delay.Result, error) {
	rate := in.Rate()
	ear, err := dsp.NewEar(dsp.EarConfig{Rate: rate, A4: 440, Lowest: dsp.LowestMIDI, Highest: dsp.HighestMIDI})
	if err != nil {
		return delay.Result{}, err
	}
	beats, err := grid.NewFixed(rate, alongTempo, alongCount*60/alongTempo)
	if err != nil {
		return delay.Result{}, err
	}
	p, err := pulse.New(pulse.Config{Rate: rate, Form: theory.Form{Beats: alongBeats}, Grid: beats, CountIn: alongCount, Turns: 1})
	if err != nil {
		return delay.Result{}, err
	}
	var notes []int64
	seen := map[int64]bool{}
	hear := func(looks []dsp.Note) {
		for i := range looks {
			if n := &looks[i]; n.Last && n.Began > 0.5 && !seen[n.ID] {
				seen[n.ID] = true
				notes = append(notes, n.Onset)
			}
		}
	}
	heard, said := int64(0), -alongCount
	length := beats.Sample(alongBeats)
	l, err := playAndHear(ctx, in, out, p.Render, length, 1, func(x []float32) {
		hear(ear.Write(x))
		heard += int64(len(x))
		if now := int(math.Floor(beats.Beat(heard - int64(leadSeconds*rate)))); now > said && now < alongBeats {
			said = now
			on(now + 1)
		}
	})
	if err != nil {
		return delay.Result{}, err
	}
	hear(ear.Flush())
	var places []float64
	for b := range alongBeats {
		places = append(places, l.place(beats.Sample(float64(b))))
	}
	return delay.Together(notes, places, rate)
}
