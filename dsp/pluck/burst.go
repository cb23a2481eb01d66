package pluck

import (
	"math"
	"math/rand/v2"
)

// bursts is how many noises can sound at once; a further one replaces the oldest.
const bursts = 16

// burst is a filtered noise with an exponential decay: the nail of a golpe, a
// clap, a click, the push of a pluck on the top.
type burst struct {
	live           bool
	started        int64
	state          uint64  // of its own noise
	amp, fade      float64 // noise part
	a1, a2, b      float64 // two-pole bandpass
	x1, x2, y1, y2 float64
	direct         float64 // share that is heard without the guitar
	force          float64 // share that pushes the bridge

	push, pushFade float64 // a push on the bridge that lets go exponentially
	rise, risen    float64 // its smoothing
}

// noise sets the burst's filtered noise: centre and bandwidth in Hz, time
// constant of the decay in seconds.
func (b *burst) noise(amp, centre, width, decay, rate float64) {
	centre = math.Min(centre, 0.4*rate)
	r := math.Exp(-math.Pi * width / rate)
	b.a1 = 2 * r * math.Cos(2*math.Pi*centre/rate)
	b.a2 = -r * r
	b.b = (1 - r*r) / 2
	// White noise through a band of that width loses power in proportion.
	b.amp = amp / math.Sqrt(b.b)
	b.fade = math.Exp(-1 / (decay * rate))
}

// shove sets the burst's push: its size, the time constant in seconds in which
// it lets go, and the cutoff in Hz that rounds its front.
func (b *burst) shove(size, decay, edge, rate float64) {
	b.push, b.pushFade = size, math.Exp(-1/(decay*rate))
	b.rise = 1 - math.Exp(-2*math.Pi*edge/rate)
}

// render adds to force and noise.
func (b *burst) render(force, noise []float64) {
	for i := range force {
		b.risen += b.rise * (b.push - b.risen)
		b.push *= b.pushFade
		force[i] += b.risen
		b.state ^= b.state << 13 // xorshift64 (Marsaglia, J. Stat. Software 8(14), 2003)
		b.state ^= b.state >> 7
		b.state ^= b.state << 17
		x := b.amp * (float64(int64(b.state)) * (1.0 / (1 << 63)))
		b.amp *= b.fade
		y := b.b*(x-b.x2) + b.a1*b.y1 + b.a2*b.y2
		b.x2, b.x1 = b.x1, x
		b.y2, b.y1 = b.y1, y
		force[i] += b.force * y
		noise[i] += b.direct * y
	}
}

// tidy ends a burst that has died away.
func (b *burst) tidy() {
	if b.push < 1e-7 && b.risen < 1e-7 && b.amp*math.Sqrt(b.b) < 1e-6 && math.Abs(b.y1)+math.Abs(b.y2) < 1e-6 {
		*b = burst{}
	}
}

// tap makes a golpe: the nail's click, at the guitar's level, and the blow on
// the top.
func (b *burst) tap(velocity, level, rate float64, rng *rand.Rand) {
	amp := 0.25 + 0.75*velocity
	b.noise(0.8*amp, 1200+1800*rng.Float64(), 2500, 0.002+0.004*rng.Float64(), rate)
	b.force, b.direct = 0.5, 0.6*level
	b.shove(2.5*amp, 0.001+0.002*rng.Float64(), 1500, rate)
}

// clap makes one clap of the hands.
func (b *burst) clap(velocity, rate float64, rng *rand.Rand) {
	b.noise(0.02+0.20*math.Pow(velocity, 1.5), 900+900*rng.Float64(), 700+800*rng.Float64(), 0.008+0.010*rng.Float64(), rate)
	b.direct = 1
}

func (b *burst) click(velocity, rate float64, rng *rand.Rand) {
	b.noise(0.02+0.25*math.Pow(velocity, 1.5), 500+3000*rng.Float64(), 5000, 0.0004+0.001*rng.Float64(), rate)
	b.direct = 1
}

func (b *burst) squeak(velocity, rate float64, rng *rand.Rand) {
	b.noise(0.02+0.08*velocity, 1500+2500*rng.Float64(), 150, 0.03+0.05*rng.Float64(), rate)
	b.force = 1
}
