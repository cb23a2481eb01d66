package theory

import "slices"

// Mode of a key.
type Mode int

// The modes.
const (
	Major    Mode = iota
	Minor         // both sixths and both sevenths are of the scale
	Phrygian      // the flamenco Phrygian: both thirds are of the scale
)

// String is the mode's word: "major", "minor", "phrygian".
func (m Mode) String() string { return modes[m.index()].word }

// index keeps a Mode that is none of the three from reaching past a table.
func (m Mode) index() Mode {
	if m < Major || m > Phrygian {
		return Major
	}
	return m
}

// degree is a scale degree 1 to 7, raised (1) or lowered (-1) or as the scale
// has it, with the way it is written.
type degree struct {
	number, alter int
	text          string
}

// modes says what each mode is made of. Tables are by the semitones above the
// tonic.
var modes = [3]struct {
	word      string
	suffix    string // of a key as the contract writes it
	fifths    int    // where its tonic lies on the line of fifths when the signature is empty
	steps     [7]int // degrees of the scale
	contains  uint16 // bit i: i semitones above the tonic is of the scale
	chromatic [12]degree
}{
	Major: {
		word: "major", suffix: "", fifths: 0,
		steps:    [7]int{0, 2, 4, 5, 7, 9, 11},
		contains: 1<<0 | 1<<2 | 1<<4 | 1<<5 | 1<<7 | 1<<9 | 1<<11,
		chromatic: [12]degree{{1, 0, "1"}, {2, -1, "b2"}, {2, 0, "2"}, {3, -1, "b3"}, {3, 0, "3"}, {4, 0, "4"},
			{4, 1, "#4"}, {5, 0, "5"}, {6, -1, "b6"}, {6, 0, "6"}, {7, -1, "b7"}, {7, 0, "7"}},
	},
	Minor: {
		word: "minor", suffix: "m", fifths: 3,
		steps:    [7]int{0, 2, 3, 5, 7, 8, 10},
		contains: 1<<0 | 1<<2 | 1<<3 | 1<<5 | 1<<7 | 1<<8 | 1<<9 | 1<<10 | 1<<11,
		chromatic: [12]degree{{1, 0, "1"}, {2, -1, "b2"}, {2, 0, "2"}, {3, 0, "3"}, {3, 1, "#3"}, {4, 0, "4"},
			{4, 1, "#4"}, {5, 0, "5"}, {6, 0, "6"}, {6, 1, "#6"}, {7, 0, "7"}, {7, 1, "#7"}},
	},
	// The fifth is lowered, not the fourth raised: the note comes as the
	// seventh over the sixth degree's chord, Eb in F7 por medio (common
	// practice, no source).
	Phrygian: {
		word: "phrygian", suffix: "-phrygian", fifths: 4,
		steps:    [7]int{0, 1, 3, 5, 7, 8, 10},
		contains: 1<<0 | 1<<1 | 1<<3 | 1<<4 | 1<<5 | 1<<7 | 1<<8 | 1<<10,
		chromatic: [12]degree{{1, 0, "1"}, {2, 0, "2"}, {2, 1, "#2"}, {3, 0, "3"}, {3, 1, "#3"}, {4, 0, "4"},
			{5, -1, "b5"}, {5, 0, "5"}, {6, 0, "6"}, {6, 1, "#6"}, {7, 0, "7"}, {7, 1, "#7"}},
	},
}

// Key is a tonic and a mode. The zero Key is none; ParseKey makes keys.
type Key struct {
	Tonic Name
	Mode  Mode
}

// String writes the key as the contract does: "Bb" (major), "F#m", "E-phrygian".
func (k Key) String() string { return k.Tonic.String() + modes[k.Mode.index()].suffix }

// maxSignature is how many sharps or flats a signature holds.
const maxSignature = 7

// Signature is the number of sharps (positive) or flats (negative) of the
// key's signature: 2 for D, -2 for Bb, 0 for E-phrygian.
func (k Key) Signature() int {
	// The line of fifths: F C G D A E B is -1 to 5, and a sharp is seven on.
	return (letterIndex(k.Tonic.Letter)*2+1)%7 - 1 + 7*k.Tonic.Alter - modes[k.Mode.index()].fifths
}

// valid reports whether the key is one that ParseKey would return.
func (k Key) valid() bool {
	return k.Tonic.Letter >= 'A' && k.Tonic.Letter <= 'G' && k.Mode == k.Mode.index() &&
		k.Signature() >= -maxSignature && k.Signature() <= maxSignature
}

// name spells a degree of the key, 1 to 7, altered by semitones.
func (k Key) name(number, alter int) Name {
	i := mod(number-1, 7)
	letter := mod(letterIndex(k.Tonic.Letter)+i, 7)
	above := k.Tonic.PitchClass() + modes[k.Mode.index()].steps[i] + alter - naturals[letter]
	return Name{letters[letter], mod(above+6, 12) - 6}
}

// Scale is the key's scale from its tonic up: the major scale, the natural
// minor, or the Phrygian with its minor third.
func (k Key) Scale() [7]Name {
	var s [7]Name
	for i := range s {
		s[i] = k.name(i+1, 0)
	}
	return s
}

// interval is how many semitones midi lies above the nearest tonic under it.
func (k Key) interval(midi int) int { return mod(midi-k.Tonic.PitchClass(), 12) }

// Contains reports whether midi is of the key's scale, in any octave. A minor
// key has both sixths and both sevenths, a Phrygian one both thirds.
func (k Key) Contains(midi int) bool {
	return modes[k.Mode.index()].contains>>k.interval(midi)&1 == 1
}

// Degree names midi by the key's own scale: "3" is the third degree whatever
// its size, "b3" a semitone under it, "#4" one above the fourth. A minor key's
// leading note is "#7", a Phrygian one's major third "#3".
func (k Key) Degree(midi int) string {
	return modes[k.Mode.index()].chromatic[k.interval(midi)].text
}

// Spell writes midi as the key does. Notes that the key contains are spelled
// by their degree, so G#m has F##; others by the degree that Degree names, or
// more simply where that would take a double accidental.
func (k Key) Spell(midi int) Note {
	d := modes[k.Mode.index()].chromatic[k.interval(midi)]
	n := k.name(d.number, d.alter)
	if (n.Alter < -1 || n.Alter > 1) && !k.Contains(midi) {
		if i := slices.Index(naturals[:], mod(midi, 12)); i >= 0 {
			n = Name{letters[i], 0}
		}
	}
	return n.at(midi)
}

// Transpose is the key that sounds semitones higher (lower where negative),
// such as the one that a cejilla makes. Of the possible spellings it takes the
// one with the fewest sharps or flats; six of each tie, and then a key with
// sharps goes to sharps (F#), any other to flats (Gb). Whole octaves change
// nothing.
func (k Key) Transpose(semitones int) Key {
	if semitones%12 == 0 {
		return k
	}
	return simplest(k.Tonic.PitchClass()+semitones%12, k.Mode, k.Signature() > 0)
}

// simplest is the key on a pitch class with the fewest sharps or flats.
func simplest(pitchClass int, mode Mode, sharps bool) Key {
	best, least := Key{}, 2*maxSignature
	for i := range letters {
		for alter := -1; alter <= 1; alter++ {
			k := Key{Name{letters[i], alter}, mode}
			if k.Tonic.PitchClass() != mod(pitchClass, 12) {
				continue
			}
			sig := k.Signature()
			if n := max(sig, -sig); n < least || n == least && (sig > 0) == sharps {
				best, least = k, n
			}
		}
	}
	return best
}
