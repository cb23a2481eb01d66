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
