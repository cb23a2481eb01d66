package theory

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Name is a spelled pitch class: a letter and its accidental.
type Name struct {
	Letter byte // 'A' to 'G'
	Alter  int  // semitones, -2 (double flat) to 2 (double sharp)
}

// Note is a spelled note in scientific pitch notation: C4 is middle C, A4 is
// MIDI 69. The octave belongs to the letter, so Cb4 sounds as B3 does.
type Note struct {
	Name
	Octave int
}

// letters in the order of the octave, and the semitones of each above C.
const letters = "CDEFGAB"

var naturals = [7]int{0, 2, 4, 5, 7, 9, 11}

// letterIndex is the place of a letter in letters.
func letterIndex(letter byte) int { return mod(int(letter)-'C', 7) }

// mod is the remainder of a by n that is never negative.
func mod(a, n int) int {
	if a %= n; a < 0 {
		a += n
	}
	return a
}

// semitone is the name's distance above the C of its octave: -2 (Cbb) to 13 (B##).
func (n Name) semitone() int { return naturals[letterIndex(n.Letter)] + n.Alter }

// PitchClass is the name's place among the twelve, 0 (C) to 11 (B).
func (n Name) PitchClass() int { return mod(n.semitone(), 12) }

// String writes the name in ASCII: "Bb", "F#", "F##".
func (n Name) String() string {
	sign := "#"
	if n.Alter < 0 {
		sign = "b"
	}
	return string(rune(n.Letter)) + strings.Repeat(sign, min(max(n.Alter, -n.Alter), 2))
}

// at is the note of this name whose MIDI number is midi, which must be of the
// name's pitch class.
func (n Name) at(midi int) Note {
	return Note{n, (midi-n.semitone())/12 - 1}
}

// MIDI is the note's number in MIDI 1.0: C4 is 60, A4 is 69.
func (n Note) MIDI() int { return 12*(n.Octave+1) + n.semitone() }

// String writes the note in ASCII: "Bb2".
func (n Note) String() string { return n.Name.String() + strconv.Itoa(n.Octave) }

// ParseName reads a note name without an octave: a capital letter A to G and
// up to two accidentals, in ASCII ("Bb", "F#") or with the signs ♭ and ♯.
func ParseName(s string) (Name, error) {
	n, rest, err := cutName(s)
	if err == nil && rest != "" {
		err = fmt.Errorf("%s follows %v; a name is a letter and its accidental, such as Bb or F#", quote(rest), n)
	}
	if err != nil {
		return Name{}, fmt.Errorf("note name %s: %w", quote(s), err)
	}
	return n, nil
}

// ParseNote reads a note in scientific pitch notation, such as "Bb2", "F♯3" or
// "C-1". It must be one that MIDI can number, 0 to 127.
func ParseNote(s string) (Note, error) {
	note, err := parseNote(s)
	if err != nil {
		return Note{}, fmt.Errorf("note %s: %w", quote(s), err)
	}
	return note, nil
}

func parseNote(s string) (Note, error) {
	note, err := spelledNote(s)
	if err != nil {
		return Note{}, err
	}
	if m := note.MIDI(); m < 0 || m > 127 {
		return Note{}, errors.New("MIDI numbers the notes from C-1 to G9 only")
	}
	return note, nil
}

// spelledNote reads a note of any octave of two digits at most.
func spelledNote(s string) (Note, error) {
	name, rest, err := cutName(s)
	if err != nil {
		return Note{}, err
	}
	if rest == "" {
		return Note{}, fmt.Errorf("%v has no octave; write one after it, such as %v2", name, name)
	}
	octave, err := strconv.Atoi(rest)
	if err != nil || strconv.Itoa(octave) != rest || octave < -99 || octave > 99 {
		return Note{}, fmt.Errorf("%s is no octave; write a whole number, such as %v2", quote(rest), name)
	}
	return Note{name, octave}, nil
}

// cutName reads the name that s begins with and returns what follows it.
func cutName(s string) (n Name, rest string, err error) {
	if s == "" {
		return Name{}, "", fmt.Errorf("there is no letter; write one from A to G")
	}
	letter := s[0]
	switch {
	case letter >= 'A' && letter <= 'G':
	case letter >= 'a' && letter <= 'g':
		return Name{}, "", fmt.Errorf("letters are capitals; write %c", letter-'a'+'A')
	default:
		return Name{}, "", fmt.Errorf("the letters are A to G")
	}
	n.Letter, rest = letter, s[1:]
	for rest != "" {
		alter, size := accidental(rest)
		if size == 0 {
			break
		}
		// A sharp after a flat would cancel it: a slip, not a spelling.
		if n.Alter*alter < 0 {
			return Name{}, "", fmt.Errorf("a flat and a sharp stand together; write one of them")
		}
		n.Alter, rest = n.Alter+alter, rest[size:]
		if n.Alter < -2 || n.Alter > 2 {
			return Name{}, "", fmt.Errorf("a letter takes two accidentals at most")
		}
	}
	return n, rest, nil
}

// accidental reads the sign that s begins with: its semitones and its length
// in bytes, 0 where there is none.
func accidental(s string) (alter, size int) {
	r, size := utf8.DecodeRuneInString(s)
	switch r {
	case '#', '♯':
		return 1, size
	case 'b', '♭':
		return -1, size
	case '𝄪':
		return 2, size
	case '𝄫':
		return -2, size
	}
	return 0, 0
}

// Frequency is the frequency in Hz of a MIDI pitch, which may be fractional,
// in twelve-tone equal temperament; a4 is the frequency of MIDI 69 in Hz
// (440 by ISO 16).
func Frequency(midi, a4 float64) float64 { return a4 * math.Exp2((midi-69)/12) }

// Pitch is the inverse of Frequency: the fractional MIDI pitch of hz. It is
// -Inf for 0 and NaN for a negative frequency.
func Pitch(hz, a4 float64) float64 { return 69 + 12*math.Log2(hz/a4) }

// quote quotes what a user wrote for an error: escaped, and cut where it would
// drown the sentence.
func quote(s string) string { return strconv.Quote(shorten(s)) }

func shorten(s string) string {
	const most = 40
	if len(s) <= most {
		return s
	}
	end := most
	for end > 0 && !utf8.RuneStart(s[end]) {
		end--
	}
	return s[:end] + "..."
}
