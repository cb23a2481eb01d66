package match

import "bordon/dsp"

// Lone judges notes one by one, without a grid: whoever asks says which item
// of the line is being waited for. It is for practice without a pulse.
type Lone struct {
	cfg   Config
	asks  []ask
	found int64   // onset that was answered already, by its ID
	last  int64   // onset that is being heard
	strum float64 // the most of its looks
	heard Heard
}

// NewLone returns a Lone. Of the configuration the grid, the turns and all
// that concerns time are not used; the error names what is wrong.
func NewLone(cfg Config) (*Lone, error) {
	if cfg.Grid == nil {
		cfg.Grid = noGrid{}
	}
	if err := cfg.validate(); err != nil {
		return nil, err
	}
	l := &Lone{cfg: cfg, found: -1, last: -1}
	for i := range cfg.Line.Items {
		l.asks = append(l.asks, newAsk(&cfg, &cfg.Line.Items[i]))
	}
	return l, nil
}

// noGrid is the grid of those who need none.
type noGrid struct{}

func (noGrid) Sample(float64) int64 { return 0 }
func (noGrid) Beat(int64) float64   { return 0 }

// Hear hears one look at an onset against an item, by its index. ok is false
// where no bass note began, where one more look may tell more, and for an
// onset that was answered before. The right note is told at its first look
// where that is clear. The verdict has no timing; its Time is the onset, and
// its Heard is valid until the next call.
func (l *Lone) Hear(n *dsp.Note, item int) (v Verdict, ok bool) {
	if n.ID == l.found {
		return v, false
	}
	if n.ID != l.last {
		l.last, l.strum = n.ID, 0
	}
	l.strum = max(l.strum, n.Strum)
	a := &l.asks[item]
	r := a.read(n, untimed, l.strum)
	// Strings struck together are nobody's answer but the landing's.
	if !r.isNote() || r.strum && r.word != Right || !n.Last && !r.clear() {
		return v, false
	}
	l.found = n.ID
	word := Unsure
	if r.sworn || r.fair && r.share >= sureNear.end {
		word = r.word
	}
	l.heard = heardNote(n, &sound{at: n.Onset, read: r})
	against := a.answer[r.pitch]
	v = Verdict{
		Turn: 1, Item: a.item, Time: n.Onset,
		Expected: a.item.Choices[against.choice], ExpectedMIDI: against.midi,
		Heard: &l.heard, Pitch: word, Decided: n.Decided,
	}
	if word == InScale || word == OutOfScale {
		v.Cause = causeOf(&l.cfg.Line, item, l.heard.MIDI-l.cfg.Cejilla, v.ExpectedMIDI-l.cfg.Cejilla, 0)
	}
	return v, true
}
