package take

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"bordon/listen"
	"bordon/listen/match"
)

// PlayerSchema is the name and version of what Player is written as.
const PlayerSchema = "bordon-player/1"

// PlayerName is the file beside the take that holds what the player says: the
// only thing in the folder, beside the sound and its settings, that cannot be
// made again from them. A later check leaves it alone.
const PlayerName = "player.json"

// Player is what the player says of a take.
type Player struct {
	Schema  string   `json:"schema"`
	Note    string   `json:"note"`
	Rulings []Ruling `json:"rulings"` // in order of turn and beat, at most one for each note
}

// Ruling is a verdict that the player overruled. The player has the last word.
type Ruling struct {
	Turn  int        `json:"turn"`
	Beat  string     `json:"beat"`  // as written in the line
	Pitch match.Word `json:"pitch"` // what it was, as the player says
	Ear   match.Word `json:"ear"`   // what the ear had said of it then
	Why   string     `json:"why"`
	At    string     `json:"at"` // when it was said, RFC 3339
}

// The bounds of what a player writes.
const (
	MaxNote    = 10000 // bytes
	maxRulings = 100000
)

// PitchWords are the words that a verdict can be overruled with. A turn is
// ruled strummed beat by beat.
var PitchWords = []match.Word{match.Right, match.Octave, match.InScale, match.OutOfScale, match.Missing, match.Unsure, match.Strummed}

func readPlayer(dir string) (Player, error) {
	p := Player{Schema: PlayerSchema, Rulings: []Ruling{}}
	err := readJSON(filepath.Join(dir, PlayerName), &p)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return Player{Schema: PlayerSchema, Rulings: []Ruling{}}, nil
	case err != nil:
		return p, err
	case p.Schema != PlayerSchema:
		return p, fmt.Errorf("%q is a %q and this program reads %s", filepath.Join(dir, PlayerName), short(p.Schema), PlayerSchema)
	case len(p.Note) > MaxNote || len(p.Rulings) > maxRulings:
		return p, fmt.Errorf("%q is longer than a player writes", filepath.Join(dir, PlayerName))
	}
	for _, r := range p.Rulings {
		if !slices.Contains(PitchWords, r.Pitch) {
			return p, fmt.Errorf("%q rules a note %q, which is no verdict", filepath.Join(dir, PlayerName), short(string(r.Pitch)))
		}
	}
	return p, nil
}

// SetNote keeps a note with the take; "" takes it away.
func (s *Stored) SetNote(note string) error {
	switch {
	case len(note) > MaxNote:
		return fmt.Errorf("the note is %d bytes long; write one of at most %d", len(note), MaxNote)
	case !utf8.ValidString(note):
		return errors.New("the note is not readable text; write it in UTF-8")
	}
	return s.change(func(p *Player) error {
		p.Note = note
		return nil
	})
}

// Overrule puts the player's word over the ear's on one note: turn counts from
// 1, beat is written as in the line, at is when it was said. The page and the
// command line both call this.
func (s *Stored) Overrule(turn int, beat string, pitch match.Word, why string, at time.Time) error {
	b, err := s.beat(turn, beat)
	switch {
	case err != nil:
		return err
	case !slices.Contains(PitchWords, pitch):
		return fmt.Errorf("%q is no verdict; it must be one of %s", short(string(pitch)), words(PitchWords))
	case len(why) > MaxNote || !utf8.ValidString(why):
		return fmt.Errorf("the reason must be readable text of at most %d bytes", MaxNote)
	case b.Heard == nil && pitch != match.Right && pitch != match.Missing && pitch != match.Strummed && pitch != match.Unsure:
		return fmt.Errorf("nothing was heard on turn %d, beat %s, so it cannot have been %s; right, missing, unsure or strummed can be", turn, b.Beat, pitch)
	}
	r := Ruling{Turn: turn, Beat: b.Beat, Pitch: pitch, Ear: b.Pitch, Why: why, At: at.Format(time.RFC3339)}
	return s.change(func(p *Player) error {
		p.drop(turn, b.Beat)
		p.Rulings = append(p.Rulings, r)
		slices.SortStableFunc(p.Rulings, func(a, b Ruling) int {
			return cmp.Or(cmp.Compare(a.Turn, b.Turn), cmp.Compare(s.order(a.Turn, a.Beat), s.order(b.Turn, b.Beat)))
		})
		return nil
	})
}

// Uphold takes a ruling back: the ear's verdict stands again.
func (s *Stored) Uphold(turn int, beat string) error {
	b, err := s.beat(turn, beat)
	if err != nil {
		return err
	}
	return s.change(func(p *Player) error {
		if !p.drop(turn, b.Beat) {
			return fmt.Errorf("turn %d, beat %s was not overruled", turn, b.Beat)
		}
		return nil
	})
}

func (p *Player) drop(turn int, beat string) bool {
	n := len(p.Rulings)
	p.Rulings = slices.DeleteFunc(p.Rulings, func(r Ruling) bool { return r.Turn == turn && r.Beat == beat })
	return len(p.Rulings) < n
}

func words(all []match.Word) string {
	var s []string
	for _, w := range all {
		s = append(s, string(w))
	}
	return strings.Join(s[:len(s)-1], ", ") + " and " + s[len(s)-1]
}

// order is where a note stands among the verdicts.
func (s *Stored) order(turn int, beat string) int {
	for i, b := range s.Take.Check.Beats {
		if b.Turn == turn && b.Beat == beat {
			return i
		}
	}
	return len(s.Take.Check.Beats)
}

// beat finds a verdict. "8" finds beat 8 also where the line writes "2/8", if
// that is the only one in the turn.
func (s *Stored) beat(turn int, beat string) (*listen.Beat, error) {
	var there []string
	var found *listen.Beat
	for i := range s.Take.Check.Beats {
		b := &s.Take.Check.Beats[i]
		if b.Turn != turn {
			continue
		}
		if b.Beat == beat {
			return b, nil
		}
		if _, plain, ok := strings.Cut(b.Beat, "/"); ok && plain == beat {
			found = b
		}
		there = append(there, b.Beat)
	}
	switch {
	case found != nil:
		return found, nil
	case len(s.Take.Check.Beats) == 0:
		return nil, fmt.Errorf("the take %q has no verdicts", s.ID)
	case len(there) == 0:
		return nil, fmt.Errorf("the take %q has no verdict in turn %d; its last turn is %d", s.ID, turn, s.Take.Check.Beats[len(s.Take.Check.Beats)-1].Turn)
	}
	return nil, fmt.Errorf("the line asks for nothing on beat %q of turn %d; it asks on %s", short(beat), turn, strings.Join(there, ", "))
}

// change rewrites what the player says, whole. Two who do it at once wait for
// each other.
func (s *Stored) change(do func(*Player) error) error {
	f, err := os.OpenFile(filepath.Join(filepath.Dir(filepath.Clean(s.Dir)), ".lock"), os.O_RDWR|os.O_CREATE, 0o644)
	if err == nil {
		defer f.Close()
		if err := lock(f, true); err != nil {
			return fmt.Errorf("cannot change the take %q: %w", s.ID, err)
		}
	}
	p, err := readPlayer(s.Dir)
	if err != nil {
		return err
	}
	if err := do(&p); err != nil {
		return err
	}
	if err := WriteJSON(filepath.Join(s.Dir, PlayerName), p); err != nil {
		return err
	}
	s.Player = p
	return nil
}

// Beats are the take's verdicts with the player's rulings in place of the
// ear's. The caller owns them.
func (s *Stored) Beats() []listen.Beat {
	beats := slices.Clone(s.Take.Check.Beats)
	for _, r := range s.Player.Rulings {
		for i := range beats {
			if b := &beats[i]; b.Turn == r.Turn && b.Beat == r.Beat {
				b.Pitch = r.Pitch
				if !r.Pitch.Sworn() {
					b.Timing, b.Offset = nil, nil
				}
				if r.Pitch == match.Missing || r.Pitch == match.Strummed {
					b.Heard = nil
				}
			}
		}
	}
	return beats
}

// Rulings are all that the player overruled, in order of turn and beat. The
// caller owns them.
func (s *Stored) Rulings() []Ruling { return slices.Clone(s.Player.Rulings) }

// Ruling is the player's word on a note, nil where there is none.
func (s *Stored) Ruling(turn int, beat string) *Ruling {
	for i := range s.Player.Rulings {
		if r := &s.Player.Rulings[i]; r.Turn == turn && r.Beat == beat {
			return r
		}
	}
	return nil
}

// Score counts the verdicts, the player's rulings in place of the ear's.
func (s *Stored) Score() listen.Score {
	if len(s.Player.Rulings) == 0 {
		return s.Take.Check.Score
	}
	verdicts := make([]match.Verdict, 0, len(s.Take.Check.Beats))
	const rate = 1e6 // a sample a microsecond: offsets are kept to 0.1 ms
	for _, b := range s.Beats() {
		v := match.Verdict{Pitch: b.Pitch}
		if b.Timing != nil && b.Offset != nil {
			v.Timing, v.Offset = *b.Timing, int64(*b.Offset*rate/1000)
		}
		verdicts = append(verdicts, v)
	}
	return listen.ScoreOf(match.Count(verdicts, make([]match.Extra, len(s.Take.Check.Extra)), rate))
}
