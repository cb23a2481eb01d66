// Package grid knows where the beats are, in samples of the input stream.
package grid

// Grid maps beats to samples. Beat 0 is beat 1 of the first turn; beat 12 is
// beat 1 of the second turn of a twelve-beat form. Both directions increase
// strictly and are defined for every beat, those before the first sample too.
type Grid interface {
	// Sample is the input sample at which beat falls, to the nearest one; it
	// is negative for a beat before the stream began.
	Sample(beat float64) int64
	// Beat is the beat at which an input sample falls: the inverse of Sample
	// to within half a sample.
	Beat(sample int64) float64
}
