package chords

import (
	"math"

	"bordon/dsp"
)

// Thumb is a bass note that the ear heard, as it sounds: no part of the chord.
type Thumb struct {
	Onset int64 // input sample
	MIDI  int
}

// evidence is what one beat shows. The shares of the pitch classes, C first,
// are of what is new on the beat and then of all that sounds on it; each half's
// squares sum to 1, or to 0 where it is silent.
type evidence struct {
	shares [24]float64
	struck float64 // how much is new, 0 to 1: 1 is what the take's strong beats have, the thumb's note with it
}

const (
	settle  = 0.09 // s after a beat from which on it is looked at: half of dsp.Chroma's window lies behind
	ends    = 0.16 // s before the next beat, where the look ends
	ringing = 0.14 // s before the beat, where what rings into it is looked at
	faded   = 0.8  // of what rang is no news: strings fade
	treble  = 55   // MIDI, open third string: over a walking thumb the fingers lie from there up
	// Of what is new where the thumb walks, the share that is not the thumb's
	// from which on fingers were at work, and that of which it counts whole:
	// of a thumb alone a quarter is left, as its partials have a way of looking
	// like a chord on its note.
	fingersFrom, fingersTo = 0.25, 0.45

	strong = 0.8 // of the take's beats have less news than a strong one
)

// left is how much of a pitch counts at a distance in semitones from the
// thumb's note: its strongest partials may pass for notes.
func left(above int) float64 {
	switch above {
	case 0:
		return 0
	case 12:
		return 0.3
	case 19:
		return 0.5
	case 24, 28, 31:
		return 0.5
	}
	return 1
}

// evidenceOf gathers what the beats from first to last show, both numbered as
// by the grid.
func evidenceOf(cfg *Config, frames []dsp.ChromaFrame, first, last int) []evidence {
	out := make([]evidence, last-first+1)
	second := float64(cfg.Rate)
	look := looking{frames: frames}
	thumbs := cfg.Thumbs
	news := make([]float64, 0, len(out))
	for i := range out {
		from, to := cfg.sample(first+i), cfg.sample(first+i+1)
		before := look.mean(from-int64(ringing*second), from-int64(ringing*second))
		start := from + int64(settle*second)
		sounds := look.mean(start, max(start, to-int64(ends*second)))
		all := 0.0
		for n, v := range sounds {
			all += max(0, v-faded*before[n])
		}
		if all > 0 {
			news = append(news, all)
		}
		if cfg.walks(first + i) {
			for m := dsp.LowestPitch; m < min(treble+cfg.Cejilla, dsp.HighestPitch); m++ {
				sounds[m-dsp.LowestPitch] = 0
			}
		}
		early, late := from-(to-from)/4, to-(to-from)/4
		for len(thumbs) > 0 && thumbs[0].Onset < early {
			thumbs = thumbs[1:]
		}
		walks := cfg.walks(first + i)
		for _, t := range thumbs {
			if t.Onset >= late {
				break
			}
			walks = true
			for n := range sounds {
				sounds[n] *= left(n + dsp.LowestPitch - t.MIDI)
			}
		}
		e := &out[i]
		for n, v := range sounds {
			class := (n + dsp.LowestPitch) % 12
			fresh := max(0, v-faded*before[n])
			e.shares[class] += fresh
			e.shares[12+class] += v
			e.struck += fresh
		}
		if walks {
			e.struck *= min(1, max(0, (e.struck/max(all, 1e-12)-fingersFrom)/(fingersTo-fingersFrom)))
		}
		root(e.shares[:12])
		root(e.shares[12:])
	}
	if len(news) == 0 {
		return out
	}
	much := quantile(news, strong)
	for i := range out {
		out[i].struck = min(1, out[i].struck/much)
	}
	return out
}

// root turns amounts into the roots of their shares.
func root(x []float64) {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	if sum == 0 {
		return
	}
	for i, v := range x {
		x[i] = math.Sqrt(v / sum)
	}
}

// looking goes through frames in order of time.
type looking struct {
	frames []dsp.ChromaFrame
	next   int
}

// mean is that of the frames whose middle lies from one sample to another, or
// of the one nearest to it where there is none; nothing outside the stream.
func (l *looking) mean(from, to int64) (m [dsp.ChromaNotes]float64) {
	f := l.frames
	if len(f) == 0 || to < f[0].At || from > f[len(f)-1].At {
		return m
	}
	for l.next > 0 && f[l.next].At > from {
		l.next--
	}
	for l.next < len(f)-1 && f[l.next].At < from {
		l.next++
	}
	i := l.next
	if f[i].At > to && i > 0 && to-f[i-1].At < f[i].At-to {
		i--
	}
	count := 0.0
	for ; i < len(f) && (count == 0 || f[i].At <= to); i++ {
		for n, v := range f[i].Notes {
			m[n] += v
		}
		count++
	}
	for n := range m {
		m[n] /= count
	}
	return m
}
