package dsp

import (
	"fmt"
	"math"

	"bordon/dsp/vector"
)

// What sounds, pitch by pitch and folded into the octave, after
//
//   - Fujishima, ICMC 1999: the spectrum folded into twelve pitch classes;
//   - Gómez, INFORMS Journal on Computing 18 (2006): from spectral peaks
//     alone, moved by the tuning;
//   - Müller & Ewert, ISMIR 2011: compression, so that loud partials do not
//     hide soft ones;
//   - Mauch & Dixon, ISMIR 2010: each peak against what surrounds it, and then
//     explained by notes with their harmonics, none of them negative, so that
//     the fifth partial of an E does not pass for a G sharp;
//   - Lee & Seung, NIPS 2000: the multiplicative rule that finds them.
const (
	chromaFFT = tuningFFT // 0.37 s at the ear's rate
	chromaHop = 512       // 46 ms

	chromaBands  = 62   // semitones of the spectrum that are looked at, from LowestPitch to 2350 Hz
	chromaLow    = 70   // Hz: below lies no string, and what a hand or a room makes
	besides      = 0.3  // of the frequency: what surrounds a peak reaches that far
	besidesLeast = 60   // Hz, at least so far
	rounds       = 24   // of the multiplicative rule; more change no chord
	fall         = 0.72 // from one harmonic of a note to the next, as compressed plucked strings have it
	compress     = 0.55 // the exponent of an amplitude
	whiten       = 0.1  // and of how far it stands out
	few          = 1.0  // what a note costs: few explain better than many
	standsOut    = 1.5  // how far a peak rises over the mean of what surrounds it

	harmonics = 10
)

// The pitches that a ChromaFrame tells apart, MIDI: D2, a sixth string let
// down, to E5, the twelfth fret of the first.
const (
	LowestPitch  = 38
	ChromaNotes  = 39
	HighestPitch = LowestPitch + ChromaNotes - 1
)

// above are the first harmonics of a note in semitones, rounded: the fifth
// lies 14 cents and the seventh 31 cents flat of that.
var above = [harmonics]int{0, 12, 19, 24, 28, 31, 34, 36, 38, 40}

// ChromaFrame is what sounds about one moment.
type ChromaFrame struct {
	At    int64                // input sample in the middle of what was looked at
	Notes [ChromaNotes]float64 // strength of each pitch from LowestPitch up, its amplitude compressed; not negative
	Level float64              // RMS in dB relative to full scale, at least -120
}

// Fold adds the strengths of the pitches from lowest to highest, MIDI, into
// the twelve pitch classes, C first.
func (f *ChromaFrame) Fold(lowest, highest int) (classes [12]float64) {
	for m := max(lowest, LowestPitch); m <= min(highest, HighestPitch); m++ {
		classes[m%12] += f.Notes[m-LowestPitch]
	}
	return classes
}

// Chroma follows what sounds in a stream, a frame every 46 ms. Feeding it in
// chunks of any size gives the same frames.
type Chroma struct {
	rate   int
	a4     float64
	tune   *tuning
	fixed  bool       // the offset was set, and is not sought
	cents  float64    // the guitar's offset
	down   *resampler // nil where an Ear leads
	led    bool
	end    int64     // input samples that the Ear heard, once it has flushed
	given  bool      // whether what is in out was given
	buf    []float32 // samples at earRate
	base   int64     // index of buf[0]
	frames int64     // so far
	spec   *spectrum
	win    []float64
	pow    []float64
	amp    []float64
	sum    []float64 // of amp, up to each bin
	bands  [chromaBands]float64
	out    []ChromaFrame
}

// NewChroma allocates all that a Chroma needs, for rate samples a second, 8000
// to 192000, and a concert pitch in Hz, 415 to 466; 0 means 440.
func NewChroma(rate int, a4 float64) (*Chroma, error) {
	if rate < 8000 || rate > 192000 {
		return nil, fmt.Errorf("follow the chords of %d samples a second: the rate must lie between 8000 and 192000", rate)
	}
	if a4 == 0 {
		a4 = 440
	}
	if !(a4 >= 415 && a4 <= 466) {
		return nil, fmt.Errorf("follow chords at a concert pitch of %g Hz: it must lie between 415 and 466", a4)
	}
	down, err := newResampler(rate, earRate)
	if err != nil {
		return nil, err
	}
	c := &Chroma{rate: rate, a4: a4, tune: newTuning(earRate, a4), down: down,
		buf: make([]float32, chromaFFT/2, 4*chromaFFT), base: -chromaFFT / 2,
		spec: newSpectrum(chromaFFT), win: make([]float64, chromaFFT), pow: make([]float64, chromaFFT/2+1),
		amp: make([]float64, chromaFFT/2+1), sum: make([]float64, chromaFFT/2+2),
		out: make([]ChromaFrame, 0, 64)}
	hann(c.win)
	return c, nil
}

// Tune sets how far the guitar lies from concert pitch, in cents, for the
// frames to come. Until then it is sought, as the ear seeks it.
func (c *Chroma) Tune(cents float64) { c.cents, c.fixed = cents, true }

// Tuning is the guitar's offset from concert pitch in cents and whether it is
// known.
func (c *Chroma) Tuning() (cents float64, known bool) {
	if c.fixed {
		return c.cents, true
	}
	return c.tune.offset()
}

// Write hears the next samples, -1 to 1. The frames are valid until the next
// call.
func (c *Chroma) Write(x []float32) []ChromaFrame {
	if c.led {
		return c.give()
	}
	c.out = c.out[:0]
	c.write(x)
	return c.out
}

// give gives the frames since it was called last.
func (c *Chroma) give() []ChromaFrame {
	if c.given {
		c.out = c.out[:0]
	}
	c.given = true
	return c.out
}

// Flush hears the end of the stream as silence and returns the frames whose
// middle lies in what was written. Nothing may be written after it.
func (c *Chroma) Flush() []ChromaFrame {
	end := c.end
	if c.led {
		c.give()
	} else {
		c.out = c.out[:0]
		end = c.down.base + int64(len(c.down.hist))
		var quiet [512]float32
		for left := c.rate / 4; left > 0; left -= len(quiet) {
			c.write(quiet[:])
		}
	}
	for i := range c.out {
		if c.out[i].At >= end {
			c.out = c.out[:i]
			break
		}
	}
	return c.out
}

func (c *Chroma) write(x []float32) {
	for len(x) > 0 {
		n := min(len(x), 4096)
		c.room()
		c.buf = c.down.write(c.buf, x[:n])
		x = x[n:]
		c.follow()
	}
}

// take hears samples at the ear's rate, at most what a chunk makes.
func (c *Chroma) take(x []float32) {
	if c.given {
		c.out, c.given = c.out[:0], false
	}
	c.room()
	c.buf = append(c.buf, x...)
	c.follow()
}

// room makes place for a chunk, which is at most twice as long at the ear's rate.
func (c *Chroma) room() {
	if len(c.buf)+2*4096 > cap(c.buf) {
		drop := c.frames*chromaHop - chromaFFT/2 - c.base
		c.buf = c.buf[:copy(c.buf, c.buf[drop:])]
		c.base += drop
	}
}

// follow looks at the moments of which all was heard.
func (c *Chroma) follow() {
	for c.base+int64(len(c.buf)) >= c.frames*chromaHop+chromaFFT/2 {
		c.frame()
	}
}

// frame looks at the next moment.
func (c *Chroma) frame() {
	at := c.frames * chromaHop
	c.frames++
	x := c.buf[at-chromaFFT/2-c.base:][:chromaFFT]
	c.out = append(c.out, ChromaFrame{At: int64(math.Round(float64(at) * float64(c.rate) / earRate)), Level: -120})
	f := &c.out[len(c.out)-1]
	energy := 0.0
	for i, w := range c.win {
		v := w * float64(x[i])
		energy += v * v
	}
	// The sum of the squares of a Hann window is 3/2 of its mean's square.
	if energy *= chromaFFT * 2.0 / 3; energy < 1e-9 { // -90 dB: silence has no pitch
		f.Level = 10 * math.Log10(max(energy, 1e-12))
		return
	}
	f.Level = 10 * math.Log10(energy)
	c.spec.power(c.pow, x, c.win)
	if !c.fixed && at%tuningHop == 0 {
		copy(c.tune.pow, c.pow)
		c.tune.vote()
		if cents, known := c.tune.offset(); known {
			c.cents = cents
		}
	}
	c.peaks()
	c.explain(&f.Notes)
}

// peaks fills the bands with the spectrum's peaks, each by how far it stands
// out of what surrounds it and then compressed: a tap raises all alike.
func (c *Chroma) peaks() {
	clear(c.bands[:])
	bin := float64(earRate) / chromaFFT
	from, to := int(chromaLow/bin), len(c.pow)*7/8
	loudest := 0.0
	for _, p := range c.pow[from:to] {
		if p > loudest {
			loudest = p
		}
	}
	least := 1e-3 * math.Sqrt(loudest)
	// What lies above the highest band is in none.
	concert := c.a4 * math.Exp2(c.cents/1200)
	to = min(to, 1+int(concert*math.Exp2((LowestPitch+chromaBands-69)/12.0)/bin))
	most := min(len(c.pow), to+reach(to)+1)
	vector.Roots(c.amp, c.pow[:most])
	sum := 0.0
	for i, a := range c.amp[:most] {
		sum += a
		c.sum[i+1] = sum
	}
	for i := from; i < to; i++ {
		a := c.amp[i]
		if a < least || a < c.amp[i-1] || a <= c.amp[i+1] {
			continue
		}
		lo, hi := max(0, i-reach(i)), min(len(c.amp), i+reach(i)+1)
		mean := (c.sum[hi] - c.sum[lo]) / float64(hi-lo)
		out := a/mean - standsOut
		if out <= 0 {
			continue
		}
		l0, l1, l2 := math.Log(c.amp[i-1]+1e-12), math.Log(a), math.Log(c.amp[i+1]+1e-12)
		d := 0.0
		if q := l0 - 2*l1 + l2; q < 0 {
			d = (l0 - l2) / (2 * q)
		}
		m := 69 + 12*math.Log2((float64(i)+d)*bin/concert)
		k := int(math.Round(m))
		if k < LowestPitch || k >= LowestPitch+chromaBands {
			continue
		}
		off := math.Abs(m - float64(k))
		// Compressed, a little whitened, and less the further it lies from the
		// scale.
		v := math.Exp(whiten*math.Log(out)+compress*l1) * math.Cos(math.Pi/2*off*1.4)
		c.bands[k-LowestPitch] = max(c.bands[k-LowestPitch], v)
	}
}

// reach is how many bins either side surround bin i.
func reach(i int) int {
	bin := float64(earRate) / chromaFFT
	return int(max(besidesLeast, besides*float64(i)*bin) / bin)
}

// explain finds the notes, none negative, whose harmonics come nearest to the
// bands.
func (c *Chroma) explain(notes *[ChromaNotes]float64) {
	total := 0.0
	for _, v := range c.bands {
		total += v
	}
	if total == 0 {
		return
	}
	// The notes, with room for the lowest and the highest harmonics beside them.
	// All are as long as multiples of four, which vector likes.
	var space [highestAbove - ChromaNotes + fourBands]float64
	const from = highestAbove - ChromaNotes
	sounding := space[from:][:ChromaNotes]
	for n := range sounding {
		sounding[n] = 1
	}
	// What the notes give to each band, what is there as a part of that, nothing
	// beyond the last band, and what each note has of it.
	var guess [fourBands]float64
	var part [highestAbove + fourNotes - ChromaNotes]float64
	var have [fourNotes]float64
	for range rounds {
		vector.Comb(guess[:], space[:], from, below[:], fallen[:], 1e-6)
		for b, v := range c.bands {
			part[b] = v / guess[b]
		}
		vector.Comb(have[:], part[:], 0, above[:], fallen[:], 0)
		for n, v := range giving {
			sounding[n] *= have[n] / v
		}
	}
	copy(notes[:], sounding)
}

// below are the harmonics' distances the other way.
var below = func() (b [harmonics]int) {
	for i, h := range above {
		b[i] = -h
	}
	return b
}()

const (
	fourBands = (chromaBands + 3) &^ 3
	fourNotes = (ChromaNotes + 3) &^ 3
)

// highestAbove is one more than the highest harmonic in semitones.
const highestAbove = ChromaNotes + 40

// fallen is what a note gives to each of its harmonics.
var fallen = func() (f [harmonics]float64) {
	f[0] = 1
	for i := range f[1:] {
		f[i+1] = f[i] * fall
	}
	return f
}()

// giving is what each note gives to the bands in all, and what it costs.
var giving = func() (g [ChromaNotes]float64) {
	for n := range g {
		g[n] = few
		for i, h := range above {
			if n+h < chromaBands {
				g[n] += fallen[i]
			}
		}
	}
	return g
}()
