package grid

import (
	"math"
	"sort"

	"bordon/dsp"
)

// Whether the line's own notes are heard where a reading has the line tells if
// the form, the line and the key are the ones that were played at all: the best
// of readings in a wrong key may have no rival, and is wrong. On the takes tuned
// on next to nothing of the line is heard in a wrong key, however well strums
// and accents fit, and most of it in the right one, with every second note a
// mistake at the worst.
const (
	luck      = 0.5  // share of the notes that are taken for any, so that a mistake costs little
	halfTrust = 0.17 // of what the line might speak for itself: as likely played as not
	surer     = 25.0 // how quickly that turns either way
	// Before any of it is heard, it is taken for played: as if so much had been
	// at stake, and this much more than half of it been given.
	unread, benefit = 1.5, 0.3
	// Without the line's notes a stretch holds only by so much for each beat.
	leastBare, bareTrust = 1.5, 0.1
)

// trust is the probability that the line was played where it is read. Where it
// was strummed instead, or is nowhere read, nothing speaks against it.
func (s *scores) trust(all []played) float64 {
	sum, worth := halfTrust*unread+benefit, unread
	for i := range all {
		for _, f := range all[i].part {
			if w := s.worth[f.beat]; w > 0 {
				fits, strum := s.fits(f.beat, f.frame)
				sum += fits
				worth += w * (1 - strum)
			}
		}
	}
	return 1 / (1 + math.Exp(-surer*(sum/worth-halfTrust)))
}

// fits is how much the bass note about a beat's frame speaks for the line, a
// logarithm, and how much likelier a strum is there than a note.
func (s *scores) fits(k, frame int) (fits, strum float64) {
	note := 0.0
	for i := sort.Search(len(s.onsets), func(i int) bool { return s.onsets[i].at >= float64(frame)-astray }); i < len(s.onsets) && s.onsets[i].at <= float64(frame)+astray; i++ {
		h := &s.onsets[i]
		strum = math.Max(strum, h.strum)
		if h.note > note {
			note, fits = h.note, h.note*math.Log(luck+(1-luck)*h.fit[k])
		}
	}
	return fits, math.Max(0, strum-note)
}

// worth is what fits is on average of the notes that are accepted.
func (a *planAsk) worth(want, base *[dsp.Pitches]float64) float64 {
	sum, n := 0.0, 0
	for m := range want {
		if a.accepts[m] {
			sum += math.Max(0, math.Log(luck+(1-luck)*clamp(want[m]/base[m], 0.02, 20)))
			n++
		}
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}

// doubt lowers the confidence of stretches by the trust in all of them, and
// drops those that nothing but a pulse is heard in.
func (s *scores) doubt(all []played) []played {
	trust := s.trust(all)
	var out []played
	for _, x := range all {
		if trust < bareTrust && x.seg.Score < leastBare*float64(len(x.part)) {
			continue
		}
		x.seg.Confidence *= trust
		for i := range x.seg.Readings {
			x.seg.Readings[i].Share *= trust
		}
		out = append(out, x)
	}
	return out
}
