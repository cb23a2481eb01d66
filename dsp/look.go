package dsp

import "math"

// beforeStep is the distance in hops between the moments whose past is kept.
const beforeStep = 2

// past is what had been sounding up to one moment.
type past struct {
	at    int64 // in steps of beforeStep hops; -1 when empty
	pow   []float64
	grid  [gridN]float32 // dB, moved by shift
	shift float64
}

// looker gathers the Evidence for a moment from the samples round it.
type looker struct {
	a4        float64
	buf       []float32 // samples at earRate
	base      int64     // index of buf[0]
	spec      *spectrum
	lateSpec  *spectrum
	acf       *autocorrelation
	env       *envelope
	tune      *tuning
	win       [spans][]float64
	winLate   [spans][]float64
	winBefore []float64
	pasts     [64]past
	pow       []float64
	latePow   []float64
	db        [gridN]float32
	loud      [24]float32       // loudest frame of each of the last 24 stretches of loudHops
	fine      [fineRing]float32 // level of what changes from sample to sample, dB, by stretches of fineLen
}

const (
	loudHops = 16
	keep     = 6144 // samples behind the newest that are kept
	fineRing = 128  // stretches of fineLen kept, 32 hops
)

func newLooker(a4 float64) *looker {
	l := &looker{
		a4:        a4,
		buf:       make([]float32, keep, 4*keep),
		base:      -keep,
		spec:      newSpectrum(pitFFT),
		env:       newEnvelope(),
		tune:      newTuning(earRate, a4),
		winBefore: make([]float64, lead+short),
		pow:       make([]float64, pitFFT/2+1),
		lateSpec:  newSpectrum(lateFFT),
		latePow:   make([]float64, lateFFT/2+1),
	}
	for s, n := range reaches {
		l.win[s], l.winLate[s] = make([]float64, lead+n), make([]float64, n-laterAt[s])
		pluckWindow(l.win[s], lead)
		hann(l.winLate[s])
	}
	l.acf = newAutocorrelation(l.spec, earRate)
	for i, v := range l.win[first] {
		l.winBefore[len(l.winBefore)-1-i] = v
	}
	for i := range l.pasts {
		l.pasts[i] = past{at: -1, pow: make([]float64, pitFFT/2+1)}
	}
	for i := range l.loud {
		l.loud[i] = envFloor
	}
	for i := range l.fine {
		l.fine[i] = fineLevel(l.samples(-keep, fineLen+1))
	}
	return l
}

// end is the number of samples heard.
func (l *looker) end() int64 { return l.base + int64(len(l.buf)) }

// room makes place for n more samples without allocating.
func (l *looker) room(n int) {
	if len(l.buf)+n > cap(l.buf) {
		drop := len(l.buf) - keep
		l.buf = l.buf[:copy(l.buf, l.buf[drop:])]
		l.base += int64(drop)
	}
}

func (l *looker) samples(from int64, n int) []float32 {
	i := from - l.base
	return l.buf[i : i+int64(n)]
}

// follow brings the envelope and the tuning up to hop h, whose frame's
// samples have all been heard.
func (l *looker) follow(h int64) {
	l.env.hear(l.samples(h*hop-envFFT/2, envFFT))
	slot := &l.loud[h/loudHops%int64(len(l.loud))]
	if h%loudHops == 0 {
		*slot = envFloor
	}
	for _, v := range l.env.at(h) {
		*slot = max(*slot, v)
	}
	for at := h * hop; at < h*hop+hop; at += fineLen {
		l.fine[at/fineLen&(fineRing-1)] = fineLevel(l.samples(at-1, fineLen+1))
	}
	if end := h*hop + hop; end%tuningHop == 0 && end >= tuningFFT {
		l.tune.hear(l.samples(end-tuningFFT, tuningFFT))
	}
}

// shift is the factor by which the guitar is sharp of 440 Hz equal temperament.
func (l *looker) shift() float64 {
	s := l.a4 / 440
	if c, ok := l.tune.offset(); ok {
		s *= math.Exp2(c / 1200)
	}
	return s
}

// before is what had been sounding up to beforeStep*hop*at.
func (l *looker) before(at int64, shift float64) *past {
	if at < 0 {
		at = 0
	}
	p := &l.pasts[at%int64(len(l.pasts))]
	if p.at != at {
		p.at = at
		p.shift = 0
		l.spec.power(p.pow, l.samples(at*beforeStep*hop-int64(len(l.winBefore)), len(l.winBefore)), l.winBefore)
	}
	if p.shift != shift { // the tuning may be known better than at an earlier look
		p.shift = shift
		logGrid(&p.grid, p.pow, shift)
	}
	return p
}

// at fills ev with the evidence for a note that began at hop h. The samples
// up to where s reaches after it must have been heard.
func (l *looker) at(ev *Evidence, h int64, s span) {
	t0 := h * hop
	win, winLate, late := l.win[s], l.winLate[s], int64(laterAt[s])
	shift := l.shift()
	l.spec.power(l.pow, l.samples(t0-lead, len(win)), win)
	logGrid(&l.db, l.pow, shift)
	ref := float32(-100)
	for _, v := range l.db {
		if v > ref {
			ref = v
		}
	}
	level(ev.After[:], l.db[:], ref)
	l.lateSpec.power(l.latePow, l.samples(t0+late, len(winLate)), winLate)
	logGrid(&l.db, l.latePow, shift)
	level(ev.Late[:], l.db[:], ref)

	j := (t0 - lead) / (beforeStep * hop)
	p := l.before(j, shift)
	level(ev.Before[:], p.grid[:], ref)
	rung := p.grid
	prior := float32(-100)
	for _, v := range rung {
		if v > prior {
			prior = v
		}
	}
	for k := int64(1); k < backs; k++ {
		for i, v := range l.before(j-4*k, shift).grid {
			rung[i] = max(rung[i], v)
		}
	}
	level(ev.Rung[:], rung[:], ref)
	l.acf.of(ev.Lag[:], l.pow, p.pow, shift)

	l.shape(ev, h, s)

	loud := float32(-90)
	for _, v := range l.loud {
		loud = max(loud, v)
	}
	ev.Level = [3]float32{(ref - loud) / 20, (ref + 50) / 20, max(prior-ref, -70) / 20}
}

// shape fills in the envelope and the attack at hop h, the part of the evidence
// that costs little.
func (l *looker) shape(ev *Evidence, h int64, s span) {
	top := float32(-90)
	for i, d := range envAt {
		switch {
		case s == glance:
			d = min(d, early/hop-1)
		case s == second && i == len(envAt)-1:
			d = 22
		}
		f := l.env.at(h + int64(d))
		copy(ev.Env[i*bands:], f[:])
		if h+int64(d) < 0 {
			continue
		}
		for _, v := range f {
			top = max(top, v)
		}
	}
	level(ev.Env[:], ev.Env[:], top)

	best := float32(-100)
	for i := range ev.Fine {
		v := l.fine[(h*hop/fineLen+int64(i-fineN/2))&(fineRing-1)]
		ev.Fine[i] = v
		best = max(best, v)
	}
	level(ev.Fine[:], ev.Fine[:], best)
}

// fineLevel is the level in dB of the changes between neighbours in x.
func fineLevel(x []float32) float32 {
	sum := float32(1e-12)
	for k, v := range x[1:] {
		d := v - x[k]
		sum += d * d
	}
	return float32(decibels(float64(sum)))
}
