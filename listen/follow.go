package listen

import (
	"math"
	"slices"

	"bordon/listen/grid"
	"bordon/theory"
)

// Follower hears a player who has no pulse to go by, as it is played: it finds
// the compás in what was heard lately, follows it, and judges the beats that
// lie well behind, against the player's own pulse. What it says meanwhile is
// provisional: at the end Judge judges all of it at once. It is for one
// goroutine.
type Follower struct {
	free   *Free
	recent recent
	looked int64 // samples heard at the last look

	before []grid.Knot // the beats of the last look, where it was sure of them
	track  *track      // nil where the place in the compás is not known
	next   float64     // beat that begins the pass of the line that may come
	sought int64       // samples heard since when the place is looked for
	behind float64     // sample up to which all is judged that was found before
	told   map[told]bool
	extra  map[int64]bool // by onset
	said   []Event        // of what is being written
	out    []Event
}

const (
	// lookEvery is the time from one look to the next in seconds, and lookBack
	// how much sound a look sees: three turns or more at usual tempos.
	lookEvery = 1.0
	lookBack  = 30.0
	// Where the tempo is not known either a look takes several times as long:
	// after so many seconds in vain only every second one is taken.
	lookOften = 20.0
	// lagBeats are judged only once the next ones are known, too: the smoother
	// moves the last beats of a stretch, and the ear needs its time.
	lagBeats = 3
)

// NewFollower returns a Follower for samples at rate. Of the settings, what
// Find gives is used to look for the beats.
func NewFollower(set Settings, rate int) (*Follower, error) {
	given := grid.Options{}
	if set.Find != nil {
		given = *set.Find
	}
	set.Find = &given
	free, err := NewFree(set, given, rate)
	if err != nil {
		return nil, err
	}
	return &Follower{free: free, told: map[told]bool{}, extra: map[int64]bool{}}, nil
}

// Rate is in samples a second.
func (f *Follower) Rate() int { return f.free.rate }

// Heard is the number of samples so far, lost ones included.
func (f *Follower) Heard() int64 { return f.free.heard }

// Level and Tuning are as those of a Session.
func (f *Follower) Level() (rms, peak float64, clipped bool) { return f.free.meter.level() }
func (f *Follower) Tuning() (cents float64, known bool)      { return f.free.ear.Tuning() }

// Gaps are the places where samples were lost so far.
func (f *Follower) Gaps() []Gap { return slices.Clone(f.free.gaps) }

// Settings are those that it was made with.
func (f *Follower) Settings() Settings { return f.free.set }

// Write hears samples. What it says does not depend on how they are cut.
func (f *Follower) Write(samples []float32) []Event {
	f.out = f.out[:0]
	for len(samples) > 0 {
		n := int(min(int64(len(samples)), f.looked+f.every()-f.free.heard))
		f.free.Write(samples[:n])
		samples = samples[n:]
		if f.free.full {
			break
		}
		if f.free.heard >= f.looked+f.every() {
			f.looked = f.free.heard
			f.look()
		}
	}
	f.out = append(f.out, f.said...)
	f.said = f.said[:0]
	return f.out
}

// every is how many samples lie between two looks.
func (f *Follower) every() int64 { return int64(lookEvery * float64(f.free.rate)) }

// Lose tells of samples that were lost; silence is heard instead.
func (f *Follower) Lose(samples int64) []Event {
	at := f.free.heard
	if samples <= 0 || f.free.closed {
		return nil
	}
	f.free.gaps = append(f.free.gaps, Gap{At: at, Lost: samples})
	f.said = append(f.said, Event{Kind: GapFound, Gap: Gap{At: at, Lost: samples}})
	quiet := make([]float32, min(samples, 4096))
	var all []Event
	for samples > 0 {
		n := min(samples, int64(len(quiet)))
		samples -= n
		all = append(all, f.Write(quiet[:n])...)
	}
	return all
}

// Close ends the sound.
func (f *Follower) Close() []Event { return f.free.Close() }

// Judge judges all that was heard, as a recording of it is judged: the session
// that it returns has ended. The error says why no compás was found.
func (f *Follower) Judge() (*Session, error) { return f.free.Judge() }

// JudgeAny is that of Free.
func (f *Follower) JudgeAny() (*Session, error) { return f.free.JudgeAny() }

// Unjudged is an ended session of the same sound in which nothing is judged.
func (f *Follower) Unjudged() (*Session, error) { return f.free.Unjudged() }

// Place is where in the compás the player is, as far as that is known.
type Place struct {
	Turn  int     `json:"turn"` // from 1
	Beat  int     `json:"beat"` // of the form, from 1
	Tempo float64 `json:"tempo_bpm"`
}

// Now is the place that the player has reached, which is foretold from the
// beats that were heard; false where it is not known.
func (f *Follower) Now() (Place, bool) {
	if f.track == nil {
		return Place{}, false
	}
	return f.placeOf(f.track.ahead.Beat(f.free.heard)), true
}

func (f *Follower) placeOf(beat float64) Place {
	turn := f.free.set.Form.Beats
	at := int(math.Max(math.Floor(beat), 0))
	return Place{Turn: at/turn + 1, Beat: at%turn + 1, Tempo: round(f.track.tempo, 1)}
}

// look finds the beats in what was heard lately, and goes on from there.
func (f *Follower) look() {
	often := int64(lookOften * float64(f.free.rate))
	if f.track == nil && f.free.heard > f.sought+often && f.free.heard/f.every()%2 == 1 {
		return
	}
	e := f.recent.see(f.free)
	o := f.free.given
	if f.track != nil {
		o.Tempo = min(max(f.track.tempo, grid.MinTempo), grid.MaxTempo)
	}
	if o.FirstKnown {
		o.FirstBeat -= float64(f.recent.from) / float64(f.free.rate)
	}
	a, err := grid.Align(e, f.free.plan, o)
	if err != nil { // of what is given, which NewFollower has checked
		return
	}
	beats, sure := f.lately(a)
	if f.track != nil && sure && agree(f.track.knots, beats, f.free.plan.Beats()) {
		f.track.seen = f.free.heard
		f.track.extend(beats, f.free.plan.Beats())
	} else {
		again := sure && agree(f.before, beats, f.free.plan.Beats())
		if f.track != nil && (again || f.free.heard-f.track.seen > f.patience()) {
			f.lose()
		}
		if f.track == nil && again {
			f.find(beats)
		}
	}
	f.before = nil
	if sure {
		f.before = beats
	}
	if f.track != nil {
		f.judge()
	}
}

// leastLocked is how much of a turn must have been heard for it to be found.
const leastLocked = 0.75

// lately are the beats of the last stretch, by samples of the whole sound,
// where it is told surely and still goes on.
func (f *Follower) lately(a *grid.Alignment) (beats []grid.Knot, sure bool) {
	if len(a.Segments) == 0 {
		return nil, false
	}
	seg := &a.Segments[len(a.Segments)-1]
	for _, b := range seg.Beats {
		// Counted in the pass: the alignment numbers on through its stretches
		// in whole passes.
		beats = append(beats, grid.Knot{Beat: b.Beat, Sample: b.Sample + float64(f.recent.from)})
	}
	n := len(beats)
	last := beats[n-1].Sample
	unit := 60 / seg.Tempo * float64(f.free.rate)
	long := float64(f.free.set.Form.TurnUnits()) / float64(f.free.set.Form.Beats)
	goesOn := float64(f.free.heard)-last < lagBeats*unit*long+float64(f.free.ear.Delay())
	return beats, goesOn && seg.Confidence >= grid.Sure && float64(n) >= leastLocked*float64(f.free.set.Form.Beats)
}

// patience is how long the place is kept while the beats are not heard: a turn.
func (f *Follower) patience() int64 {
	return int64(float64(f.free.set.Form.TurnUnits()) * 60 / f.track.tempo * float64(f.free.rate))
}

// lose gives the place up.
func (f *Follower) lose() {
	pass := float64(f.free.plan.Beats())
	last := f.track.last()
	f.next, f.behind = (math.Floor(last.Beat/pass)+1)*pass, last.Sample
	f.track, f.sought = nil, f.free.heard
	f.said = append(f.said, Event{Kind: PlaceLost, At: f.free.heard})
}

// find takes the place from a stretch that two looks saw. What was judged
// before the place was lost is not judged again.
func (f *Follower) find(beats []grid.Knot) {
	for len(beats) > 0 && beats[0].Sample <= f.behind {
		beats = beats[1:]
	}
	if len(beats) < lagBeats+2 {
		return
	}
	first := f.next + math.Mod(beats[0].Beat, float64(f.free.plan.Beats()))
	lead := first - beats[0].Beat
	moved := make([]grid.Knot, len(beats))
	for i, b := range beats {
		moved[i] = grid.Knot{Beat: b.Beat + lead, Sample: b.Sample}
	}
	f.track = &track{form: f.free.set.Form, rate: f.free.rate, seen: f.free.heard}
	f.track.begin(moved)
	place, _ := f.Now()
	f.said = append(f.said, Event{Kind: PlaceFound, At: f.free.heard, Place: place})
}

// told is a note that was judged.
type told struct {
	turn     int
	position theory.Position
}

// judge replays the notes of the last turns along the beats, and says of those
// that are certain what was not said before.
func (f *Follower) judge() {
	t, set := f.track, f.free.set
	pass := float64(f.free.plan.Beats())
	settled := t.last().Beat - 1
	base := math.Floor(max(settled-1.5*pass, t.first)/pass) * pass
	g, err := grid.NewFollowed(t.from(base), 0)
	if err != nil {
		return
	}
	set.Followed = g
	set.Tempo, set.FirstBeat = min(max(t.tempo, grid.MinTempo), grid.MaxTempo), 0
	s, err := newSession(set, f.free.rate, &replayed{f.free})
	if err != nil {
		return
	}
	for _, gap := range f.free.gaps {
		s.match.Lose(gap.At, gap.At+gap.Lost)
	}
	from, notes := g.Sample(-1), f.free.notes
	begin := len(notes)
	for begin > 0 && notes[begin-1].Onset >= from-int64(f.free.rate) {
		begin--
	}
	for i := begin; i < len(notes); i++ {
		s.keep(s.match.Note(&notes[i]))
	}
	s.keep(s.match.Advance(f.free.heard))
	turns := int(base) / set.Form.Beats
	in := func(sample int64) bool {
		at := base + g.Beat(sample)
		return at >= t.first-sameBeat && at <= settled
	}
	for _, v := range s.Verdicts() {
		v.Turn += turns
		key := told{v.Turn, v.Item.Position}
		if in(v.Time) && !f.told[key] {
			f.told[key] = true
			f.said = append(f.said, Event{Kind: Provisional, Verdict: v})
		}
	}
	for _, x := range s.Extras() {
		x.Turn += turns
		if in(x.Heard.Onset) && x.Turn >= 1 && !f.extra[x.Heard.Onset] {
			f.extra[x.Heard.Onset] = true
			f.said = append(f.said, Event{Kind: ExtraNote, Extra: x})
		}
	}
}
