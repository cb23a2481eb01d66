package theory

import (
	"errors"
	"fmt"
	"strings"
)

// tunings are those that have names, as fold writes them; "drop-d" is what
// many players call the second (common practice, no source).
var tunings = []struct {
	names  []string
	tuning Tuning
}{
	{[]string{"standard"}, Standard},
	{[]string{"sixth-in-d", "sexta-en-re", "drop-d"}, SixthInD},
}

// SixthInD is the usual tuning with the sixth string a tone lower, D2.
var SixthInD = Tuning{64, 59, 55, 50, 45, 38}

// The range of an open string: an octave under the usual sixth string to an
// octave over the first.
const (
	lowestOpen  = 28
	highestOpen = 76
)

// ParseTuning reads a tuning: standard, sixth-in-d (sexta-en-re and drop-d mean
// the same), or six notes from the sixth string to the first, such as
// "D2 A2 D3 G3 B3 E4", separated by spaces, commas or hyphens. Each string must
// be at least as high as the one below it.
func ParseTuning(s string) (Tuning, error) {
	t, err := parseTuning(s)
	if err != nil {
		return Tuning{}, fmt.Errorf("tuning %s: %w", quote(s), err)
	}
	return t, nil
}

func parseTuning(s string) (Tuning, error) {
	const howTo = "write standard, sixth-in-d, or six notes from the sixth string to the first, such as D2 A2 D3 G3 B3 E4"
	folded := fold(strings.TrimSpace(s))
	for _, known := range tunings {
		for _, name := range known.names {
			if name == folded {
				return known.tuning, nil
			}
		}
	}
	if len(s) > MaxLine {
		return Tuning{}, errors.New(howTo)
	}
	notes := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\t' || r == ',' || r == '-' })
	if len(notes) != 6 {
		if len(notes) < 2 {
			return Tuning{}, errors.New("there is none of this name; " + howTo)
		}
		return Tuning{}, fmt.Errorf("it names %d strings and a guitar has 6; %s", len(notes), howTo)
	}
	var t Tuning
	for i, text := range notes {
		number := 6 - i
		note, err := parseNote(text)
		if err != nil {
			return Tuning{}, fmt.Errorf("string %d, %s: %w", number, quote(text), err)
		}
		midi := note.MIDI()
		switch {
		case midi < lowestOpen || midi > highestOpen:
			return Tuning{}, fmt.Errorf("string %d at %v is out of a guitar's reach; open strings lie from E1 to E5", number, note)
		case i > 0 && midi < t[number]:
			return Tuning{}, fmt.Errorf("string %d at %v lies below string %d; write them from the sixth to the first, each at least as high as the one before", number, note, number+1)
		}
		t[number-1] = midi
	}
	return t, nil
}

// String is the tuning's name, or its open strings from the sixth to the first
// where it has none: "standard", "sixth-in-d", "D2 A2 D3 F#3 A3 D4". ParseTuning
// reads it again.
func (t Tuning) String() string {
	for _, known := range tunings {
		if known.tuning == t {
			return known.names[0]
		}
	}
	return t.Notes()
}

// Notes are the open strings from the sixth to the first: "E2 A2 D3 G3 B3 E4".
func (t Tuning) Notes() string {
	// Open strings are named as in D major: an open F#3, B3, C#4 are usual.
	d := Key{Name{'D', 0}, Major}
	names := make([]string, 6)
	for i := range names {
		names[i] = d.Spell(t[5-i]).String()
	}
	return strings.Join(names, " ")
}
