package report

import (
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"math"

	"bordon/dsp/pluck"
	"bordon/listen/take"
	"bordon/theory"
)

// The bounds of the sound in a report.
const (
	leastRate   = 16000 // samples a second that are left of more
	mostSeconds = 150   // of recording: some 6 MB of text
	before      = 0.15  // seconds that a note is played from before its onset
	long        = 1.1   // seconds that a note is played
	askedLong   = 1.0   // seconds that what was asked sounds
)

// sound is what the script plays.
type sound struct {
	Clips map[string]string `json:"clips"` // WAV files in base 64, by name
}

// stretch of a turn in the recording, in seconds.
type stretch struct {
	turn     int
	from, to float64
	wrong    bool // the turn has a mistake
}

// cut puts the stretches of the turns into a sound, those with a mistake first,
// as many as there is room for. left tells how many did not fit.
func cut(s *take.Stored, all []stretch) (clips map[int]stretch, snd sound, left int, err error) {
	clips, snd = map[int]stretch{}, sound{Clips: map[string]string{}}
	room := float64(mostSeconds)
	for _, wrong := range []bool{true, false} {
		for _, x := range all {
			if x.wrong != wrong {
				continue
			}
			if room -= x.to - x.from; room < 0 {
				left++
				continue
			}
			clips[x.turn] = x
		}
	}
	rate := s.Take.Settings.Rate
	for _, x := range all {
		if _, ok := clips[x.turn]; !ok {
			continue
		}
		samples, err := s.Samples(int64(x.from*float64(rate)), int64(x.to*float64(rate)))
		if err != nil {
			return nil, snd, 0, err
		}
		y, by := decimate(samples, rate)
		snd.Clips[turnName(x.turn)] = wav(y, rate/by)
	}
	return clips, snd, left, nil
}

func turnName(turn int) string { return fmt.Sprintf("turn %d", turn) }

// asked synthesises a bass note, MIDI as it sounds, and names its clip; "" for
// one that no string has.
func (snd *sound) asked(midi, cejilla int, cents float64) (string, error) {
	name := fmt.Sprintf("asked %d", midi)
	if _, ok := snd.Clips[name]; ok {
		return name, nil
	}
	p, ok := theory.Standard.Place(midi - cejilla)
	if !ok || p.Fret+cejilla > pluck.MaxFret {
		return "", nil
	}
	events := []pluck.Event{
		{At: 0.02, Kind: pluck.Pluck, String: p.String, Fret: p.Fret + cejilla, Velocity: 0.7, Apoyado: true},
		{At: askedLong - 0.15, Kind: pluck.Damp},
	}
	x, err := pluck.Render(pluck.Classic(), leastRate, 1, math.Max(math.Min(cents, 100), -100), events, askedLong)
	if err != nil {
		return "", err
	}
	snd.Clips[name] = wav(x, leastRate)
	return name, nil
}

// decimate keeps every by-th sample, so that at least leastRate are left of
// those in a second, after a low pass: a sinc under a Hann window, 32 taps for
// each sample left.
func decimate(x []float32, rate int) (y []float32, by int) {
	if by = rate / leastRate; by <= 1 {
		return x, 1
	}
	half := 16 * by
	taps := make([]float64, 2*half+1)
	sum := 0.0
	for i := range taps {
		t := float64(i - half)
		h := 0.9 / float64(by)
		v := h
		if t != 0 {
			v = math.Sin(math.Pi*h*t) / (math.Pi * t)
		}
		taps[i] = v * (0.5 + 0.5*math.Cos(math.Pi*t/float64(half+1)))
		sum += taps[i]
	}
	y = make([]float32, (len(x)+by-1)/by)
	for i := range y {
		acc := 0.0
		for j, h := range taps {
			if k := i*by + j - half; k >= 0 && k < len(x) {
				acc += h * float64(x[k])
			}
		}
		y[i] = float32(acc / sum)
	}
	return y, by
}

// wav is a mono 16-bit WAV file in base 64.
func wav(x []float32, rate int) string {
	le := binary.LittleEndian
	b := make([]byte, 44, 44+2*len(x))
	copy(b, "RIFF")
	le.PutUint32(b[4:], uint32(36+2*len(x)))
	copy(b[8:], "WAVEfmt ")
	le.PutUint32(b[16:], 16)
	le.PutUint16(b[20:], 1)
	le.PutUint16(b[22:], 1)
	le.PutUint32(b[24:], uint32(rate))
	le.PutUint32(b[28:], uint32(2*rate))
	le.PutUint16(b[32:], 2)
	le.PutUint16(b[34:], 16)
	copy(b[36:], "data")
	le.PutUint32(b[40:], uint32(2*len(x)))
	for _, v := range x {
		v = max(min(v, 1), -1)
		b = le.AppendUint16(b, uint16(int16(math.Round(float64(v)*32767))))
	}
	return base64.StdEncoding.EncodeToString(b)
}
