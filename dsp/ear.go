package dsp

import (
	"fmt"
	"math"
)

// EarConfig says what an Ear listens to.
type EarConfig struct {
	Rate int     // samples a second of the input, 8000 to 192000
	A4   float64 // concert pitch in Hz, 415 to 466; 0 means 440
	// Lowest and Highest bound the bass strings, MIDI as sounding: the open
	// sixth string and the fourth fret of the fourth, cejilla included. Notes
	// above Highest are treble. Zero means 40 and 54.
	Lowest, Highest int
	Net             *Weights // nil means the built-in ones
	// Glance has the ear say at once, after 41 ms, what a note seems to be: for
	// a screen, not to be judged by.
	Glance  bool
	Without Part // what the ear must do without, to measure what it gives
}

// Ear names the bass notes of a stream. Every hop of 5.8 ms at which energy
// rose is a hypothesis that a note began there; the scorer says how likely
// each pitch is to have begun, or that none did. A peak over the hops is an
// onset. Feeding it in chunks of any size gives the same notes.
type Ear struct {
	rate      int
	cfg       EarConfig
	down      *resampler
	beside    *Chroma // hears the same; may be nil
	look      *looker
	scorer    *scorer
	gate      *gatekeeper
	nets      *networks
	ev        Evidence
	hops      int64         // hops followed
	recent    [8]hypothesis // by hop
	starts    [4]float64    // what the gate makes of the hops, by hop
	last      int64         // hop of the newest onset
	lastEvent float64       // its probability
	lastBegan float64       // that it was a note
	lastPitch int           // its likeliest
	pending   [16]doubt     // onsets that wait for a second look, in order: three hops apart, four at most
	waiting   int
	ids       int64
	notes     []Note
	fed       int64
}

type hypothesis struct {
	hop    int64
	note   Note    // Onset, Decided and ID not yet set
	late   float64 // onset after the hop, samples at earRate
	event  float64 // probability that a note or a strum began
	others int     // looks that it is the mean of, beside the first
}

type doubt struct {
	hop  int64
	note Note
	told bool // whether it has been announced
}

const (
	atGlance  = early/hop - 1 // hops until its window is heard
	firstLook = short/hop - 1
	farLook   = long/hop - 1 + flank
	flank     = 1 // hops either side of an onset that the second look is taken at too
	peakHops  = 2 // hops either side that an onset must top
	apart     = 7 // hops between onsets, 40 ms: fingers are not faster on the bass
	// A likelier onset may follow one closer than that, a note after a brush,
	// if it leaves this share of the doubt.
	outdo = 0.25
	// So may one of another pitch that is named so surely, and it is announced as
	// soon as it is so likely: two strings are two notes. Of 589 notes to which the
	// thumb came over other strings, 96.8 % were named with this, 95.9 % without.
	follows   = 14 // hops, 81 ms: longer ago the string was its own note
	otherSure = 0.9
	otherTold = 0.5
	announce  = 0.03 // low, for what was asked may yet speak for the note
	likely    = 0.85 // enough to be announced at the first look
	certain   = 0.97 // more than any answer needs: no second look
)

// NewEar allocates all that an Ear needs. It fails on a rate or a concert
// pitch out of range.
func NewEar(cfg EarConfig) (*Ear, error) {
	if cfg.Rate < 8000 || cfg.Rate > 192000 {
		return nil, fmt.Errorf("hear %d samples a second: the rate must lie between 8000 and 192000", cfg.Rate)
	}
	if cfg.A4 == 0 {
		cfg.A4 = 440
	}
	if !(cfg.A4 >= 415 && cfg.A4 <= 466) {
		return nil, fmt.Errorf("hear at a concert pitch of %g Hz: it must lie between 415 and 466", cfg.A4)
	}
	if cfg.Lowest == 0 {
		cfg.Lowest = 40
	}
	if cfg.Highest == 0 {
		cfg.Highest = 54
	}
	nets, err := builtInNetworks()
	if cfg.Net != nil {
		nets, err = newNetworks(cfg.Net), nil
	}
	if err != nil {
		return nil, err
	}
	down, err := newResampler(cfg.Rate, earRate)
	if err != nil {
		return nil, err
	}
	e := &Ear{rate: cfg.Rate, cfg: cfg, down: down, look: newLooker(cfg.A4), scorer: newScorer(nets), gate: newGatekeeper(), nets: nets,
		last: -1 << 40, notes: make([]Note, 0, 64)}
	for i := range e.recent {
		e.recent[i].hop = -1
	}
	return e, nil
}

// Beside has c, made for the same rate, hear what e hears, so that samples are
// brought down to the ear's rate once for both. From then on c.Write looks at no
// samples but gives the frames of what e heard since it was called last, and
// c.Flush, once e.Flush was called, the last ones.
func (e *Ear) Beside(c *Chroma) { e.beside, c.down, c.led = c, nil, true }

// Write hears the next samples, -1 to 1. The notes are valid until the next call.
func (e *Ear) Write(x []float32) []Note {
	e.notes = e.notes[:0]
	e.write(x)
	return e.notes
}

func (e *Ear) write(x []float32) {
	e.fed += int64(len(x))
	for len(x) > 0 {
		n := min(len(x), 4096)
		e.look.room(2 * 4096) // input rates are at least 8000 a second
		had := len(e.look.buf)
		e.look.buf = e.down.write(e.look.buf, x[:n])
		x = x[n:]
		if e.beside != nil {
			e.beside.take(e.look.buf[had:])
		}
		for e.look.end() >= e.hops*hop+hop {
			e.step()
		}
	}
}

// Flush hears the end of the stream as silence and returns what was pending.
// Nothing may be written after it.
func (e *Ear) Flush() []Note {
	e.notes = e.notes[:0]
	end := e.fed
	if e.beside != nil {
		e.beside.end = end
	}
	var quiet [512]float32
	for left := e.rate / 4; left > 0; left -= len(quiet) {
		e.write(quiet[:])
	}
	n := 0
	for _, v := range e.notes {
		if v.Onset < end {
			v.Decided = min(v.Decided, end)
			e.notes[n] = v
			n++
		}
	}
	e.notes = e.notes[:n]
	return e.notes
}

// step takes in one hop.
func (e *Ear) step() {
	h := e.hops
	e.hops++
	e.look.follow(h)
	if e.waiting > 0 && e.pending[0].hop <= h-farLook {
		e.settle()
	}
	if k := h - atGlance; e.cfg.Glance && k >= 0 && e.look.crests(k) {
		e.glance(k)
	}
	k := h - firstLook
	if k < 0 {
		return
	}
	hyp := &e.recent[k&7]
	hyp.hop, hyp.event = k, 0
	if e.open(k) {
		e.judge(hyp, first)
	}
	if p := k - peakHops; p >= 0 {
		e.peak(p)
	}
}

// open reports whether hop h is worth a look: rather than not the start of
// something there, and no less so than at the hops beside it.
func (e *Ear) open(h int64) bool {
	next := e.start(h + 1)
	before, p := e.starts[(h-1)&3], e.starts[h&3]
	e.starts[(h+1)&3] = next
	return p >= gateLeast && p >= gateBeside*max(before, next)
}

// start is the probability that something began at hop h, of which the
// envelope must have been heard up to the last of envAt after it.
func (e *Ear) start(h int64) float64 {
	if !e.look.rises(h) {
		return 0
	}
	if e.cfg.Without&Shape != 0 {
		return 1
	}
	e.look.shape(&e.ev, h, first)
	return e.gate.lets(e.nets, &e.ev)
}

// glance says what seems to have begun at hop h.
func (e *Ear) glance(h int64) {
	hyp := hypothesis{hop: h}
	e.judge(&hyp, glance)
	if n := hyp.note; n.Began >= announce {
		n.ID, n.Glance = -1, true
		n.Onset = e.input(float64(h*hop) + hyp.late)
		n.Decided = e.down.needs(h*hop + early)
		e.notes = append(e.notes, n)
	}
}

// peak takes hop p for an onset if none of its neighbours is likelier. One that
// is likely is announced at once; of the others the second look must think well
// too, and no better one may follow close: the window of an early hop holds the
// start of the note to come. What follows an onset closely must outdo it, or be
// another note.
func (e *Ear) peak(p int64) {
	c := &e.recent[p&7]
	other := e.other(p, &c.note)
	if c.event < announce || p-e.last < apart && !other && 1-c.event > outdo*(1-e.lastEvent) {
		return
	}
	for d := int64(1); d <= peakHops; d++ {
		before, after := &e.recent[(p-d)&7], &e.recent[(p+d)&7]
		if before.hop == p-d && before.event >= c.event || after.event > c.event {
			return
		}
	}
	n := 0
	for _, d := range e.pending[:e.waiting] {
		if d.told || p-d.hop >= apart || d.note.Began > c.note.Began {
			e.pending[n] = d
			n++
		}
	}
	e.waiting = n
	d := doubt{hop: p, note: c.note, told: c.event >= likely || other && c.note.Began >= otherTold}
	if d.told {
		d.note.ID = e.ids
		e.ids++
		e.last, e.lastEvent, e.lastBegan, e.lastPitch = p, c.event, c.note.Began, c.note.likeliest()
		d.note.Onset = e.input(float64(p*hop) + c.late)
		d.note.Decided = e.down.needs((p+peakHops)*hop + short)
		d.note.Last = !doubtful(&d.note)
		e.notes = append(e.notes, d.note)
	}
	if !d.note.Last {
		e.pending[e.waiting] = d
		e.waiting++
	}
}

// other reports whether n, at hop h, is another note than the last onset, close
// after it: the thumb came over a string on its way.
func (e *Ear) other(h int64, n *Note) bool {
	top := n.likeliest()
	return h > e.last && h-e.last < follows && top != e.lastPitch && n.Likelihood[top] >= otherSure
}

// mean makes h the mean of itself, as many looks as it is, and another at the same
// onset. What errs by where its window begins errs less.
func (h *hypothesis) mean(o *hypothesis) {
	h.others++
	k := 1 / (1 + float64(h.others))
	n, m := &h.note, &o.note
	began := n.Began + k*(m.Began-n.Began)
	for i := range n.Likelihood {
		both := (1-k)*n.Began*n.Likelihood[i] + k*m.Began*m.Likelihood[i]
		n.Likelihood[i] = both / max(began, math.SmallestNonzeroFloat32)
		n.Presence[i] += k * (m.Presence[i] - n.Presence[i])
	}
	n.Began = began
	n.Strum += k * (m.Strum - n.Strum)
	h.event = n.Began + (1-n.Began)*n.Strum
}

// doubtful reports whether a longer look is worth having.
func doubtful(n *Note) bool {
	return n.Began*n.Likelihood[n.likeliest()] < certain
}

// settle takes the second look at the oldest doubtful onset.
func (e *Ear) settle() {
	d := e.pending[0]
	copy(e.pending[:], e.pending[1:e.waiting])
	e.waiting--
	hyp := hypothesis{hop: d.hop}
	e.judge(&hyp, second)
	for k := int64(1); k <= flank; k++ {
		for _, hop := range [...]int64{d.hop - k, d.hop + k} {
			other := hypothesis{hop: hop}
			e.judge(&other, second)
			hyp.mean(&other)
		}
	}
	n := hyp.note
	n.ID, n.Onset, n.Last = d.note.ID, d.note.Onset, true
	if !d.told {
		if hyp.event < announce || d.hop-e.last < apart && hyp.note.Began <= e.lastBegan && !e.other(d.hop, &n) {
			return
		}
		n.ID = e.ids
		e.ids++
		e.last, e.lastEvent, e.lastBegan, e.lastPitch = max(e.last, d.hop), hyp.event, n.Began, n.likeliest()
		n.Onset = e.input(float64(d.hop*hop) + hyp.late)
	}
	n.Decided = e.down.needs((d.hop+flank)*hop + long)
	e.notes = append(e.notes, n)
}

// judge fills hyp with what the scorer makes of its moment.
func (e *Ear) judge(hyp *hypothesis, s span) {
	e.look.at(&e.ev, hyp.hop, s)
	e.cfg.Without.Strip(&e.ev)
	scored := e.scorer
	scored.score(e.nets, s, &e.ev, e.cfg.Lowest, e.cfg.Highest)
	n := &hyp.note
	*n = Note{}
	top := math.Inf(-1)
	for _, z := range scored.out[:1+Pitches] {
		top = max(top, float64(z))
	}
	none := math.Exp(float64(scored.out[0]) - top)
	sum := 0.0
	for i, z := range scored.out[1 : 1+Pitches] {
		p := math.Exp(float64(z) - top)
		n.Likelihood[i] = p
		sum += p
	}
	n.Began = sum / (sum + none)
	for i := range n.Likelihood {
		n.Likelihood[i] /= sum
	}
	n.Strum = 1 / (1 + math.Exp(-float64(scored.out[1+Pitches])))
	n.Presence = scored.present
	hyp.event = n.Began + (1-n.Began)*n.Strum
	hyp.late = min(max(float64(scored.out[2+Pitches]), -1), 1) * lateUnit
	n.Level = float64(e.ev.Level[1])*20 - 50
	for i, p := range n.Likelihood {
		if p > 0.02 {
			n.Cents[i] = e.look.cents(LowestMIDI + i)
		}
	}
}

// LateUnit is the unit in which the scorer tells an onset's place, seconds.
const LateUnit = float64(lateUnit) / earRate

const lateUnit = 2 * hop // samples at earRate

// input is the input sample that corresponds to a sample at the ear's rate.
func (e *Ear) input(t float64) int64 {
	return int64(math.Round(t * float64(e.rate) / earRate))
}

// Tuning is the guitar's offset from concert pitch in cents, -50 to 50, and
// whether enough was heard to rely on it.
func (e *Ear) Tuning() (cents float64, known bool) { return e.look.tune.offset() }

// Delay is the most input samples that may lie between an onset and the
// Decided of its last look.
func (e *Ear) Delay() int {
	return int(e.down.needs(flank*hop+long) + e.input(lateUnit))
}
