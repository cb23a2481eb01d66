package theory

import "strings"

// usual are the shapes that players learn first, in standard tuning: frets and
// fingers from the sixth string to the first (common practice, no source). A
// test checks each, note by note, against its chord.
var usual = []struct{ chord, frets, fingers string }{
	{"C", "x32010", "x32010"}, {"Db", "x46664", "x12341"}, {"D", "xx0232", "xx0132"}, {"Eb", "xx1343", "xx1243"},
	{"E", "022100", "023100"}, {"F", "133211", "134211"}, {"F#", "244322", "134211"}, {"G", "320003", "210003"},
	{"Ab", "466544", "134211"}, {"A", "x02220", "x01230"}, {"Bb", "x13331", "x12341"}, {"B", "x24442", "x12341"},

	{"Cm", "x35543", "x13421"}, {"C#m", "x46654", "x13421"}, {"Dm", "xx0231", "xx0231"}, {"Ebm", "xx1342", "xx1342"},
	{"Em", "022000", "023000"}, {"Fm", "133111", "134111"}, {"F#m", "244222", "134111"}, {"Gm", "355333", "134111"},
	{"G#m", "466444", "134111"}, {"Am", "x02210", "x02310"}, {"Bbm", "x13321", "x13421"}, {"Bm", "x24432", "x13421"},

	{"C7", "x32310", "x32410"}, {"Db7", "x46464", "x13141"}, {"D7", "xx0212", "xx0213"}, {"Eb7", "xx1323", "xx1324"},
	{"E7", "020100", "020100"}, {"F7", "131211", "131211"}, {"F#7", "242322", "131211"}, {"G7", "320001", "320001"},
	{"Ab7", "464544", "131211"}, {"A7", "x02020", "x02030"}, {"Bb7", "x13131", "x13141"}, {"B7", "x21202", "x21304"},
}

// ringing are the tonics of the keys that let open strings ring through them,
// with the notes that these add (common practice, no source).
var ringing = []struct {
	key, frets, fingers string
	added               []Name
}{
	{"F#-phrygian", "244300", "134200", []Name{{'B', 0}, {'E', 0}}},
	{"B-phrygian", "x24440", "x12340", []Name{{'E', 0}}},
	{"G#-phrygian", "466500", "134200", []Name{{'B', 0}, {'E', 0}}},
}

// usualShape is the shape of a chord that players learn first, however it is
// spelled. Where a string that the shape sounds is tuned otherwise there is
// none; open bass strings that give the root below it are let sound, as the
// sixth in D does under a chord of D.
func usualShape(c Chord, t Tuning) (Shape, bool) {
	symbol := c.String()
	if len(c.Tones) == 0 || strings.Contains(symbol, "-") {
		return Shape{}, false
	}
	root, quality := c.Tones[0].PitchClass(), strings.TrimPrefix(symbol, c.Tones[0].String())
	for _, u := range usual {
		name, rest, err := cutName(u.chord)
		if err == nil && rest == quality && name.PitchClass() == root {
			s := Shape{Chord: c, Tuning: t, Frets: sixOf(u.frets), Fingers: fingersOf(u.fingers)}
			for i, fret := range s.Frets {
				if fret != Muted && t[i] != Standard[i] {
					return Shape{}, false
				}
			}
			s.deepen()
			return s, true
		}
	}
	return Shape{}, false
}

// deepen opens muted bass strings where another tuning than the standard one
// puts the root there.
func (s *Shape) deepen() {
	for i := 5; i > 0 && s.Frets[i] == Muted; i-- {
		if s.Tuning[i] == Standard[i] || mod(s.Tuning[i], 12) != s.Chord.Tones[0].PitchClass() {
			continue
		}
		j := i - 1
		for j > 0 && s.Frets[j] == Muted && s.Chord.Contains(s.Tuning[j]) {
			j--
		}
		if s.Frets[j] != Muted {
			for ; i > j; i-- {
				s.Frets[i] = 0
			}
			return
		}
	}
}

// TonicChord is the chord that the key rests on: the triad of its first degree,
// major in a Phrygian key.
func (k Key) TonicChord() Chord { return k.Chord(1, false) }

// DominantChord is the chord that leads to the tonic: the dominant seventh of a
// major or minor key, in a Phrygian one the major triad of the second degree.
func (k Key) DominantChord() Chord {
	if k.Mode == Phrygian {
		return k.Chord(2, false)
	}
	return k.Chord(5, true)
}

// TonicShape is the shape of the key's tonic. In standard tuning taranta,
// granaína and minera let open strings ring through it, which it names in
// Added.
func (k Key) TonicShape(t Tuning) (Shape, bool) {
	if t == Standard {
		for _, r := range ringing {
			if r.key == k.String() {
				return Shape{k.TonicChord(), t, sixOf(r.frets), fingersOf(r.fingers), append([]Name(nil), r.added...)}, true
			}
		}
	}
	return ShapeOf(k.TonicChord(), t)
}

// DominantShape is the shape of the key's DominantChord.
func (k Key) DominantShape(t Tuning) (Shape, bool) { return ShapeOf(k.DominantChord(), t) }

// sixOf reads six digits, the sixth string first; x is Muted.
func sixOf(s string) [6]int {
	var six [6]int
	for i := range six {
		if six[5-i] = int(s[i] - '0'); s[i] == 'x' {
			six[5-i] = Muted
		}
	}
	return six
}

func fingersOf(s string) [6]int { return sixOf(strings.ReplaceAll(s, "x", "0")) }
