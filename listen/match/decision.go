package match

import "bordon/dsp"

// The numbers of the decision. The ear gives likelihoods without knowing the
// line; here they are weighed with what was expected. Where a reason names a
// measurement, it was made before this project began, with a prototype of the
// ear, on rendered takes of guitars that it had not been taught, in twelve
// conditions from bare notes to a live room; cmd/eval measures this ear.
const (
	// Place in time: a bass note that a beat asks for comes near its beat, and
	// treble notes come anywhere. Weight of "a bass note began" against "none
	// did", by the distance from the beat. Worth 0.7 points of right words.
	nearMS, reachMS                 = 50, 100
	placeNear, placeReach, placeFar = 1.0, 0.4, 0.2

	// The expected note is far likelier than any other: a player gets most
	// notes right. Worth 1.1 points, and accused right notes fell from 0.95 %
	// to 0.12 %. Several accepted notes share it: one of n gets 1 + 5/n.
	expectedWeight = 6.0
	// A slip goes to the octave, or stays in the key, a little more often than
	// not. Kept mild: these are what an accusation is made of.
	octaveWeight, scaleWeight = 1.5, 1.25

	// Range: a thumb plays from the open sixth string to the fourth fret of
	// the fourth, or as high as the line goes. Lower there is nothing unless a
	// string is slack; up to a fourth higher it happens. Worth 0.6 points.
	belowWeight, aboveWeight, trebleWeight = 0.05, 0.3, 0.1
	aboveReach                             = 5 // semitones

	// "A bass note began" at least this likely, all weights included, or
	// nothing was played there.
	beganEnough = 0.4
	// Under a strum it takes more: below, nothing was played there either.
	beganWrong = 0.6
	// A right note that would be this likely to have begun without having been
	// asked for is final at once. A fainter one, such as the left hand's noise
	// on the string just before the pluck, waits: the note itself may follow.
	beganClear = 0.2
	// An extra stands against the player with nothing asked for in its place:
	// it takes more.
	beganExtra = 0.5

	// A chord was struck across the strings: rather than not.
	strumEnough = 0.5
	// At the landing, where the whole chord is usual, another tone of it is the
	// thumb's mistake only where it looks like a strum even less than this.
	strumLikely = 0.2
	// But this likely in the ear's own eyes, where its onset looks like a strum less
	// than this, it is: of 10 such notes in 40,000 none was a chord's.
	landedSurely, strumHardly = 0.98, 0.02
	// Away from the landing there is a thumb note under a strum where it is the
	// one asked for; that the turn has a thumb line it tells only at this
	// posterior.
	rightInStrum = 0.8
	// A pitch of a strum is there: a low string among six is easily drowned.
	presenceEnough = 0.3
)

// The share of the notes' weight that the best note must hold to be sworn to:
// at a first look, at the last, and when no better note can come any more.
// With the prototype a share above 0.97 was practically always right, 0.8 to 0.9
// in 97.9 %, 0.6 to 0.8 in 78 %, 0.4 to 0.6 in 71 %. Far from the beat the
// place says nothing for the note, so it must be surer.
var (
	sureNear = thresholds{first: 0.80, last: 0.60, end: 0.50}
	sureFar  = thresholds{first: 0.97, last: 0.93, end: 0.60}
)

type thresholds struct{ first, last, end float64 }

// place is the weight of a distance from the beat, and how sure an answer there
// must be. Where there is no beat, or the delay of the room is not known, it is
// untimed.
type place struct {
	weight  float64
	sure    *thresholds
	near    bool // within nearMS of the beat
	untimed bool
}

var (
	near    = place{weight: placeNear, sure: &sureNear, near: true}
	reach   = place{weight: placeReach, sure: &sureNear}
	far     = place{weight: placeFar, sure: &sureFar}
	untimed = place{weight: placeNear, sure: &sureNear, untimed: true}
)

// placeAt is the place of an onset so many ms after its beat.
func placeAt(ms float64) place {
	switch ms = max(ms, -ms); {
	case ms <= nearMS:
		return near
	case ms <= reachMS:
		return reach
	}
	return far
}

// reading is what one look at an onset says to what was asked for there.
type reading struct {
	began float64 // posterior that a bass note began
	alone float64 // the same without the expected note's weight
	heard float64 // that a note began, in the ear's own eyes
	own   float64 // that this one began, likewise
	pitch int     // index of the note heard
	word  Word    // on that note
	open  bool    // of a right note: it may have been played
	sworn bool    // it is the note: final but for a better one in the window
	fair  bool    // it may be sworn to, at the share that takes
	share float64 // of the notes' weight that the note holds
	chord bool    // the landing's chord, its tonic confirmed
	brush bool    // the note asked for, under a string that was brushed
	strum bool    // strings struck together, and no thumb note for certain among them
}

// isNote reports whether something was played that may answer a beat. Where it
// was the note asked for, that stays open longer: better than to call a soft
// note missing.
func (r *reading) isNote() bool {
	if r.word == Right {
		return r.open || r.chord
	}
	return r.word != "" && r.began >= beganEnough
}

// clear reports whether the note is the one asked for, and began rather than
// not even if it had not been: nothing better is to be waited for.
func (r *reading) clear() bool {
	return r.sworn && r.word == Right && (r.chord || r.alone >= beganClear)
}

// thumb reports whether the thumb was heard: a turn with such a note was not
// strummed.
func (r *reading) thumb() bool { return r.sworn && r.isNote() && !r.chord && !r.strum }

// read weighs a look with what a asks for at that place in time. strum is how
// much the onset looked like one so far.
func (a *ask) read(n *dsp.Note, p place, strum float64) reading {
	if a.landing && strum >= strumEnough {
		return a.readChord(n, p, strum)
	}
	r := a.readNote(n, p, strum)
	if a.landing && r.word == InScale && a.harmless[r.pitch] && a.chordLikely(n, r.pitch, strum) {
		r.word, r.sworn, r.fair = Unsure, false, false
	}
	if strum < strumEnough {
		return r
	}
	switch {
	case r.word == Right:
		r.strum = r.began < rightInStrum
	case r.sworn:
	case r.began < beganWrong:
		return reading{strum: true}
	default:
		r.strum = true
	}
	return r
}

// readNote reads an onset as a thumb note.
func (a *ask) readNote(n *dsp.Note, p place, strum float64) reading {
	r := reading{}
	var total, alone float64 // weight of all notes, with and without expectation
	var best float64
	for i, likelihood := range n.Likelihood {
		l := likelihood * a.reach[i]
		w := l * a.favour[i]
		alone += l
		total += w
		if w > best {
			best, r.pitch = w, i
		}
	}
	if !(total > 0) { // nothing named, or no numbers at all
		return reading{}
	}
	r.began, r.alone = posterior(n.Began, p.weight*total), posterior(n.Began, p.weight*alone)
	r.heard, r.own = n.Began, n.Began*n.Likelihood[r.pitch]
	r.word, r.share = a.word[r.pitch], best/total
	if r.word == Right {
		a.readRight(&r, n, p, alone, strum)
	} else {
		a.readWrong(&r, n, p, strum)
	}
	needed := p.sure.first
	if n.Last {
		needed = p.sure.last
	}
	r.sworn = r.fair && r.share >= needed
	if n.Last && r.word != Right {
		a.brushed(&r, n)
	}
	return r
}

// readChord reads a strum at the landing: the tonic in the bass makes it
// right, a sworn bass foreign to the tonic chord makes it wrong, and a chord
// whose tonic cannot be confirmed is doubtful.
func (a *ask) readChord(n *dsp.Note, p place, strum float64) reading {
	r := a.readNote(n, p, strum)
	r.began = max(r.began, posterior(n.Strum, p.weight))
	// The first look may miss the lowest string of a slow strum.
	if tonic, ok := a.tonicIn(n); ok && (n.Last || a.word[tonic] == Right) {
		r.pitch, r.word, r.share = tonic, Right, 1
		r.chord, r.sworn, r.fair = true, true, true
		return r
	}
	if r.sworn && r.word == Right && r.began >= rightInStrum {
		return r
	}
	if !r.sworn || a.harmless[r.pitch] {
		r.word, r.sworn, r.fair, r.strum = Unsure, false, false, true
	}
	return r
}

// chordLikely reports whether a tone of the landing's chord may be that chord:
// something of a strum is in it, or another of its tones sounds and it is not a
// single note beyond doubt.
func (a *ask) chordLikely(n *dsp.Note, pitch int, strum float64) bool {
	if strum >= strumLikely {
		return true
	}
	if strum < strumHardly && n.Began*n.Likelihood[pitch] >= landedSurely {
		return false
	}
	for i, present := range n.Presence {
		if i != pitch && a.harmless[i] && present >= presenceEnough {
			return true
		}
	}
	return false
}

// tonicIn finds the tonic in the bass of a strum. It is there where it sounds
// in some octave; in which, is weighed with the one asked for, whose partials
// the octave above it shares.
func (a *ask) tonicIn(n *dsp.Note) (pitch int, ok bool) {
	best := 0.0
	for i, present := range n.Presence {
		if !a.tonic[i] {
			continue
		}
		ok = ok || present >= presenceEnough
		if w := present * a.favour[i]; w > best {
			best, pitch = w, i
		}
	}
	return pitch, ok
}

// posterior is the probability that a bass note began, from the ear's and the
// weight that place in time, range and expectation give its notes against
// none. What is no number counts as 0.
func posterior(began, weight float64) float64 {
	if !(began > 0) {
		return 0
	}
	began = min(began, 1)
	return began * weight / (began*weight + 1 - began)
}
