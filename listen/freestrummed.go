package listen

import (
	"slices"

	"bordon/listen/match"
)

// A turn that is strummed through mostly ends on its chord, and the lowest
// string of that is the tonic, which may as well be the line's landing: live it
// is one, for it is told at once. In a whole recording it is known that nothing
// else of the line was there.
const (
	// The notes before the landing are no thumb's under this confidence, and so
	// many must have been asked for.
	clearThumb  = 0.5
	faintThumb  = 0.25 // the same of one that is not sworn to
	leastBefore = 2
	// A strum is an onset that likely is one, and likely no single note.
	surelyStrum = 0.5
	// A strum whose lowest string passes for a note does so on every beat: on so
	// many at least.
	sameLowest = 3
)

// strum takes turns whose line nothing speaks for, with strums in its place, for
// strummed ones.
func (s *Session) strum(f *Free) {
	turns := map[int][]int{}
	for i, v := range s.verdicts {
		turns[v.Turn] = append(turns[v.Turn], i)
	}
	for turn, of := range turns {
		if !s.strummedThrough(f, of) {
			continue
		}
		for _, i := range of {
			v := &s.verdicts[i]
			v.Pitch, v.Heard, v.Timing, v.Offset, v.Cause = match.Strummed, nil, "", 0, match.NoCause
		}
		s.extras = slices.DeleteFunc(s.extras, func(x match.Extra) bool { return x.Turn == turn })
	}
}

// strummedThrough reports whether the verdicts of a turn, by their indices, are
// of one.
func (s *Session) strummedThrough(f *Free, of []int) bool {
	var before []match.Verdict // the landing
	from, to := int64(0), int64(0)
	for _, i := range of {
		v := s.verdicts[i]
		if v.Pitch == match.Strummed || v.Lost {
			return false
		}
		if to = max(to, v.Time); len(before) == 0 || v.Time < from {
			from = v.Time
		}
		if !v.Item.Landing {
			before = append(before, v)
		}
	}
	if len(before) < leastBefore {
		return false
	}
	gap := (to - from) / int64(len(of)) // about half a beat or more
	if s.lowestAlone(before) {
		// The strums themselves were taken for notes: those around tell.
		turn := int64(s.set.Form.Beats) * gap
		return f.strums(from-turn, to+turn) > 0
	}
	for _, v := range before {
		switch {
		case v.Pitch.Sworn() && v.Heard.Confidence >= clearThumb,
			v.Pitch == match.Unsure && v.Heard != nil && v.Heard.Confidence >= faintThumb: // something was played there
			return false
		}
	}
	return f.strums(from-gap/2, to-gap/2) > 0
}

// lowestAlone reports whether all notes are the same wrong one, which the chord
// holds.
func (s *Session) lowestAlone(notes []match.Verdict) bool {
	if len(notes) < sameLowest {
		return false
	}
	for _, v := range notes {
		if v.Pitch != match.InScale || v.Heard.MIDI != notes[0].Heard.MIDI || !v.Item.Chord.Contains(v.Heard.MIDI-s.set.Cejilla) {
			return false
		}
	}
	return true
}

// strums is how many were heard between two samples.
func (f *Free) strums(from, to int64) (n int) {
	for i := range f.notes {
		x := &f.notes[i]
		if x.Last && x.Onset >= from && x.Onset < to && x.Strum >= surelyStrum && x.Began < surelyStrum {
			n++
		}
	}
	return n
}
