package match

// EventKind tells what an Event holds.
type EventKind int

// The kinds of event.
const (
	// Judged: Verdict, final or provisional. A note may get any number of
	// provisional verdicts and gets exactly one final verdict, the last.
	Judged EventKind = iota
	// Added: Extra.
	Added
	// Ended: one pass of the line is over. Its turns are Turn to LastTurn; no
	// more verdicts or extras of them follow.
	Ended
	// Cut: the stream ended inside the stretch of turns Turn to LastTurn.
	// They are not judged: what was said about them before does not count.
	Cut
)

// Event is one thing that a Matcher has to say.
type Event struct {
	Kind           EventKind
	Verdict        Verdict // of Judged
	Extra          Extra   // of Added
	Turn, LastTurn int     // of Ended and Cut, 1-based turns of the take
}
