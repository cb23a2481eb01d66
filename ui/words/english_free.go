package words

var englishFollowing = following{
	found: "The compás was found in the sound: beat 1 at {s} s, {slow} to {fast} a minute, {percent} % sure. " +
		"Early and late are told against your own pulse.",
	stretches: counted{one: "It was played in {n} stretch.", other: "It was played in {n} stretches; turns are counted through all of them."},
	doubted: counted{one: "In {n} of them it could not be told where the turn begins, so it is not judged.",
		other: "In {n} of them it could not be told where the turn begins, so they are not judged."},
	otherKey: "This sounds like {key}; {given} was given.",
	twoWays: "It may be counted in two ways, and the sound does not tell which: beat 1 at {a} s and {b} a minute, or beat 1 at {c} s and {d} a minute. " +
		"So there are no turns; what is said here holds for both. --first-beat or --tempo says which one it is.",
	alike:  "Judged alike in both: {list}.",
	at:     "at {s} s: {why}",
	right:  counted{one: "{n} right", other: "{n} right"},
	steady: "Your beats differ from those beside them by {percent} %.",
	faster: "The last turn is {percent} % faster than the first.",
	slower: "The last turn is {percent} % slower than the first.",
	kept:   "The last turn is as fast as the first.",
	rushes: "The walk goes {percent} % faster than the rest.",
	drags:  "The walk goes {percent} % slower than the rest.",
	even:   "The walk goes as fast as the rest.",

	seeking:  "Play: the compás is being looked for in what you play.",
	placed:   "The compás is found: turn {turn}, beat {beat}, about {bpm} a minute.",
	lost:     "The place in the compás is lost; it goes on when it is found again.",
	now:      "You are in turn {turn}, beat {beat}.",
	ownPulse: "Early and late are told against your own pulse, some beats after they are played; at the end the whole is judged.",
}
