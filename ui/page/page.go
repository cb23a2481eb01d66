// Package page is the page as data, drawn by no one: a row is one turn of the
// compás, a column one beat of the line. The terminal screen, the text of
// check and the printed report all draw this.
//
// A Writer makes a Page from the events of a session; Draw lays it out as
// lines of text with roles, which the terminal colours and Text prints as
// they are. Everything is said by words; a role only repeats it in colour.
package page

import (
	"bordon/listen/match"
	"bordon/ui/words"
)

// Page is the picture of one take, or of as much of it as was played.
type Page struct {
	Words   *words.Language // that it is drawn in; nil for English
	Header  Header
	Columns []Column // the beats of the line, in order
	Rows    []Row    // one for each turn, in order; the last is being written
	Next    *Next    // what comes next; nil when nothing does
	Beat    int      // of the compás that has come last, counted through the count-in too; 0 before it
	Latest  *Latest  // what was said last; nil where nothing was
	Untimed bool     // each note is waited for
	Lead    bool     // the count-in has not begun
	CountIn int      // beats left until beat 1 of the first turn; 0 once it has come
	Chosen  *Chosen  // the cell that something is being done with; nil for none
	Last    string   // one sentence on the last mistake; "" where there was none
	Summary []string // said at the end, a sentence each
	NoTurns []string // why there are no turns, and what can be said all the same; drawn in their place
}

// Header stands over the page.
type Header struct {
	Key        string  // as fingered: "G major"
	Cejilla    int     // fret, 0 for none
	Sounds     string  // what the cejilla makes of the key: "B flat"; "" without one
	Form       string  // "alegrías"
	Tempo      float64 // units a minute
	Unit       string  // of the tempo, "eighths"; "" is beats
	Level      Level
	Cents      float64 // the guitar's offset from concert pitch
	CentsKnown bool
	LostMS     float64 // sound that was lost so far, in milliseconds
}

// Level is how loud the sound comes in, as words.Language.Level names it.
type Level int

// The levels. Unknown is not drawn.
const (
	Unknown Level = iota
	Silent
	TooQuiet
	Good
	TooLoud
)

// LevelOf names the level of a stretch of sound from its peak, in dB relative
// to full scale, and whether it was clipped. Below -70 dB there is only the
// noise of a 12-bit converter; below -40 dB a plucked string drowns in the
// noise of a usual room (common practice, no source).
func LevelOf(peak float64, clipped bool) Level {
	switch {
	case clipped:
		return TooLoud
	case !(peak > -70): // NaN too
		return Silent
	case peak < -40:
		return TooQuiet
	}
	return Good
}

// Column is one beat of the line.
type Column struct {
	Beat string // as the contract writes it, without the turn: "8", "9+1/2"
	at   float64
}

// Chosen is a cell by its row and its column, both from 0.
type Chosen struct{ Row, Column int }

// Row is one turn.
type Row struct {
	Turn     int    // 1-based
	Cells    []Cell // one for each column
	Strummed bool   // the turn had no thumb line and was not judged
	Extras   []Extra
}

// State of a cell.
type State int

// The states.
const (
	Blank   State = iota // the line asks for nothing here in this turn
	Waiting              // not played yet
	Coming               // not played yet, and the next that will be
	Written
)

// Cell is one expected note of one turn. Notes are named as fingered.
type Cell struct {
	State       State
	Word        match.Word
	Provisional bool   // may still change
	Heard       string // "Bb2"; "" where nothing was, or nothing to swear to
	Asked       string // "A2"; several joined by " or "
	Place       string // where what was asked lies: "(5) open"; "" for a free choice
	Label       string // "not in key"; "" where nothing is wrong with the pitch
	Timing      string // "74 ms late"; "" where on time or not judged
	TimingLarge string // the same in as few letters as it takes
	Tries       int    // how often the note was tried, without a pulse; 0 with one
	Ruled       string // what the player says of it, against the ear; "" for nothing
}

// Latest is the verdict that came last, provisional or not.
type Latest struct {
	Turn int
	Beat string // as the column's
	Cell Cell
}

// Extra is a bass note that no beat asked for.
type Extra struct {
	Note  string // as fingered
	After string // the beat of the form that it came after: "8"
}

// Next is what comes next.
type Next struct {
	Beat  string // "8"
	Note  string // "A2", "any note of G major"
	Place string // "(5) open"
}
