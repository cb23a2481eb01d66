package words

import "strconv"

// practice are the words of the live screen on ways to practise.
type practice struct {
	tries   counted
	beat    string // over the beat of the compás, in large letters
	right   string // in large letters
	waiting string // {note}: untimed, before the first try

	standing  string
	held      string
	goOn      string
	passed    string // the ear could not tell
	announce  string // {key}
	heardTurn string
	answer    string
	listening string
	notKept   string
	discarded string
	keepSaid  string
	plays     string
	noSound   string
	edit      string
	untimed   string
	taps      string
	stretch   string // {n}, {of}
	firstKey  string // {key}

	space, enter            string // the keys of these names
	startKey, startHelp     string
	stopHelp                string
	againKey, againHelp     string
	nextHelp                string
	keepKey, keepHelp       string
	discardKey, discardHelp string
	playKey, playHelp       string
	editKey, editHelp       string
	largeHelp               string
}

// Tries says how often a note was tried.
func (l *Language) Tries(n int) string { return l.practice.tries.of(n) }

// Beat stands over the beat of the compás, and RightNote for a right note,
// where the page is drawn in large letters.
func (l *Language) Beat() string      { return l.practice.beat }
func (l *Language) RightNote() string { return l.practice.right }

// Waiting says, without a pulse, what is waited for.
func (l *Language) Waiting(note string) string { return fill(l.practice.waiting, "note", note) }

// Standing says that the page has stopped, Held that it waits for the right
// note, HeldGoesOn that this was it, and Passed that the ear could not tell.
func (l *Language) Standing() string   { return l.practice.standing }
func (l *Language) Held() string       { return l.practice.held }
func (l *Language) HeldGoesOn() string { return l.practice.goOn }
func (l *Language) Passed() string     { return l.practice.passed }

// Announce says which key comes after this turn; FirstKey which comes first.
func (l *Language) Announce(key string) string { return fill(l.practice.announce, "key", key) }
func (l *Language) FirstKey(key string) string { return fill(l.practice.firstKey, "key", key) }

// HearTurn and AnswerTurn say what the turn is where a line is heard first;
// OnlyListen that nothing is judged.
func (l *Language) HearTurn() string   { return l.practice.heardTurn }
func (l *Language) AnswerTurn() string { return l.practice.answer }
func (l *Language) OnlyListen() string { return l.practice.listening }

// NotKept says that what is untimed is not kept as a take; Discarded that the
// take is gone, KeptNow that it stays.
func (l *Language) NotKept() string   { return l.practice.notKept }
func (l *Language) Discarded() string { return l.practice.discarded }
func (l *Language) KeptNow() string   { return l.practice.keepSaid }

// Plays says that what was played is heard, then what was asked; NoReplay
// that there is nothing to play it with, or to play.
func (l *Language) Plays() string    { return l.practice.plays }
func (l *Language) NoReplay() string { return l.practice.noSound }

// EditSentence asks for the sentence; Untimed stands where the tempo would.
func (l *Language) EditSentence() string { return l.practice.edit }
func (l *Language) Untimed() string      { return l.practice.untimed }

// Taps says what taps on the top do while the page stands.
func (l *Language) Taps() string { return l.practice.taps }

// Space and Enter name the keys.
func (l *Language) Space() string { return l.practice.space }
func (l *Language) Enter() string { return l.practice.enter }

// Stretch says which part of several is played.
func (l *Language) Stretch(n, of int) string {
	return fill(l.practice.stretch, "n", strconv.Itoa(n), "of", strconv.Itoa(of))
}

// PracticeKeys are what the keys of a live session do, in a word or two, and
// in full where help is asked for.
type PracticeKeys struct {
	Start, StartHelp, StopHelp, Again, AgainHelp, NextHelp, Keep, KeepHelp, Discard, DiscardHelp,
	Play, PlayHelp, Edit, EditHelp, LargeHelp string
}

// PracticeKeys says what the keys do.
func (l *Language) PracticeKeys() PracticeKeys {
	p := &l.practice
	return PracticeKeys{p.startKey, p.startHelp, p.stopHelp, p.againKey, p.againHelp, p.nextHelp, p.keepKey, p.keepHelp,
		p.discardKey, p.discardHelp, p.playKey, p.playHelp, p.editKey, p.editHelp, p.largeHelp}
}
