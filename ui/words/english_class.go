package words

var englishClasses = classes{
	heads: [ClassHeads + 1]string{"student", "file", "key", "cejilla", "right", "accuracy", "on time", "mean offset", "worst beats", "notes"},
	title: counted{one: "A class: {n} recording", other: "A class: {n} recordings"},
	bad:   counted{one: "{n} recording was not judged; its row says why.", other: "{n} recordings were not judged; their rows say why."},
	page:  "page",
	fault: "{beat} ({wrong} of {of}, {fault})",

	things:   [6]string{"whose it is", "the key", "the cejilla", "the tempo", "the second at which beat 1 of the first turn falls", "the form"},
	ask:      "Nobody says {things}. That can be written into the manifest ({columns}) or the name ({such}), or be given for all by {flags}.",
	askTwice: "The name says two things of {thing}, {says}: write the right one under {column} in the manifest, or leave the other out of the name.",
	askShift: counted{
		one:   "Most notes sound a semitone higher than asked, octaves left out. Was the cejilla at the first fret, or is it another key or line? Write where it was, 0 for nowhere, under {column} in the manifest or into the name ({such}).",
		other: "Most notes sound {n} semitones higher than asked, octaves left out. Was the cejilla at fret {n}, or is it another key or line? Write where it was, 0 for nowhere, under {column} in the manifest or into the name ({such}).",
	},
	shift: counted{
		one:   "Most notes sound a semitone higher than asked, octaves left out: another key or line, or the cejilla elsewhere?",
		other: "Most notes sound {n} semitones higher than asked, octaves left out: another key or line, or the cejilla elsewhere?",
	},
	found:     "The beats were found in the sound; early and late are against the player's own pulse.",
	keyHeard:  "The key was named from the sound.",
	nobody:    "Nobody says whose it is: write it under {column} in the manifest, or first in the name ({such}).",
	cut:       "The file stops before the end that it announces; it was judged as far as it goes.",
	unread:    "Not understood in the name: {words}.",
	unsure:    counted{one: "{n} note could not be told.", other: "{n} notes could not be told."},
	strummed:  counted{one: "{n} beat lies in a strummed turn, not judged.", other: "{n} beats lie in strummed turns, not judged."},
	unjudged:  "None of the notes could be told.",
	private:   "A student's recording is theirs: ask before you keep it or send it.",
	pageHolds: "This page holds parts of the recording, which is the student's: ask before you keep it or send it.",
}
