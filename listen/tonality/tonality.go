// Package tonality names the key of what was played.
//
// Every major, minor and Phrygian key is held against what sounded: the chords
// that were likely from moment to moment against those that the form asks for in
// that key; all pitches together against the key's profile (Krumhansl &
// Kessler, Psychological Review 89, 1982; the profile of a Phrygian key is the
// minor one with the second degree lowered and the major third of its tonic
// beside the minor one); the thumb's notes against its scale, those on the
// landing's beat, or on which a run of them ends, against its tonic. A form says
// which modes it is played in.
package tonality

import (
	"math"
	"slices"

	"bordon/dsp"
	"bordon/listen/chords"
	"bordon/listen/grid"
	"bordon/theory"
)

// Heard is what was heard of a recording.
type Heard struct {
	Rate   int
	End    int64 // samples
	Frames []dsp.ChromaFrame
	Bass   []Bass // in order of time
	// Notes are the last looks of the ear; only NameFree needs them.
	Notes []dsp.Note
}

// Bass is a note of the thumb.
type Bass struct {
	Onset int64 // input sample
	MIDI  int
	Sure  float64 // probability that it was this one, 0 to 1
}

// Reading is a key that may have sounded.
type Reading struct {
	Key        theory.Key // as it sounds
	Confidence float64    // probability, 0 to 1
}

// Clear is the Confidence of a key that can be told from all others.
const Clear = 0.9

// minutes of a recording that are listened to: a key does not change.
const minutes = 10

// Name gives the keys that form may have been played in, the likeliest first;
// none where nothing tells. beats may be nil where it is not known.
func Name(h Heard, form theory.Form, beats grid.Grid, delay int64) []Reading {
	return likeliest(h.scores(form, beats, delay))
}

// scores are the keys that form may have been played in, each with the
// logarithm of how likely it is; none where nothing tells.
func (h Heard) scores(form theory.Form, beats grid.Grid, delay int64) (all []Reading, score []float64) {
	h.End = min(h.End, int64(minutes)*60*int64(h.Rate))
	profile, sound := h.profile()
	if sound == 0 && len(h.Bass) == 0 {
		return nil, nil
	}
	full := 1.0 // given beats, each chord has its own
	if beats == nil {
		full = h.full()
	}
	odds := map[theory.Mode]func(theory.Key) float64{}
	for _, mode := range []theory.Mode{theory.Major, theory.Minor, theory.Phrygian} {
		odds[mode] = h.chords(form, mode, beats, delay)
	}
	for _, home := range keys() {
		if form.ToMinor && home.Mode == theory.Minor {
			continue // the silencio is asked for by the key of the whole
		}
		k := form.KeyIn(home)
		s := full*(odds[k.Mode](k)+profileWeight*correlation(profile, k)) + h.bass(k, form, beats, delay) + usual(k, form)
		spelled := theory.Fingerings(home, form.Name)[0].Sounding() // as from the shapes that are played
		all, score = append(all, Reading{Key: spelled}), append(score, s)
	}
	return all, score
}

// likeliest puts keys in order.
func likeliest(all []Reading, score []float64) []Reading {
	if len(all) == 0 {
		return nil
	}
	top := slices.Max(score)
	total := 0.0
	for _, s := range score {
		total += math.Exp(s - top)
	}
	for i := range all {
		all[i].Confidence = math.Exp(score[i]-top) / total
	}
	slices.SortStableFunc(all, func(a, b Reading) int {
		switch {
		case a.Confidence > b.Confidence:
			return -1
		case a.Confidence < b.Confidence:
			return 1
		}
		return 0
	})
	return all
}

// keys are all keys, each spelled with the fewest signs.
func keys() (all []theory.Key) {
	for _, name := range []string{"C", "Am", "E-phrygian"} {
		k, err := theory.ParseKey(name)
		if err != nil {
			panic(err) // these are keys
		}
		for up := range 12 {
			all = append(all, k.Transpose(up))
		}
	}
	return all
}

const (
	together      = 0.3  // moments do not err apart: a chord rings through several
	profileWeight = 6    // what a perfect correlation is worth, as a log-likelihood
	rarely        = -4   // what it costs that a form is hardly ever played in a mode
	foreign       = -1.5 // what a thumb's note that is foreign to the key costs
	step          = 0.8  // what a step of the form's usual line in that key gives,
	stepSeconds   = 2    // if it is taken in so many seconds,
	landing       = 2.5  // and what one on the landing's beat gives that is the tonic
)

// usual is the log of how usual it is to play a form in the key's mode.
func usual(k theory.Key, form theory.Form) float64 {
	for _, f := range theory.Fingerings(k, form.Name) {
		if f.Habitual {
			return 0
		}
	}
	return rarely
}

// chords gives how likely the chords that were heard are in keys of a mode.
// Where the beats are not known every half second may have any chord of the
// plan, and what else the key has now and then.
func (h *Heard) chords(form theory.Form, mode theory.Mode, beats grid.Grid, delay int64) func(theory.Key) float64 {
	cfg := chords.Config{Rate: h.Rate, Form: form, Beats: grid.Fixed{Rate: h.Rate, Tempo: 120}, End: h.End}
	if beats != nil {
		cfg.Beats, cfg.Delay = beats, delay
		for _, k := range keys() {
			if k.Mode != mode {
				continue
			}
			if line, err := theory.DefaultLine(k, form, theory.Standard); err == nil {
				cfg.Line = line // where it walks is the same in all keys of a mode
			}
			break
		}
	}
	for _, b := range h.Bass {
		cfg.Thumbs = append(cfg.Thumbs, chords.Thumb{Onset: b.Onset, MIDI: b.MIDI})
	}
	first, odds := chords.Odds(cfg, h.Frames)
	return func(k theory.Key) float64 {
		sum := 0.0
		shares := sharesOf(k, form)
		for i, o := range odds {
			if beats != nil {
				shares = sharesAt(k, form, float64(first+i)+1)
			}
			p := 0.0
			for f, share := range shares {
				p += share * math.Exp(o[f])
			}
			sum += math.Log(p * chords.Families)
		}
		return together*sum + ending(k, odds)
	}
}

// A recording mostly ends on the tonic's chord (common practice, no source): so
// many of its last moments in which something can be told are held against it.
const (
	endWeight   = 0.6
	lastMoments = 3
	endsThere   = 0.8
	tells       = 0.9 // the probability of some chord from which on a moment tells something
)

func ending(k theory.Key, odds [][chords.Families]float64) float64 {
	tonic := chords.Family(k.TonicChord(), 0)
	sum, moments := 0.0, 0
	for i := len(odds) - 1; i >= 0 && moments < lastMoments; i-- {
		if o := &odds[i]; slices.Max(o[:]) > math.Log(tells) {
			sum += math.Log(endsThere*math.Exp(o[tonic]) + (1-endsThere)/chords.Families)
			moments++
		}
	}
	if moments == 0 {
		return 0
	}
	return endWeight * sum / float64(moments)
}

// What a key gives to chords: those of the plan, others of its degrees, any.
const (
	ofDegrees = 0.1
	ofAny     = 0.05
)

// sharesOf are how much of the time each chord sounds in a key.
func sharesOf(k theory.Key, form theory.Form) (share [chords.Families]float64) {
	steps := 0
	for beat := 1; beat <= form.Beats; beat++ {
		for f, s := range sharesAt(k, form, float64(beat)) {
			share[f] += s * float64(form.Length(beat))
		}
		steps += form.Length(beat)
	}
	for f := range share {
		share[f] /= float64(steps)
	}
	return share
}

// sharesAt is how likely each chord is on a beat.
func sharesAt(k theory.Key, form theory.Form, beat float64) (share [chords.Families]float64) {
	for f := range share {
		share[f] = ofAny / chords.Families
	}
	for degree := 1; degree <= 7; degree++ {
		if f := chords.Family(k.Chord(degree, false), 0); f >= 0 {
			share[f] += ofDegrees / 7
		}
	}
	if f := chords.Family(form.ChordAt(k, beat), 0); f >= 0 {
		share[f] += 1 - ofDegrees - ofAny
	}
	return share
}

// walk are the steps of the form's usual line in a key, by the pitch classes
// that they lead from and to.
func walk(k theory.Key, form theory.Form) map[[2]int]bool {
	line, err := theory.DefaultLine(k, form, theory.Standard)
	if err != nil {
		return nil
	}
	steps := map[[2]int]bool{}
	for i, item := range line.Items {
		if i > 0 && item.Choices[0].Kind == theory.ExactNote && line.Items[i-1].Choices[0].Kind == theory.ExactNote {
			steps[[2]int{line.Items[i-1].Choices[0].Note.PitchClass(), item.Choices[0].Note.PitchClass()}] = true
		}
	}
	return steps
}

// bass is how likely the thumb's notes are in a key.
func (h *Heard) bass(k theory.Key, form theory.Form, beats grid.Grid, delay int64) float64 {
	sum, weight := 0.0, 0.0
	steps := walk(k, form)
	for i, b := range h.Bass {
		if i > 0 && b.Onset-h.Bass[i-1].Onset < int64(stepSeconds*float64(h.Rate)) && steps[[2]int{h.Bass[i-1].MIDI % 12, b.MIDI % 12}] {
			sum += step * min(b.Sure, h.Bass[i-1].Sure)
		}
		if !k.Contains(b.MIDI) {
			sum += foreign * b.Sure
		}
		weight += b.Sure
		if beats == nil || form.LandsOn == 0 || b.Onset < 0 {
			continue
		}
		at := beats.Beat(b.Onset - delay)
		of := math.Mod(math.Mod(at, float64(form.Beats))+float64(form.Beats), float64(form.Beats)) + 1
		if math.Abs(of-float64(form.LandsOn)) < 0.25 && k.Degree(b.MIDI) == "1" {
			sum += landing * b.Sure
		}
	}
	// More notes than a few turns have tell no more.
	if weight > 40 {
		sum *= 40 / weight
	}
	if beats == nil && form.LandsOn > 0 {
		sum += h.closing(k)
	}
	return sum
}
