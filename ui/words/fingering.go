package words

import (
	"strconv"

	"bordon/theory"
)

// fingerings are the words on how a key is made to sound, and on the unit of a
// tempo.
type fingerings struct {
	sounds            string  // {key}
	shapes            string  // {key}
	cejilla, open     string  // {fret}
	habitual          counted // {form}
	allOf, noneOf     string  // {form}
	tempoIn           string  // {bpm}, {unit}
	eighths, quarters string
}

// Sounds names a key that is to sound.
func (l *Language) Sounds(k theory.Key) string { return fill(l.fingerings.sounds, "key", l.Key(k)) }

// Shapes names the key whose shapes are held.
func (l *Language) Shapes(k theory.Key) string { return fill(l.fingerings.shapes, "key", l.Key(k)) }

// CejillaAt says where the cejilla lies; 0 is none.
func (l *Language) CejillaAt(fret int) string {
	if fret == 0 {
		return l.fingerings.open
	}
	return fill(l.fingerings.cejilla, "fret", strconv.Itoa(fret))
}

// Habitual says how many of a list's first fingerings a form is usually played
// in.
func (l *Language) Habitual(n, of int, form string) string {
	switch n {
	case 0:
		return fill(l.fingerings.noneOf, "form", form)
	case of:
		return fill(l.fingerings.allOf, "form", form)
	}
	return fill(l.fingerings.habitual.of(n), "form", form)
}

// TempoIn is a tempo in units a minute. Where the unit is beats it says no
// more than Tempo; one of a player's own is said as it is.
func (l *Language) TempoIn(bpm float64, unit string) string {
	switch unit {
	case "", "beats":
		return l.Tempo(bpm)
	case "eighths":
		unit = l.fingerings.eighths
	case "quarters":
		unit = l.fingerings.quarters
	}
	return fill(l.fingerings.tempoIn, "bpm", l.number(bpm, 'g', 4), "unit", unit)
}
