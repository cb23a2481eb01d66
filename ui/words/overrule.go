package words

import (
	"bordon/listen/match"
	"bordon/listen/take"
)

// overruling are the words of the page where a verdict is overruled.
type overruling struct {
	key, help string
	ear       string    // {place}, {ear}
	both      string    // {place}, {ear}, {word}
	letters   [8]string // of the keys for take.PitchWords, and of the one that takes a ruling back
	back      string
	choose    string
	done      string
}

// Overrule says in a word what the key does that overrules a verdict,
// OverruleHelp in full; ChooseHelp what the arrow keys do meanwhile, and
// DoneHelp what esc does.
func (l *Language) Overrule() string     { return l.overruling.key }
func (l *Language) OverruleHelp() string { return l.overruling.help }
func (l *Language) ChooseHelp() string   { return l.overruling.choose }
func (l *Language) DoneHelp() string     { return l.overruling.done }

// Overruling says what the ear said of a note, and what the player says, ""
// for nothing.
func (l *Language) Overruling(turn int, beat, ear, player string) string {
	message := l.overruling.ear
	if player != "" {
		message = l.overruling.both
	}
	return fill(message, "place", l.At(turn, beat), "ear", ear, "word", player)
}

// Letter is a key by which a verdict is given, and what it says.
type Letter struct {
	Key  string     // one letter
	Word match.Word // "" takes the player's word back
	Says string
}

// Letters are the keys by which a verdict is given, in order.
func (l *Language) Letters() []Letter {
	var all []Letter
	for i, w := range take.PitchWords {
		all = append(all, Letter{l.overruling.letters[i], w, l.Pitch(w)})
	}
	return append(all, Letter{l.overruling.letters[len(all)], "", l.overruling.back})
}
