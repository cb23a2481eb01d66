package dsp

import "bordon/dsp/vector"

// The ear works at 11,025 samples a second: nothing of interest for pitch lies
// above 4 kHz.
const (
	earRate = 11025
	hop     = 64 // 5.8 ms
	pitFFT  = 2048
	lead    = 44       // 4 ms: a window for an onset begins that much before it
	early   = 7 * hop  // 41 ms after the onset, a glance
	short   = 14 * hop // 81 ms, the first look
	long    = 24 * hop // 139 ms, the second, which is the mean of three
	gridN   = 191
	fineN   = 24
	fineLen = 16 // samples, 1.45 ms
	lateFFT = 1024
	backs   = 6 // windows that end before the onset, two hops apart to 250 ms
)

// span is how far after the onset a look reaches.
type span int

const (
	glance span = iota
	first
	second
	spans
)

// How far that is, and where its later part begins.
var (
	reaches = [spans]int{early, short, long}
	laterAt = [spans]int{2 * hop, 5 * hop, 9 * hop}
)

// envAt are the hops of the envelope frames relative to the onset.
var envAt = [...]int{-24, -12, -6, -4, -3, -2, -1, 0, 1, 2, 4, 8, 12}

// Evidence is all that a look at one moment yields, the same for every pitch.
// Levels are in units of 20 dB round the middle of their range.
type Evidence struct {
	After  [gridN]float32 // log spectrum from the moment on
	Late   [gridN]float32 // of the later part of that: a string goes on, the shaken body does not
	Before [gridN]float32 // log spectrum up to it
	Rung   [gridN]float32 // the largest of the spectra of the quarter second before
	Lag    [lags]float32  // autocorrelation of the energy that is new
	Env    [len(envAt) * bands]float32
	Fine   [fineN]float32 // level round the moment in steps of 1.5 ms
	// Level of the look against the last two seconds, against full scale, and
	// of what rang before against the look.
	Level [3]float32
}

// EvidenceLen is the number of values in an Evidence.
const EvidenceLen = 4*gridN + lags + len(envAt)*bands + fineN + 3

// Parts are the values of ev, to be read or written in place.
func (ev *Evidence) Parts() [8][]float32 {
	return [8][]float32{ev.After[:], ev.Late[:], ev.Before[:], ev.Rung[:], ev.Lag[:], ev.Env[:], ev.Fine[:], ev.Level[:]}
}

// gridFreq is the frequency grid in Hz: 6 Hz apart, or a sixtieth of the
// frequency where that is more.
var gridFreq = func() (g [gridN]float64) {
	f := 60.0
	for i := range g {
		g[i] = f
		f += max(6, f/60)
	}
	return g
}()

// gridPos is the fractional place of f Hz on the grid; beyond its ends it is
// outside 0 to gridN-1.
func gridPos(f float64) float64 {
	if f < gridFreq[0] {
		return -1
	}
	for i := 1; i < gridN; i++ {
		if f <= gridFreq[i] {
			return float64(i-1) + (f-gridFreq[i-1])/(gridFreq[i]-gridFreq[i-1])
		}
	}
	return gridN
}

// logGrid writes a power spectrum's level in dB on the grid, which shift moves.
func logGrid(dst *[gridN]float32, pow []float64, shift float64) {
	scale := shift * float64(2*(len(pow)-1)) / earRate
	for i, f := range gridFreq {
		x := f * scale
		k := int(x)
		d := x - float64(k)
		p := pow[k]*(1-d) + pow[k+1]*d
		dst[i] = float32(decibels(p + 1e-13))
	}
}

// level writes src (dB) relative to ref to dst, in units of 20 dB, from 70 dB
// below it to 20 above.
func level(dst, src []float32, ref float32) {
	vector.Within(dst, src, ref, -70, 20, 30, 20)
}
