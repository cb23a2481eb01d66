package theory

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// MaxPlayedCejilla is the highest fret at which players lay the cejilla when a
// singer asks for a pitch (common practice, no source).
const MaxPlayedCejilla = 7

// Fingering is a way to make a key sound: the key that is fingered and the fret
// of the cejilla, 0 for none.
type Fingering struct {
	Key      Key // as fingered
	Cejilla  int // 0 to MaxPlayedCejilla
	Habitual bool
}

// Sounding is the key that the fingering makes sound.
func (f Fingering) Sounding() Key { return f.Key.Transpose(f.Cejilla) }

// habits are the fingered keys that players choose in a form, the likeliest
// first (common practice, no source). The entry without a form serves all
// that have none.
var habits = map[string][]string{
	"":           {"E", "A", "C", "D", "G", "Am", "Em", "Dm", "E-phrygian", "A-phrygian", "F#-phrygian", "B-phrygian", "G#-phrygian", "C#-phrygian"},
	"alegrias":   {"C", "E", "A", "G", "D", "Am", "Em", "Dm"},
	"solea":      {"E-phrygian", "A-phrygian"},
	"bulerias":   {"A-phrygian", "E-phrygian", "A", "E", "C", "Am"},
	"seguiriyas": {"A-phrygian", "E-phrygian", "A"},
	"tangos":     {"A-phrygian", "E-phrygian", "A", "C", "Am"},
	"fandangos":  {"E-phrygian", "A-phrygian", "F#-phrygian", "B-phrygian", "G#-phrygian", "C"},
}

// Fingerings are the fingered keys that sound as sounding with a cejilla from 0
// to MaxPlayedCejilla, as players prefer them: shapes habitual to the form
// first, those that it is played in most before others and a low cejilla before
// a high one; then the rest, the lowest cejilla first. The form is a name such
// as "alegrias"; a section has its form's habits, one without habits those of
// all. A sounding key may be spelled either way.
func Fingerings(sounding Key, form string) []Fingering {
	if !sounding.valid() {
		return nil
	}
	form, _, _ = strings.Cut(form, "/")
	usual, ok := habits[form]
	if !ok {
		usual = habits[""]
	}
	var all []Fingering
	rank := map[Fingering]int{}
	for cejilla := 0; cejilla <= MaxPlayedCejilla; cejilla++ {
		f := Fingering{Key: sounding.Transpose(-cejilla), Cejilla: cejilla}
		f.Key = named(f.Key)
		place := slices.Index(usual, f.Key.String())
		f.Habitual = place >= 0
		// A place in the list weighs as much as a fret and a half: a shape
		// that is played a little less is taken where it saves two frets.
		rank[f] = 2*cejilla + 3*place
		all = append(all, f)
	}
	slices.SortStableFunc(all, func(a, b Fingering) int {
		switch {
		case a.Habitual != b.Habitual:
			if a.Habitual {
				return -1
			}
			return 1
		case a.Habitual:
			return cmp.Or(cmp.Compare(rank[a], rank[b]), cmp.Compare(a.Cejilla, b.Cejilla))
		}
		return cmp.Compare(a.Cejilla, b.Cejilla)
	})
	return all
}

// named spells a Phrygian key as players name it where they have a name for
// its pitch: G#, not Ab.
func named(k Key) Key {
	if k.Mode != Phrygian {
		return k
	}
	for _, tonic := range flamencoKeys {
		if tonic.PitchClass() == k.Tonic.PitchClass() {
			return Key{tonic, Phrygian}
		}
	}
	return k
}

// ToqueName is the players' name of a fingered Phrygian key, as ParseKey reads
// it: "por-arriba", "por-medio", "taranta"; "" for a key that has none.
func (k Key) ToqueName() string {
	for name, tonic := range flamencoKeys {
		if k.Mode != Phrygian || tonic != k.Tonic {
			continue
		}
		if name == "arriba" || name == "medio" {
			return "por-" + name
		}
		return name
	}
	return ""
}

// solfa are the notes as singers name them, by the letters C to B.
var solfa = [7]string{"do", "re", "mi", "fa", "sol", "la", "si"}

var accented = strings.NewReplacer("granaina", "granaína", "rondena", "rondeña")

// Sung says the fingering in the words that singers ask for it with: "al 3 por
// arriba", "al 2 por medio", "al 3 por sol", "al aire por la menor" where there
// is no cejilla (common practice, no source).
func (f Fingering) Sung() string {
	where := "al aire"
	if f.Cejilla > 0 {
		where = "al " + strconv.Itoa(f.Cejilla)
	}
	if name := f.Key.ToqueName(); name != "" {
		return where + " por " + accented.Replace(strings.TrimPrefix(name, "por-"))
	}
	words := []string{where, "por", solfa[letterIndex(f.Key.Tonic.Letter)]}
	switch f.Key.Tonic.Alter {
	case 1:
		words = append(words, "sostenido")
	case -1:
		words = append(words, "bemol")
	}
	switch f.Key.Mode {
	case Minor:
		words = append(words, "menor")
	case Phrygian:
		words = append(words, "flamenco")
	}
	return strings.Join(words, " ")
}
