package live

import (
	"math"

	"bordon/listen/audio/pulse"
)

// unplaced is the base of an input that is not known yet.
const unplaced = math.MinInt64

// Again begins anew on the same devices: the next sample that Read gives is
// sample 0 of another session, of these settings. Where cfg.Open is nil the
// devices stay what they are. A pulse goes on where its beats are until the
// new one takes its place; Still stops it.
func (r *Room) Again(cfg Config) error {
	beats, err := cfg.Settings.Grid(r.rate)
	if err != nil {
		return err
	}
	if cfg.Open == nil {
		cfg.Open = r.cfg.Open
	}
	if cfg.Tell == nil {
		cfg.Tell = r.cfg.Tell
	}
	if r.base != unplaced {
		r.base -= r.passed
	}
	r.passed = 0
	r.cfg, r.beats, r.tempos, r.tempo = cfg, beats, nil, cfg.Settings.Tempo
	r.score, r.quiet, r.still = scored{}, false, false
	if r.out != nil {
		r.out.placed = false
		r.out.fresh = true
	}
	return nil
}

// Still stops the pulse, with hush all else that is being played too.
func (r *Room) Still(hush bool) {
	r.still = true
	if r.out != nil {
		r.out.placed = false
		r.out.pulse.Store(nil)
		if hush {
			r.out.clipping.Lock()
			r.out.clips = nil
			r.out.clipping.Unlock()
		}
	}
}

// Loud reports whether there is a loudspeaker.
func (r *Room) Loud() bool { return r.out != nil }

// clip is a sound that is to be played.
type clip struct {
	at    int64 // sample of the output stream at which it begins
	sound []float32
}

// PlayAt plays a sound beside the pulse, such that it begins at a beat of the
// session. It is false where no pulse is placed, or the beat comes too soon.
func (r *Room) PlayAt(beat float64, sound []float32) bool {
	if r.out == nil || !r.out.placed {
		return false
	}
	at := r.out.beats.Sample(beat)
	if at < r.out.given.Load() {
		return false
	}
	r.out.add(clip{at, sound})
	return true
}

// PlayNow plays a sound as soon as it can be, and returns in how many seconds
// it will have been played; ok is false where there is no loudspeaker.
func (r *Room) PlayNow(sound []float32) (seconds float64, ok bool) {
	if r.out == nil {
		return 0, false
	}
	at := r.out.given.Load() + int64(r.rate/50)
	r.out.add(clip{at, sound})
	return feedSeconds + float64(len(sound)+r.rate/50)/float64(r.rate), true
}

func (s *speaker) add(c clip) {
	s.clipping.Lock()
	s.clips = append(s.clips, c)
	s.clipping.Unlock()
}

// mix adds what is to be played to samples of the output from at on. All of it
// goes through the pulse's limiter.
func (s *speaker) mix(dst []float32, at int64) {
	s.clipping.Lock()
	defer s.clipping.Unlock()
	if len(s.clips) == 0 {
		return
	}
	left := s.clips[:0]
	end := at + int64(len(dst))
	for _, c := range s.clips {
		for i := max(c.at, at); i < min(c.at+int64(len(c.sound)), end); i++ {
			dst[i-at] = pulse.Limit(dst[i-at] + c.sound[i-c.at])
		}
		if c.at+int64(len(c.sound)) > end {
			left = append(left, c)
		}
	}
	s.clips = left
}
