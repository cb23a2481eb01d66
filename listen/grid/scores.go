package grid

import (
	"math"
)

// scores are what speaks for a beat at a frame, logarithms of likelihood
// ratios, made frame by frame in order.
type scores struct {
	plan   *Plan
	onsets []heard
	worth  []float64 // by beat of the pass, of a right note on it
	first  int       // of the onsets that reach the frame
	carry  [manners][]float64

	beat [manners][]float64 // by beat of the pass, at the frame made last

	between []float64   // weight of the onsets up to each frame
	chord   [][]float64 // by chord of the plan: what its sound speaks for it, up to each frame
	after   []afterAsk  // notes asked for between beats
}

// afterAsk is a note asked for between beats, with what speaks for it at each
// frame.
type afterAsk struct {
	beat  int
	after float64
	score []float32
}

// An onset that no beat explains costs this, halfway between two beats less.
const (
	unexplained = 0.55
	// A second's sound of a chord of the plan that it resembles less than
	// another costs as much, times the difference of the two resemblances.
	// The right one earns nothing: a chord rings on when nobody plays.
	chordWeight = 6.0
	otherChord  = 0.2 // a chord of a beat is another than the plan's this often
)

func newScores(p *Plan, e *Evidence) *scores {
	s := &scores{plan: p}
	s.onsets, s.worth = p.weigh(e.onsets())
	n := e.frames()
	for m := range manners {
		s.beat[m] = make([]float64, len(p.beats))
		for k := range p.beats {
			s.carry[m] = append(s.carry[m], p.carries(k, m))
		}
	}
	s.between = make([]float64, n+1)
	i := 0
	for t := range n {
		s.between[t+1] = s.between[t]
		for ; i < len(s.onsets) && s.onsets[i].at < float64(t)+0.5; i++ {
			s.between[t+1] += s.onsets[i].weight
		}
	}
	s.chord = chordScores(p, e, n)
	for k := range p.beats {
		for a := range p.beats[k].asks {
			if after := p.beats[k].asks[a].after; after > 0 {
				s.after = append(s.after, s.askScores(k, a, n))
			}
		}
	}
	return s
}

// at makes the scores of a frame. Frames may come in any order, but fastest
// one after the other.
func (s *scores) at(t int) {
	x := float64(t)
	for s.first > 0 && s.onsets[s.first-1].at > x-astray {
		s.first--
	}
	for s.first < len(s.onsets) && s.onsets[s.first].at <= x-astray {
		s.first++
	}
	for m := range manners {
		for k := range s.beat[m] {
			s.beat[m][k] = 0
		}
	}
	sum := s.beat[every]
	for i := s.first; i < len(s.onsets) && s.onsets[i].at < x+astray; i++ {
		h := &s.onsets[i]
		w := h.weight * place(h.at-x, h.dense)
		for k := range sum {
			r := h.ratio[k]
			if a := h.asked[k]; len(a) > 0 && s.plan.beats[k].asks[0].after == 0 {
				r = a[0]
			}
			sum[k] += w * r
		}
	}
	for k, v := range sum {
		for m := manners - 1; m >= 0; m-- {
			c := s.carry[m][k]
			s.beat[m][k] = math.Log(1 - c + c*v)
		}
	}
}

// span is what the time from a beat's frame to the next's speaks for beat k of
// the pass, and what the chord that sounds there does beside that, which is
// nothing where no chords are played.
func (s *scores) span(k, from, to int) (sum, chord float64) {
	sum = s.silent(from, to)
	for i := range s.after {
		if a := &s.after[i]; a.beat == k {
			sum += float64(a.at(from, to))
		}
	}
	return sum, s.sounds(s.plan.beats[k].chord, from, to)
}

// silent is what the time between two beats' frames speaks for both, by the
// onsets off them.
func (s *scores) silent(from, to int) float64 {
	n := len(s.between) - 1
	at := func(part float64) int { return min(max(from+int(part*float64(to-from)), 0), n) }
	return -unexplained * (s.between[at(0.43)] - s.between[at(0.22)] + s.between[at(0.80)] - s.between[at(0.57)])
}

// sounds is what is heard between two frames speaks for a chord of the plan.
func (s *scores) sounds(chord, from, to int) float64 {
	if s.chord == nil {
		return 0
	}
	c := s.chord[chord]
	return doubted(c[min(max(to, 0), len(c)-1)] - c[min(max(from, 0), len(c)-1)])
}

// at is what speaks for the note between two beats' frames.
func (a *afterAsk) at(from, to int) float32 {
	n := len(a.score) - 1
	return a.score[min(max(from+int(a.after*float64(to-from)), 0), n)]
}

// askScores are those of a note asked for between beats.
func (s *scores) askScores(k, a, n int) afterAsk {
	out := afterAsk{beat: k, after: s.plan.beats[k].asks[a].after, score: make([]float32, n)}
	first := 0
	for t := range n {
		x := float64(t)
		for first < len(s.onsets) && s.onsets[first].at <= x-astray {
			first++
		}
		sum := 0.0
		for i := first; i < len(s.onsets) && s.onsets[i].at < x+astray; i++ {
			h := &s.onsets[i]
			sum += h.weight * place(h.at-x, h.dense) * h.asked[k][a]
		}
		out.score[t] = float32(math.Log(1 - onLine + onLine*sum))
	}
	return out
}

// chordScores are sums over the frames of what the sound speaks for each chord
// of the plan; nil where no chroma is there.
func chordScores(p *Plan, e *Evidence, n int) [][]float64 {
	if len(e.Chroma) == 0 || len(p.chords) < 2 {
		return nil
	}
	out := make([][]float64, len(p.chords))
	for c := range out {
		out[c] = make([]float64, n+1)
	}
	like := make([]float64, len(p.chords))
	next := 0
	for t := range n {
		sample := float64(t) / frameRate * float64(e.Rate)
		for next+1 < len(e.Chroma) && math.Abs(float64(e.Chroma[next+1].At)-sample) <= math.Abs(float64(e.Chroma[next].At)-sample) {
			next++
		}
		near := math.Abs(float64(e.Chroma[next].At)-sample) < float64(e.Rate)/4
		top := 0.0
		for c := range like {
			like[c] = 0
			if near {
				like[c] = resemblance(&e.Chroma[next].Classes, &p.chords[c])
			}
			top = math.Max(top, like[c])
		}
		for c := range like {
			out[c][t+1] = out[c][t] + chordWeight*frame*(like[c]-top)
		}
	}
	return out
}

// resemblance is the cosine between what sounds and a chord's tones, 0 to 1.
func resemblance(sound *[12]float32, chord *[12]bool) float64 {
	var inside, all, tones float64
	for c, v := range sound {
		x := clamp(float64(v), 0, 1e6)
		all += x * x
		if chord[c] {
			inside += x
			tones++
		}
	}
	if all <= 0 || tones == 0 {
		return 0
	}
	return inside / math.Sqrt(all*tones)
}

// doubts is what a cost in steps of a doubtStep becomes where the chord may be
// another than the plan's.
var doubts = func() (out [doubtSteps + 1]float64) {
	for i := range out {
		out[i] = math.Log(otherChord + (1-otherChord)*math.Exp(-float64(i)*doubtStep))
	}
	return out
}()

const (
	doubtStep  = 1.0 / 32
	doubtSteps = 10 / doubtStep
)

// doubted is doubts of x, which is not positive.
func doubted(x float64) float64 {
	x *= -1 / doubtStep
	i := int(x)
	switch {
	case !(x > 0):
		return 0
	case i >= doubtSteps:
		return doubts[doubtSteps]
	}
	return doubts[i] + (x-float64(i))*(doubts[i+1]-doubts[i])
}
