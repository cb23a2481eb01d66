package pulse

import (
	"fmt"
	"slices"
	"time"
)

// MinTaps is how many taps make a tempo.
const MinTaps = 4

// Tempo is the tempo of taps in beats a minute, from when they came, in order:
// the median of the last eight intervals, so that one that slipped does not
// count. A pause of more than two and a half times the one before begins anew.
// The error says what is missing.
func Tempo(taps []time.Duration) (float64, error) {
	var gaps []float64
	for i := 1; i < len(taps); i++ {
		gap := (taps[i] - taps[i-1]).Seconds()
		if n := len(gaps); n > 0 && gap > 2.5*gaps[n-1] {
			gaps = gaps[:0]
			continue
		}
		gaps = append(gaps, gap)
	}
	if len(gaps) < MinTaps-1 {
		return 0, fmt.Errorf("%d taps do not make a tempo; tap %d times or more, evenly", min(len(gaps)+1, len(taps)), MinTaps)
	}
	gaps = gaps[max(0, len(gaps)-8):]
	slices.Sort(gaps)
	median := (gaps[(len(gaps)-1)/2] + gaps[len(gaps)/2]) / 2
	bpm := 60 / max(median, 1e-3)
	if bpm < MinTempo || bpm > MaxTempo {
		return 0, fmt.Errorf("a tempo of %.0f beats a minute was tapped; it must be %g to %g", bpm, MinTempo, MaxTempo)
	}
	return bpm, nil
}
