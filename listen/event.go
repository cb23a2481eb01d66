package listen

import "bordon/listen/match"

// EventKind names what happened, in the words of the contract's live stream.
type EventKind string

// The kinds of event.
const (
	Provisional EventKind = "provisional"
	Final       EventKind = "verdict"
	ExtraNote   EventKind = "extra"
	GapFound    EventKind = "gap"
	TurnScore   EventKind = "score"
	NewTempo    EventKind = "tempo"
	PlaceFound  EventKind = "found" // in the compás, where no pulse is given
	PlaceLost   EventKind = "lost"
)

// Event is one thing that a session has to say. Only the fields of its Kind
// are set. It stays valid, and may be handed to another goroutine.
type Event struct {
	Kind    EventKind
	Verdict match.Verdict
	Extra   match.Extra
	Gap     Gap
	Score   match.Score // of the take up to and including Turn
	Turn    int         // the turn that has ended; 0 for the score at the end
	Try     int         // of an untimed verdict: how often this note was tried; 0 with a pulse
	Tempo   TempoChange // that the player was asked for
	Place   Place       // that was found
	At      int64       // samples heard when the place was found or lost
}

// Gap is a place where samples were lost; silence of the same length stands there.
type Gap struct {
	At   int64 // input sample
	Lost int64 // samples
}
