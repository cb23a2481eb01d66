package words

// English is the first language.
var English = &Language{
	Tag: "en",

	letters:     [7]string{"A", "B", "C", "D", "E", "F", "G"},
	accidentals: [5]string{" double flat", " flat", "", " sharp", " double sharp"},
	modes:       [3]string{"{tonic} major", "{tonic} minor", "{tonic} Phrygian"},

	tonic: "the tonic",
	degrees: [8]string{"", "first degree", "second degree", "third degree", "fourth degree",
		"fifth degree", "sixth degree", "seventh degree"},
	plain:   "the {degree}",
	raised:  "the raised {degree}",
	lowered: "the lowered {degree}",

	strings: [7]string{"", "first", "second", "third", "fourth", "fifth", "sixth"},
	frets: [25]string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
		"tenth", "eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth",
		"eighteenth", "nineteenth", "twentieth", "twenty-first", "twenty-second", "twenty-third", "twenty-fourth"},
	open:    "open {string} string",
	fretted: "{fret} fret of the {string} string",
	mark:    "({string}) open",

	labels: labels{
		octaveUp:   "an octave up",
		octaveDown: "an octave down",
		inScale:    "wrong, in key",
		outOfScale: "not in key",
		missing:    "no bass",
		unsure:     "?",
		strummed:   "strummed",
		early:      "{ms} ms early",
		late:       "{ms} ms late",
		onTime:     "on time",
	},

	reasons: reasons{
		missing:    "No bass note was heard; {asked}.",
		unsure:     "Something sounded that cannot be sworn to, so it counts neither for nor against; {asked}.",
		strummed:   "The turn was strummed without a thumb line, so it is not judged.",
		inScale:    "{heard} {cause}; {asked}.",
		outOfScale: "{heard} is not in {key}; {asked}.",
		outCause:   "{heard} is not in {key} and {cause}; {asked}.",
		octaveUp:   counted{"The {heard} came an octave too high; {asked}.", "The {heard} came {n} octaves too high; {asked}."},
		octaveDown: counted{"The {heard} came an octave too low; {asked}.", "The {heard} came {n} octaves too low; {asked}."},

		stillThere:  "is still the note of the beat before",
		swapped:     "is the note of beat {beat}",
		tooHigh:     "is one fret too high",
		tooLow:      "is one fret too low",
		otherString: "lies at the same fret of the {string} string",
		otherDegree: "is in the key, but {degree}",

		begins:      "the line begins on {note}",
		down:        "the line goes down to {note}",
		up:          "the line goes up to {note}",
		stays:       "the line stays on {note}",
		lands:       "the line lands on {note}",
		asks:        "the line asks for {note}",
		note:        "{name}, {degree}, {place}",
		noteNowhere: "{name}, {degree}",
		anyOfScale:  "any note of {key}",
		anyOfChord:  "a tone of the chord, {tones}",
		or:          ", or ",
		and:         " or ",
	},

	summary: summary{
		nothing:     "Nothing was judged: no turn of the line lies wholly in the sound.",
		allStrummed: "Nothing was judged: the turns were strummed, without a thumb line.",
		right:       "{right} of {of} notes right ({percent} %)",
		onTime:      ", {n} of them on time",
		inScale:     counted{"{n} wrong but in key", "{n} wrong but in key"},
		outOfScale:  counted{"{n} not in key", "{n} not in key"},
		octave:      counted{"{n} in another octave", "{n} in another octave"},
		missing:     counted{"{n} beat without bass", "{n} beats without bass"},
		extra:       counted{"{n} extra note", "{n} extra notes"},
		unsure:      counted{"{n} that could not be told", "{n} that could not be told"},
		strummed:    counted{"{n} beat in a strummed turn, not judged", "{n} beats in strummed turns, not judged"},
		and:         " and ",
		ahead:       "The whole take lies {ms} ms ahead of the beat.",
		behind:      "The whole take lies {ms} ms behind the beat.",
	},

	// Which levels are safe is WHO-ITU H.870's to say. That hands need warming
	// up and rest is common practice, no source.
	cautions: []string{
		"Headphones are close to the ear: start quiet. The pulse and the measuring of the delay begin softly and rise, and the output is limited; WHO-ITU H.870 says how loud is too loud.",
		"A pulse or a playback from a loudspeaker reaches the microphone and can be heard as notes. Headphones keep it out.",
		"Warm up, take care with wide stretches, and rest the hands every twenty minutes. Stop at pain, numbness or tingling, and see a doctor or physiotherapist rather than play through it.",
		"A recording of a student is the student's: ask before you keep it or send it.",
	},
	rest: "Twenty minutes of playing: put the guitar down and rest your hands.",
}
