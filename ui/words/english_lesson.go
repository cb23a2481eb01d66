package words

var englishLesson = lesson{
	title:   "{form}: a lesson",
	line:    "line {line}",
	best:    counted{one: "the best line of the key", other: "the best line of each key"},
	tuned:   "open strings from the sixth on: {notes}",
	any:     "any",
	ofKey:   "key",
	ofChord: "chord",
	page:    "{page} of {of}",
	how: "Read down a column: its beat, what is said aloud (accents in capitals), the note, its string in a circle and its fret, " +
		"0 open, its name and its degree. On a neck the thick string is the sixth, and numbers are fingers. " +
		"All is as fingered: frets count from the cejilla. Notes are written an octave above their sound.",
}
