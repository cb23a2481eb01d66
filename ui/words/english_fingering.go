package words

var englishFingerings = fingerings{
	sounds:   "{key} sounds",
	shapes:   "as {key}",
	cejilla:  "cejilla {fret}",
	open:     "no cejilla",
	habitual: counted{one: "The first is a shape that {form} is usually played in.", other: "The first {n} are shapes that {form} is usually played in."},
	allOf:    "All are shapes that {form} is usually played in.",
	noneOf:   "None is a shape that {form} is usually played in.",
	tempoIn:  "{bpm} {unit} a minute",
	eighths:  "eighths",
	quarters: "quarters",
}
