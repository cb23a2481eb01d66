package listen

import (
	"math"
	"slices"

	"bordon/listen/grid"
)

// Found tells of beats that were found in the sound, in a Check.
type Found struct {
	Found      bool           `json:"found"`
	Confidence float64        `json:"confidence"` // that this reading is right, 0 to 1
	Slowest    float64        `json:"slowest_bpm"`
	Fastest    float64        `json:"fastest_bpm"`
	Segments   []FoundSegment `json:"segments"`
	Readings   []FoundReading `json:"readings"` // of the longest segment, the likeliest first
	Steadiness *Steadiness    `json:"steadiness,omitempty"`
}

// FoundSegment is a stretch played without a break.
type FoundSegment struct {
	From       float64     `json:"from_s"`
	To         float64     `json:"to_s"`
	FirstBeat  float64     `json:"first_beat_s"` // its first beat 1, or where one would have been
	FirstTurn  int         `json:"first_turn"`
	Turns      int         `json:"turns"` // that it touches
	Tempo      float64     `json:"tempo_bpm"`
	Confidence float64     `json:"confidence"`
	Beats      []FoundBeat `json:"beats"`
}

// FoundBeat is a beat of the form.
type FoundBeat struct {
	Turn int     `json:"turn"`
	Beat int     `json:"beat"`
	Time float64 `json:"time_s"`
}

// FoundReading is a way to count what was played.
type FoundReading struct {
	FirstBeat float64 `json:"first_beat_s"`
	Tempo     float64 `json:"tempo_bpm"`
	Share     float64 `json:"probability"`
}

// Steadiness is how even a pulse was.
type Steadiness struct {
	// Spread is the standard deviation of the beats' lengths from those round
	// them, as a share.
	Spread float64 `json:"spread"`
	// Drift is how much faster the last turn was than the first, as a share,
	// negative for slower.
	Drift float64 `json:"drift"`
	// Walk is how much faster the beats of the line were than the others, as a
	// share; nil where there are no others to compare.
	Walk *float64 `json:"walk"`
}

// Found is where the beats were found in the sound, nil where they were given.
func (s *Session) Found() *Found { return s.found }

func foundOf(a *grid.Alignment, set Settings, rate int) *Found {
	f := &Found{Found: true, Confidence: round(a.Confidence, 4), Segments: []FoundSegment{}, Readings: []FoundReading{}}
	seconds := func(sample float64) float64 { return round(sample/float64(rate), 4) }
	turn := float64(set.Form.Beats)
	for i := range a.Segments {
		g := &a.Segments[i]
		n := len(g.Beats)
		first, last := g.Beats[0], g.Beats[n-1]
		beat1 := math.Ceil(first.Beat/turn) * turn
		out := FoundSegment{
			From: seconds(first.Sample), To: seconds(last.Sample), FirstBeat: seconds(float64(a.Grid.Sample(beat1))),
			FirstTurn: int(first.Beat/turn) + 1, Turns: int(last.Beat/turn) - int(first.Beat/turn) + 1,
			Tempo: round(g.Tempo, 2), Confidence: round(g.Confidence, 4),
		}
		for _, b := range g.Beats {
			out.Beats = append(out.Beats, FoundBeat{int(b.Beat/turn) + 1, int(math.Mod(b.Beat, turn)) + 1, seconds(b.Sample)})
		}
		f.Segments = append(f.Segments, out)
	}
	f.Readings = append(f.Readings, readingsOf(&a.Segments[longest(a.Segments)], rate)...)
	f.steady(a, set, rate)
	return f
}

func readingsOf(g *grid.Segment, rate int) (out []FoundReading) {
	for _, r := range g.Readings {
		out = append(out, FoundReading{round(r.FirstBeat/float64(rate), 4), round(r.Tempo, 2), round(r.Share, 4)})
	}
	return out
}

// beatLength is one beat of the pulse as it went.
type beatLength struct {
	beat   float64 // in the grid
	length float64 // seconds a unit of the tempo
	line   bool
}

// steady measures the pulse. A beat with a breath in it is no length.
func (f *Found) steady(a *grid.Alignment, set Settings, rate int) {
	var all []beatLength
	for i := range a.Segments {
		g := &a.Segments[i]
		for k := 1; k < len(g.Beats); k++ {
			if slices.Contains(g.Breaths, k) {
				continue
			}
			at := g.Beats[k-1]
			units := float64(set.Form.Length(int(math.Mod(at.Beat, float64(set.Form.Beats))) + 1))
			all = append(all, beatLength{at.Beat, (g.Beats[k].Sample - at.Sample) / units / float64(rate), set.onLine(at.Beat)})
		}
	}
	if len(all) < 4 {
		return
	}
	lengths := make([]float64, len(all))
	for i, b := range all {
		lengths[i] = b.length
	}
	slices.Sort(lengths)
	pace := func(share float64) float64 { return 60 / lengths[int(share*float64(len(lengths)-1))] }
	f.Slowest, f.Fastest = round(pace(0.95), 1), round(pace(0.05), 1)

	s := &Steadiness{}
	sum, n := 0.0, 0
	for i := 1; i+1 < len(all); i++ {
		before, here, after := all[i-1], all[i], all[i+1]
		if after.beat-before.beat != 2 {
			continue
		}
		// Against the mean of its neighbours a length that varies by one part
		// varies by one and a half in variance.
		d := here.length/((before.length+after.length)/2) - 1
		sum += d * d / 1.5
		n++
	}
	if n > 0 {
		s.Spread = round(math.Sqrt(sum/float64(n)), 4)
	}
	span := float64(set.Form.Beats)
	mean := func(keep func(b beatLength) bool) (float64, int) {
		sum, n := 0.0, 0
		for _, b := range all {
			if keep(b) {
				sum += b.length
				n++
			}
		}
		return sum / float64(max(n, 1)), n
	}
	from, to := all[0].beat, all[len(all)-1].beat
	first, _ := mean(func(b beatLength) bool { return b.beat < from+span })
	last, _ := mean(func(b beatLength) bool { return b.beat > to-span })
	if first > 0 && last > 0 {
		s.Drift = round(first/last-1, 4)
	}
	line, some := mean(func(b beatLength) bool { return b.line })
	rest, others := mean(func(b beatLength) bool { return !b.line })
	if some > 1 && others > 1 && line > 0 {
		s.Walk = rounded(rest/line-1, 4)
	}
	f.Steadiness = s
}

// onLine reports whether the line runs on from a beat of the grid: from its
// first note in that turn to before its last.
func (s *Settings) onLine(beat float64) bool {
	turns, turn := max(s.Line.Turns, 1), float64(s.Form.Beats)
	within := math.Mod(beat, turn)
	of := int(beat/turn)%turns + 1
	first, last := math.Inf(1), math.Inf(-1)
	for _, it := range s.Line.Items {
		if max(it.Position.Turn, 1) == of {
			at := math.Mod(it.Position.Offset(s.Form.Beats), turn)
			first, last = min(first, at), max(last, at)
		}
	}
	return within >= math.Floor(first) && within < math.Floor(last)
}
