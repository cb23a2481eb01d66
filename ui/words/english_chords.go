package words

var englishHeld = held{
	wrong: "the form asks for {asked}, and {heard} was held.",
	early: "the change to {asked} came a beat early.",
	late:  "the change to {asked} came a beat late.",
	key:   "{file} sounds in {key}.",
	cejilla: "Its notes are named as if there were no cejilla, which a sound cannot tell; was it {key} with the cejilla at {fret}? " +
		"Then say --key {flag} --cejilla {fret}.",
}
