package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"

	"bordon/fixtures/sampled"
)

// spoken is the folder of recorded voices in the material.
const spoken = "voices"

// talk is somebody who was recorded talking.
type talk struct {
	x    []float32
	rate int
}

// heard are the voices in the folder of material, none without a folder.
func heard(folder string) ([]talk, error) {
	if folder == "" {
		return nil, nil
	}
	files, err := filepath.Glob(filepath.Join(folder, spoken, "*.wav"))
	if err != nil {
		return nil, fmt.Errorf("read voices: %w", err)
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("read voices: %q holds no .wav files: %w", filepath.Join(folder, spoken), os.ErrNotExist)
	}
	var all []talk
	for _, f := range files {
		x, rate, err := sampled.ReadWAV(f)
		if err != nil {
			return nil, fmt.Errorf("read voice %q: %w", f, err)
		}
		all = append(all, talk{x, rate})
	}
	return all, nil
}

// people adds somebody who counts, talks or sings, db against the guitar.
func people(x []float32, rate int, db float64, voices []talk, rng *rand.Rand) {
	y := make([]float32, len(x))
	switch u := rng.Float64(); {
	case len(voices) > 0 && u < 0.45:
		talking(y, rate, voices[rng.IntN(len(voices))], rng)
	case u < 0.75:
		singing(y, rate, rng)
	default:
		syllables(y, rate, rng)
	}
	g := float32(math.Pow(10, db/20) * max(rms(x), 1e-3) / (rms(y) + 1e-9))
	for i := range x {
		x[i] += g * y[i]
	}
}

// talking plays stretches of a recorded voice, higher or lower than it was.
func talking(y []float32, rate int, t talk, rng *rand.Rand) {
	speed := float64(t.rate) / float64(rate) * math.Exp2(drawn(rng, -0.4, 0.4))
	for at := int(drawn(rng, 0, 0.5) * float64(rate)); at < len(y); {
		from := rng.IntN(max(1, len(t.x)-t.rate/2))
		n := int(drawn(rng, 0.3, 4) * float64(rate))
		for i := 0; i < n && at+i < len(y); i++ {
			p := float64(from) + float64(i)*speed
			k := int(p)
			if k+1 >= len(t.x) {
				break
			}
			d := float32(p - float64(k))
			rim := float32(min(1, float64(min(i, n-i))/(0.005*float64(rate))))
			y[at+i] += rim * (t.x[k]*(1-d) + t.x[k+1]*d)
		}
		at += n + int(drawn(rng, 0, 0.4)*float64(rate))
	}
}

// syllables are short vowels that glide, with gaps between them.
func syllables(y []float32, rate int, rng *rand.Rand) {
	base := drawn(rng, 85, 225)
	for t := rng.Float64(); t < float64(len(y))/float64(rate)-0.1; {
		dur := drawn(rng, 0.08, 0.28)
		f0 := base * math.Exp2(rng.NormFloat64()*0.12)
		glide := rng.NormFloat64() * 0.5
		v := vowel{edge: 0.12 * dur, fall: 0.2 * dur, breath: 0.02}
		v.draw(rng)
		loud := v.sound(y, rate, t, dur, func(u float64) float64 { return f0 * math.Exp2(glide*u/dur/4) })
		if rng.Float64() < 0.4 { // a stop before the vowel: d, t, k
			burst(y, rate, t-0.03*rng.Float64(), math.Exp(drawn(rng, math.Log(300), math.Log(4000))), 0.5+2*rng.Float64(), 0.002+0.012*rng.Float64(), 0.3*rng.Float64()*loud, rng)
		}
		t += dur + 0.4*rng.Float64()
	}
}

// singing is a tune in semitones: held notes, some tied to the last by a slide,
// some begun afresh from below.
func singing(y []float32, rate int, rng *rand.Rand) {
	base := drawn(rng, 75, 300)
	last := base
	depth, speed := drawn(rng, 0, 0.03), drawn(rng, 4.5, 7)
	edge, slide := drawn(rng, 0.01, 0.12), drawn(rng, 0.01, 0.1)
	for t := drawn(rng, 0, 1); t < float64(len(y))/float64(rate)-0.2; {
		dur := drawn(rng, 0.15, 1.3)
		f0 := base * math.Exp2(float64(rng.IntN(13)-5)/12)
		from := last
		tied := rng.Float64() < 0.5
		if !tied {
			from = f0 * math.Exp2(-drawn(rng, 0, 2)/12)
		}
		v := vowel{edge: edge, fall: 0.06, breath: drawn(rng, 0, 0.03)}
		v.draw(rng)
		v.sound(y, rate, t, dur, func(u float64) float64 {
			near := math.Exp(-u / slide)
			return f0 * math.Pow(from/f0, near) * math.Exp2(depth*min(1, u/0.3)*math.Sin(2*math.Pi*speed*u))
		})
		last = f0
		t += dur
		if !tied {
			t += drawn(rng, 0, 0.5)
		}
	}
}

// vowel is a train of pulses through formants beside each other.
type vowel struct {
	formants           [4]float64
	tilt               float64 // how steeply each pulse falls, the darker the less
	edge, fall, breath float64 // seconds, seconds, share
}

func (v *vowel) draw(rng *rand.Rand) {
	v.formants = [4]float64{drawn(rng, 260, 820), drawn(rng, 750, 2200), drawn(rng, 2200, 2900), drawn(rng, 3100, 3700)}
	v.tilt = math.Exp(drawn(rng, math.Log(4), math.Log(20)))
	v.breath *= rng.NormFloat64()
}

// sound adds dur seconds of it at t and returns its largest magnitude.
func (v *vowel) sound(y []float32, rate int, t, dur float64, pitch func(seconds float64) float64) (loud float64) {
	i0, n := int(t*float64(rate)), int(dur*float64(rate))
	part, noise := make([]float32, n), uint32(i0)*2654435761+1
	phase := 0.0
	for i := range part {
		u := float64(i) / float64(rate)
		phase += pitch(u) / float64(rate)
		phase -= math.Floor(phase)
		noise = noise*1664525 + 1013904223
		rim := min(1, u/v.edge) * min(1, (dur-u)/v.fall)
		part[i] = float32(rim * (math.Exp(-v.tilt*phase) - 1/v.tilt + v.breath*(float64(noise>>8)/(1<<23)-1)))
	}
	sum := make([]float32, n)
	for k, f := range v.formants {
		c := append([]float32(nil), part...)
		w := 2 * math.Pi * f / float64(rate)
		alpha := math.Sin(w) / 2 / 8
		biquad(c, alpha, 0, -alpha, 1+alpha, -2*math.Cos(w), 1-alpha)
		for i, s := range c {
			sum[i] += s / float32(k+1)
		}
	}
	for i, s := range sum {
		if i0+i < len(y) {
			y[i0+i] += s
		}
	}
	return top(sum)
}
