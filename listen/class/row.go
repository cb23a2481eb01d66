package class

import (
	"cmp"
	"slices"

	"bordon/listen"
	"bordon/listen/match"
	"bordon/listen/take"
)

// Row is what came of one recording. It is judged, or it asks for what the
// sound alone cannot tell, or it says why it failed.
type Row struct {
	Student string `json:"student"` // "" where nobody says whose it is
	File    string `json:"file"`    // path in the folder

	Key       string   `json:"key"`          // as fingered; "" where it is not known
	Cejilla   *int     `json:"cejilla"`      // nil where nothing was judged and it is not known
	Form      string   `json:"form"`         // "" where nothing was judged
	Line      string   `json:"line"`         // that was asked for; "" likewise
	Tempo     *float64 `json:"tempo_bpm"`    // nil likewise
	FirstBeat *float64 `json:"first_beat_s"` // nil likewise

	Asks  []Ask         `json:"asks"`  // what must be said before it can be judged
	Error string        `json:"error"` // why it failed, a sentence; "" where it did not
	Score *listen.Score `json:"score"` // nil where nothing was judged
	Worst []Beat        `json:"worst"` // beats with mistakes, the worst first, at most three

	Found     bool     `json:"beats_found"` // in the sound: nobody said both the tempo and the first beat
	KeyHeard  bool     `json:"key_heard"`   // the key was named from the sound
	Shift     int      `json:"shift"`       // semitones that most notes lie above what was asked, octaves left out: 0 to 11; 0 where they do not agree
	Truncated bool     `json:"truncated"`   // the file stops before the end that it announces
	Unread    []string `json:"unread"`      // words of the name that say nothing known
}

// Ask is something that is to be said of a recording.
type Ask struct {
	What string   `json:"what"` // a column of the manifest
	Says []string `json:"says"` // the things that the name says of it, where that is more than one
}

// Beat is how one beat of the line went.
type Beat struct {
	Beat  string `json:"beat"`
	Wrong int    `json:"wrong"` // wrong, missing, early or late
	Of    int    `json:"of"`    // notes that count
	Fault string `json:"fault"` // the most frequent: a verdict's pitch or timing word
}

// Judged reports whether the recording was.
func (r *Row) Judged() bool { return r.Score != nil }

// NewRow is the row of a recording that was not judged yet.
func NewRow(g *Given) Row {
	r := Row{Student: g.Of(Student), File: g.Of(File), Key: g.Of(Key), Asks: []Ask{}, Worst: []Beat{}, Unread: []string{}}
	r.Unread = append(r.Unread, g.Unread...)
	return r
}

// Ask makes the row ask for a column.
func (r *Row) Ask(g *Given, c Column) {
	r.Asks = append(r.Asks, Ask{c.String(), append([]string{}, g.Doubt[c]...)})
}

// Judge fills in what the judge says. said tells that somebody said where the
// cejilla was; where nobody did and the notes lie as one would lift them, the
// row asks for it and accuses nobody.
func (r *Row) Judge(c listen.Check, said bool) {
	r.Shift = shift(c.Beats)
	if !said && lifted(c.Beats, r.Shift) {
		r.Asks = append(r.Asks, Ask{Cejilla.String(), []string{}})
		return
	}
	r.Key, r.Form, r.Line = c.Key, c.Form, c.Line
	r.Cejilla, r.Tempo, r.FirstBeat = &c.Cejilla, &c.Tempo, &c.FirstBeat
	r.Found = c.Grid != nil
	score := c.Score
	r.Score = &score
	s := take.Stored{Take: listen.Take{Check: c}}
	for _, n := range s.Entry().Beats {
		if b := beatOf(n); b.Wrong > 0 {
			r.Worst = append(r.Worst, b)
		}
	}
	slices.SortStableFunc(r.Worst, func(a, b Beat) int {
		return cmp.Or(cmp.Compare(b.Wrong*a.Of, a.Wrong*b.Of), cmp.Compare(b.Of, a.Of))
	})
	r.Worst = r.Worst[:min(len(r.Worst), worst)]
}

// worst is how many beats a row names.
const worst = 3

func beatOf(n take.Count) Beat {
	b := Beat{Beat: n.Beat, Of: n.Judged(), Wrong: n.Judged() - n.Right}
	most := 0
	for _, f := range []struct {
		n    int
		word string
	}{{n.Octave, string(match.Octave)}, {n.InScale, string(match.InScale)}, {n.OutOfScale, string(match.OutOfScale)},
		{n.Missing, string(match.Missing)}, {n.Early, string(match.Early)}, {n.Late, string(match.Late)}} {
		if f.n > most {
			most, b.Fault = f.n, f.word
		}
	}
	return b
}

// The least notes, and the least share of them, that must lie the same number
// of semitones off before that is told: mistakes are seldom all the same
// (common practice, no source).
const (
	shiftNotes = 6
	shiftShare = 0.6
)

// shift is how many semitones most of the notes that were heard lie above what
// was asked, octaves left out; 0 where they do not agree.
func shift(beats []listen.Beat) int {
	heard := 0
	by := map[int]int{}
	for i := range beats {
		if d, ok := above(&beats[i]); ok {
			heard++
			by[d]++
		}
	}
	for d, n := range by {
		if d != 0 && n >= shiftNotes && float64(n) >= shiftShare*float64(heard) {
			return d
		}
	}
	return 0
}

// above is how many semitones what was heard on a beat lies above what was
// asked, octaves left out: 0 to 11.
func above(b *listen.Beat) (semitones int, ok bool) {
	if b.Heard == nil || !b.Pitch.Sworn() {
		return 0, false
	}
	return ((b.Heard.MIDI-b.Expected.MIDI)%12 + 12) % 12, true
}

// A cejilla is seldom put above the seventh fret, and it lifts every note
// alike, those of each beat: another line in the same key agrees with the one
// asked for on some beats, or on most, but seldom on all (common practice, no
// source). One note in four may be a mistake.
const (
	highestCejilla = 7
	liftedShare    = 0.75
)

// lifted reports whether a cejilla may be what puts the notes some semitones
// above the line: nearly all of them, and those of each beat.
func lifted(beats []listen.Beat, semitones int) bool {
	if semitones < 1 || semitones > highestCejilla {
		return false
	}
	all, heard, off := 0, map[string]int{}, map[string]int{}
	for i := range beats {
		b := &beats[i]
		d, ok := above(b)
		if !ok {
			continue
		}
		heard[b.Beat]++
		if d == semitones {
			off[b.Beat]++
			all++
		}
	}
	total := 0
	for beat, n := range heard {
		total += n
		if 2*off[beat] < n {
			return false
		}
	}
	return float64(all) >= liftedShare*float64(total)
}
