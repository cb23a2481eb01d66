package words

var englishOverruling = overruling{
	key:     "overrule",
	help:    "overrule the ear: choose a note with the arrow keys, and say what it was",
	ear:     "{place}: the ear said {ear}. What was it?",
	both:    "{place}: you say {word}; the ear said {ear}.",
	letters: [8]string{"r", "o", "w", "n", "m", "u", "s", "e"},
	back:    "as the ear said",
	choose:  "choose a note",
	done:    "done",
}
