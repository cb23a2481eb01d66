package theory

import "strings"

// Chord is a spelled chord, root first.
type Chord struct{ Tones []Name }

// Contains reports whether midi is a tone of the chord, in any octave.
func (c Chord) Contains(midi int) bool {
	for _, t := range c.Tones {
		if t.PitchClass() == mod(midi, 12) {
			return true
		}
	}
	return false
}

// qualities are the suffixes of chords by the semitones of their tones above
// the root.
var qualities = map[[3]int]string{
	{4, 7, -1}: "",
	{3, 7, -1}: "m",
	{3, 6, -1}: "dim",
	{4, 8, -1}: "aug",
	{4, 7, 10}: "7",
	{4, 7, 11}: "maj7",
	{3, 7, 10}: "m7",
	{3, 7, 11}: "mMaj7",
	{3, 6, 10}: "m7b5",
	{3, 6, 9}:  "dim7",
	{4, 8, 10}: "7#5",
	{4, 8, 11}: "maj7#5",
}

// String is the chord's symbol: "G", "D7", "F#m7b5". A chord that has none is
// written by its tones: "D-G-A".
func (c Chord) String() string {
	if n := len(c.Tones); n == 3 || n == 4 {
		above := [3]int{-1, -1, -1}
		for i, t := range c.Tones[1:] {
			above[i] = mod(t.PitchClass()-c.Tones[0].PitchClass(), 12)
		}
		if q, ok := qualities[above]; ok {
			return c.Tones[0].String() + q
		}
	}
	tones := make([]string, len(c.Tones))
	for i, t := range c.Tones {
		tones[i] = t.String()
	}
	return strings.Join(tones, "-")
}

// Chord is the chord on a degree of the key, 1 to 7: the triad of the key's
// scale, with its seventh where asked. As they are played, a minor key's
// dominant takes the leading note (E7 in Am) and the tonic of a Phrygian key
// is major (A por medio).
func (k Key) Chord(number int, seventh bool) Chord {
	tones := make([]Name, 3, 4)
	for i := range tones {
		tones[i] = k.name(number+2*i, 0)
	}
	if k.Mode == Minor && mod(number, 7) == 5 || k.Mode == Phrygian && mod(number, 7) == 1 {
		tones[1] = k.name(number+2, 1)
	}
	if seventh {
		tones = append(tones, k.name(number+6, 0))
	}
	return Chord{tones}
}
