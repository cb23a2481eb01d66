package export

import (
	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/theory"
)

// Words are what is written beside notes. Each text is a few words, and "" is
// not written.
type Words struct {
	Heard, Asked string                                 // the two parts
	Extra        string                                 // a note that no beat asked for
	Cejilla      func(fret int) string                  // how to put it on
	Place        func(turn int, beat string) string     // where: "turn 2, beat 8"
	Label        func(match.Verdict) string             // on the pitch: "not in key"
	Timing       func(v match.Verdict, rate int) string // "74 ms late"
	Note         func(theory.Note) string               // "A2"
	Chord        func(theory.Chord) string              // "D7"
	AskedFor     func(note string) string               // "asked A2"
	Ruled        func(match.Word) string                // that the player says so
}

// remarks are what is said of a note that was heard, or of the place where none
// was: nothing of a right one on its beat.
func (p *Piece) remarks(n *Note, w *Words) []string {
	var said []string
	if n.Pitch == "" {
		return nil
	}
	if n.Pitch != match.Right {
		said = append(said, w.Label(n.Verdict))
	}
	if n.Timing == match.Early || n.Timing == match.Late {
		said = append(said, w.Timing(n.Verdict, p.Rate))
	}
	if n.Ruled {
		said = append(said, w.Ruled(n.Pitch))
	}
	return said
}

// asks says what was asked for where something else was played; "" elsewhere.
func (p *Piece) asks(n *Note, w *Words) string {
	switch n.Pitch {
	case match.Octave, match.InScale, match.OutOfScale, match.Missing:
		return w.AskedFor(w.Note(p.fingered(n.ExpectedMIDI)))
	}
	return ""
}

// at says where a note is.
func (w *Words) at(n *Note) string {
	return w.Place(n.Turn, take.BeatOf(n.Item.Position.String()))
}
