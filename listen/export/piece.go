package export

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"bordon/listen"
	"bordon/listen/grid"
	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/theory"
)

// MaxTurns is how many turns a piece has at most: more than two hours of
// bulerías at 220 beats a minute. It keeps what is written of a hostile take
// small.
const MaxTurns = 5000

// Piece is what was asked, and what was heard of it.
type Piece struct {
	Name     string // of the take; "" for a line that nobody has played
	Title    string // stands over the score
	Settings listen.Settings
	Rate     int // samples a second that times are counted in
	Turns    int
	Notes    []Note // what was asked, in order of turn and position
	Extras   []match.Extra
}

// Note is what was asked at one place, and the verdict on what was heard there.
type Note struct {
	match.Verdict        // its Pitch is "" where nobody has played; the player's word where that overrules the ear's
	Ruled         bool   // the player has overruled the ear
	Ear           string // the ear's word, where the player overruled it
	Reason        string // a sentence; may be empty
	Name          string // of the asked note, sounding
	Degree        string
}

// OfTake is the piece of a take: its own verdicts, with the player's word in
// place of the ear's where the player overruled it.
func OfTake(s *take.Stored, title string) (Piece, error) {
	set, err := s.Settings(nil)
	if err != nil {
		return Piece{}, err
	}
	verdicts, extras, err := s.Verdicts(set)
	if err != nil {
		return Piece{}, err
	}
	p := Piece{Name: s.ID, Title: title, Settings: set, Rate: s.Take.Settings.Rate, Turns: 1, Extras: extras}
	for i, v := range verdicts {
		written := &s.Take.Check.Beats[i]
		n := Note{Verdict: v, Reason: written.Reason, Name: p.sounding(v.ExpectedMIDI), Degree: set.Key.Degree(v.ExpectedMIDI - set.Cejilla)}
		if r := s.Ruling(v.Turn, written.Beat); r != nil {
			n.rule(r)
		}
		p.Notes = append(p.Notes, n)
	}
	for _, n := range p.Notes {
		p.Turns = max(p.Turns, n.Turn)
	}
	return p, p.check()
}

// usual is the fingered note that stands for what an item asks for: its first
// note, or where it leaves that free the nearest to the open fifth string.
func usual(line theory.Line, it theory.Item) int {
	for _, c := range it.Choices {
		if c.Kind == theory.ExactNote {
			return c.Note.MIDI()
		}
	}
	open := tuningOf(line)[4]
	for d := range 12 {
		for _, midi := range []int{open - d, open + d} {
			if line.Accepts(it, midi) {
				return midi
			}
		}
	}
	return open
}

// tuningOf is the line's tuning, the standard one where it names none.
func tuningOf(line theory.Line) theory.Tuning {
	if line.Tuning == (theory.Tuning{}) {
		return theory.Standard
	}
	return line.Tuning
}

// rule puts the player's word over the ear's.
func (n *Note) rule(r *take.Ruling) {
	n.Ruled, n.Ear, n.Pitch = true, string(n.Pitch), r.Pitch
	if !r.Pitch.Sworn() {
		n.Timing, n.Offset = "", 0
	}
	if r.Pitch == match.Missing || r.Pitch == match.Strummed {
		n.Heard = nil
	}
}

// OfLine is the piece of a line that nobody has played yet, once through. set
// needs all that listen.Settings.Validate asks for.
func OfLine(set listen.Settings, title string) (Piece, error) {
	if err := set.Validate(); err != nil {
		return Piece{}, err
	}
	p := Piece{Title: title, Settings: set, Rate: 48000, Turns: max(set.Line.Turns, 1)}
	beats, err := set.Grid(p.Rate)
	if err != nil {
		return Piece{}, err
	}
	for _, it := range set.Line.Items {
		n := Note{}
		n.Turn, n.Item, n.Expected = it.Position.Turn, it, it.Choices[0]
		n.Time = beats.Sample(it.Position.Offset(set.Form.Beats))
		n.ExpectedMIDI = usual(set.Line, it) + set.Cejilla
		n.Name, n.Degree = p.sounding(n.ExpectedMIDI), set.Key.Degree(n.ExpectedMIDI-set.Cejilla)
		p.Notes = append(p.Notes, n)
	}
	return p, p.check()
}

func (p *Piece) check() error {
	if p.Turns > MaxTurns {
		return fmt.Errorf("%d turns cannot be written; export at most %d", p.Turns, MaxTurns)
	}
	if p.Settings.Form.Beats < 1 || p.Rate < grid.MinRate {
		return errors.New("there is no form, so nothing can be written")
	}
	set := &p.Settings // the turns beyond need no tempo
	set.Tempos = slices.DeleteFunc(slices.Clone(set.Tempos), func(c listen.TempoChange) bool { return c.Turn > p.Turns+1 })
	slices.SortStableFunc(p.Notes, func(a, b Note) int {
		return cmp.Or(cmp.Compare(a.Turn, b.Turn), a.place().Compare(b.place()))
	})
	slices.SortStableFunc(p.Extras, func(a, b match.Extra) int { return cmp.Compare(a.Heard.Onset, b.Heard.Onset) })
	return nil
}

// place is the note's position in its own turn.
func (n *Note) place() theory.Position {
	at := n.Item.Position
	at.Turn = 1
	return at
}

// grid is where the beats lie in the sound, which is the delay after where
// they were played.
func (p *Piece) grid() (delayed, error) {
	g, err := p.Settings.Grid(p.Rate)
	return delayed{g, int64(p.Settings.Delay * float64(p.Rate) / 1000)}, err
}

// delayed is a grid as it lies in the sound.
type delayed struct {
	grid.Grid
	by int64 // samples
}

func (d delayed) Sample(beat float64) int64 { return d.Grid.Sample(beat) + d.by }
func (d delayed) Beat(sample int64) float64 { return d.Grid.Beat(sample - d.by) }

// sounding names a sounding pitch in the key that sounds.
func (p *Piece) sounding(midi int) string {
	return p.Settings.Key.Transpose(p.Settings.Cejilla).Spell(midi).String()
}

// fingered spells a sounding pitch as it is fingered.
func (p *Piece) fingered(midi int) theory.Note {
	return p.Settings.Key.Spell(midi - p.Settings.Cejilla)
}

// neck is where a sounding note usually lies: where the line says that it is
// held, else the place with the lowest fret, counted from the cejilla.
func (p *Piece) neck(midi int, at *theory.Position) (theory.Place, bool) {
	tuning := tuningOf(p.Settings.Line)
	midi -= p.Settings.Cejilla
	if at != nil {
		for _, h := range p.Settings.Line.Held {
			s := h.Place.String
			if h.Position.Compare(*at) == 0 && s >= 1 && s <= 6 && tuning[s-1]+h.Place.Fret == midi {
				return h.Place, true
			}
		}
	}
	return tuning.Place(midi)
}
