package theory_test

import (
	"fmt"

	"bordon/theory"
)

// The walk of a home key, moved to the others by degree.
func ExampleParseLine() {
	alegrias, _ := theory.LookupForm("alegrías")
	for _, name := range []string{"D", "G", "F"} {
		key, _ := theory.ParseKey(name)
		line, _ := theory.ParseLine("7:3 8:2 9:7 10:1", key, alegrias, theory.Standard)
		fmt.Println(key, "-", line)
	}
	// Output:
	// D - 7:F#3 8:E3 9:C#3 10:D3
	// G - 7:B2 8:A2 9:F#2 10:G2
	// F - 7:A2 8:G2 9:E2 10:F2
}

func ExampleParseLine_wrong() {
	alegrias, _ := theory.LookupForm("alegrias")
	key, _ := theory.ParseKey("G")
	_, err := theory.ParseLine("7:B2 13:G2", key, alegrias, theory.Standard)
	fmt.Println(err)
	// Output:
	// line item 2, "13:G2": there is no beat 13; the beats of alegrías are 1 to 12
}

func ExampleDefaultLine() {
	solea, _ := theory.LookupForm("solea")
	key, _ := theory.ParseKey("por medio")
	line, _ := theory.DefaultLine(key, solea, theory.Standard)
	for _, item := range line.Items {
		note := item.Choices[0].Note
		place, _ := line.Tuning.Place(note.MIDI())
		fmt.Printf("beat %v: %v, degree %s, string %d, fret %d, over %v\n",
			item.Position, note, key.Degree(note.MIDI()), place.String, place.Fret, item.Chord)
	}
	// Output:
	// beat 7: D3, degree 4, string 4, fret 0, over Bb
	// beat 8: C3, degree 3, string 5, fret 3, over Bb
	// beat 9: Bb2, degree 2, string 5, fret 1, over Bb
	// beat 10: A2, degree 1, string 5, fret 0, over A
}

// A form of the player's own, as it stands in a file.
func ExampleParseForm() {
	form, err := theory.ParseForm(`
form    rumba
beats   4
accents 2 4
chords  1:5+7 3:1        # the dominant seventh, then the tonic
line    1:3 2:7 3:1
runs    1-3`)
	if err != nil {
		fmt.Println(err)
		return
	}
	key, _ := theory.ParseKey("G")
	line, _ := theory.DefaultLine(key, form, theory.Standard)
	fmt.Println(line, "over", form.ChordAt(key, 1))

	_, err = theory.ParseForm("form rumba\nbeats 4\naccents 2 5")
	fmt.Println(err)
	// Output:
	// 1:B2 2:F#2 3:G2 over D7
	// line 3, column 11: "5" is no beat of rumba; write a whole number from 1 to 4
}

// Seguiriyas has five counts of unequal length; the tempo counts eighths.
func ExampleForm_Units() {
	f, _ := theory.LookupForm("seguiriyas")
	for beat := 1; beat <= f.Beats; beat++ {
		fmt.Println("count", f.CountedOn(beat), "after", f.Units(float64(beat-1)), f.TempoUnit(), "lasts", f.Length(beat))
	}
	// Output:
	// count 1 after 0 eighths lasts 2
	// count 2 after 2 eighths lasts 2
	// count 3 after 4 eighths lasts 3
	// count 4 after 7 eighths lasts 3
	// count 5 after 10 eighths lasts 2
}

// The shapes of a key's two chords, from the sixth string to the first.
func ExampleKey_DominantShape() {
	key, _ := theory.ParseKey("G")
	tonic, _ := key.TonicShape(theory.Standard)
	dominant, _ := key.DominantShape(theory.Standard)
	fmt.Println(tonic.Chord, tonic, "fingers", tonic.Hand())
	fmt.Println(dominant.Chord, dominant, "fingers", dominant.Hand())
	// Output:
	// G 320003 fingers 210003
	// D7 xx0212 fingers xx0213
}

// The singer needs a soleá that sounds on G.
func ExampleFingerings() {
	sounding, _ := theory.ParseKey("G-phrygian")
	for _, f := range theory.Fingerings(sounding, "solea")[:3] {
		fmt.Println(f.Sung(), "-", f.Key, "shapes, cejilla", f.Cejilla)
	}
	// Output:
	// al 3 por arriba - E-phrygian shapes, cejilla 3
	// al aire por sol flamenco - G-phrygian shapes, cejilla 0
	// al 1 por taranta - F#-phrygian shapes, cejilla 1
}

func ExampleParseTuning() {
	for _, s := range []string{"drop-d", "D2 A2 D3 F#3 A3 D4", "E2 A2 D3"} {
		tuning, err := theory.ParseTuning(s)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(tuning, "-", tuning.Notes())
	}
	// Output:
	// sixth-in-d - D2 A2 D3 G3 B3 E4
	// D2 A2 D3 F#3 A3 D4 - D2 A2 D3 F#3 A3 D4
	// tuning "E2 A2 D3": it names 3 strings and a guitar has 6; write standard, sixth-in-d, or six notes from the sixth string to the first, such as D2 A2 D3 G3 B3 E4
}

func ExampleParseKey() {
	for _, name := range []string{"B♭", "F#m", "por-arriba", "G# major"} {
		key, err := theory.ParseKey(name)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(key, key.Scale())
	}
	// Output:
	// Bb [Bb C D Eb F G A]
	// F#m [F# G# A B C# D E]
	// E-phrygian [E F G A B C D]
	// key "G# major": G# major would take 8 sharps, and a signature holds 7; write Ab
}

// A cejilla on the third fret makes G shapes sound in B flat.
func ExampleKey_Transpose() {
	fingered, _ := theory.ParseKey("G")
	fmt.Println(fingered.Transpose(3))
	// Output:
	// Bb
}

func ExampleKey_Spell() {
	key, _ := theory.ParseKey("G")
	for _, midi := range []int{47, 46, 45} {
		fmt.Println(key.Spell(midi), key.Degree(midi), key.Contains(midi))
	}
	// Output:
	// B2 3 true
	// Bb2 b3 false
	// A2 2 true
}

func ExampleTuning_Places() {
	note, _ := theory.ParseNote("A2")
	for _, p := range theory.Standard.Places(note.MIDI(), 12) {
		fmt.Printf("string %d, fret %d\n", p.String, p.Fret)
	}
	// Output:
	// string 5, fret 0
	// string 6, fret 5
}

func ExampleFrequency() {
	fmt.Printf("%.2f Hz\n", theory.Frequency(40, 440)) // the open sixth string
	// Output:
	// 82.41 Hz
}
