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
	for len(samples) > 0 {
		n := min(len(samples), m.size-m.filled)
		m.blocks[m.now].hear(samples[:n], &m.run)
		samples = samples[n:]
		if m.filled += n; m.filled == m.size {
			m.filled = 0
			m.now = (m.now + 1) % meterBlocks
			m.blocks[m.now] = block{}
		}
	}
}

// hear takes in samples, run of those before them being at full scale.
func (b *block) hear(samples []float32, run *int) {
	b.count += len(samples)
	// Without their signs, numbers are in the order of their bits.
	const sign = 1 << 31
	var top uint32
	// Two sums, so that no addition waits for the one before.
	var even, odd float64
	n := len(samples) &^ 1
	for i := 1; i < n; i += 2 {
		x, y := samples[i-1], samples[i]
		even += float64(x) * float64(x)
		odd += float64(y) * float64(y)
		top = max(top, math.Float32bits(x)&^sign, math.Float32bits(y)&^sign)
	}
	for _, x := range samples[n:] {
		even += float64(x) * float64(x)
		top = max(top, math.Float32bits(x)&^sign)
	}
	b.sum += even + odd
	peak := float64(math.Float32frombits(top))
	b.peak = max(b.peak, peak)
	if peak < fullScale {
		*run = 0
		return
	}
	for _, x := range samples {
		if math.Abs(float64(x)) < fullScale {
			*run = 0
		} else if *run++; *run >= clippedRun {
			b.clipped = true
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
