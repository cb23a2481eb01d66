package listen

import "math"

const (
	meterBlocks = 30 // of 10 ms each
	quietest    = -120.0
	// A converter that clips stays at full scale; a recording made as loud as
	// it can be touches it for a sample (common practice, no source).
	clippedRun = 3
	fullScale  = 0.9999 // the largest 16-bit sample is 0.99997
)

// meter measures the level of the last 0.3 s in blocks of 10 ms.
type meter struct {
	size   int // samples of a block
	blocks [meterBlocks]block
	now    int // the block being filled
	filled int // samples in it
	run    int // samples at full scale, in a row
}

type block struct {
	sum     float64 // of squares
	count   int
	peak    float64
	clipped bool
}

func newMeter(rate int) meter { return meter{size: max(rate/100, 1)} }

func (m *meter) write(samples []float32) {
	for _, x := range samples {
		b := &m.blocks[m.now]
		a := math.Abs(float64(x))
		b.sum += a * a
		b.count++
		b.peak = max(b.peak, a)
		if a >= fullScale {
			m.run++
		} else {
			m.run = 0
		}
		if m.run >= clippedRun {
			b.clipped = true
		}
		if m.filled++; m.filled == m.size {
			m.filled = 0
			m.now = (m.now + 1) % meterBlocks
			m.blocks[m.now] = block{}
		}
	}
}

func (m *meter) level() (rms, peak float64, clipped bool) {
	var sum float64
	var count int
	for i := range m.blocks {
		b := &m.blocks[i]
		sum += b.sum
		count += b.count
		peak = max(peak, b.peak)
		clipped = clipped || b.clipped
	}
	return decibels(math.Sqrt(sum / float64(max(count, 1)))), decibels(peak), clipped
}

// decibels of an amplitude relative to full scale.
func decibels(a float64) float64 {
	if a <= 0 {
		return quietest
	}
	return max(20*math.Log10(a), quietest)
}
