package take

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bordon/listen"
	"bordon/listen/match"
)

// Entry is what a list of takes and the progress over them need of one take.
// The player's rulings are counted in.
type Entry struct {
	ID      string       `json:"id"`
	Started string       `json:"started"` // RFC 3339
	Key     string       `json:"key"`
	Cejilla int          `json:"cejilla"`
	Form    string       `json:"form"`
	Line    string       `json:"line"` // as written
	Tempo   float64      `json:"tempo_bpm"`
	Turns   int          `json:"turns"` // the last that was judged
	Score   listen.Score `json:"score"`
	Beats   []Count      `json:"beats"` // for each position of the line, in order

	Stamp [2]stamp `json:"stamp"` // of take.json and player.json
}

// Count is how one beat of the line went in a take.
type Count struct {
	Beat       string `json:"b"` // as written in the line
	Right      int    `json:"r"` // right, and neither early nor late
	Octave     int    `json:"o,omitempty"`
	InScale    int    `json:"i,omitempty"`
	OutOfScale int    `json:"x,omitempty"`
	Missing    int    `json:"m,omitempty"`
	Early      int    `json:"e,omitempty"` // right, and early
	Late       int    `json:"l,omitempty"`
	Unsure     int    `json:"u,omitempty"` // counts neither for nor against
}

// Judged is how many notes count.
func (c Count) Judged() int {
	return c.Right + c.Octave + c.InScale + c.OutOfScale + c.Missing + c.Early + c.Late
}

func (c *Count) add(d Count) {
	c.Right += d.Right
	c.Octave += d.Octave
	c.InScale += d.InScale
	c.OutOfScale += d.OutOfScale
	c.Missing += d.Missing
	c.Early += d.Early
	c.Late += d.Late
	c.Unsure += d.Unsure
}

// stamp tells one state of a file from another.
type stamp struct {
	Time int64 `json:"t"` // of its last change, ns since 1970
	Size int64 `json:"n"` // bytes; -1 where there is no file
}

func stampOf(path string) stamp {
	st, err := os.Lstat(path)
	if err != nil || !st.Mode().IsRegular() {
		return stamp{Size: -1}
	}
	return stamp{st.ModTime().UnixNano(), st.Size()}
}

// indexName is the file beside the takes that holds their entries. It is made
// anew where it is missing, damaged or of another version, and entry by entry
// where a folder has changed: the folders are the truth.
const indexName = "index.json"

const indexSchema = "bordon-index/1"

type index struct {
	Schema string  `json:"schema"`
	Takes  []Entry `json:"takes"`
}

// History are the entries of all takes under root, oldest first. Problems are
// sentences on folders that could not be read; they keep nobody from the rest.
func History(root string) (entries []Entry, problems []error, err error) {
	root = rootOf(root)
	names, err := folders(root)
	if err != nil {
		return nil, nil, err
	}
	known := readIndex(root)
	changed := false
	entries = make([]Entry, 0, len(names))
	for _, id := range names {
		dir := filepath.Join(root, id)
		now := [2]stamp{stampOf(filepath.Join(dir, JSONName)), stampOf(filepath.Join(dir, PlayerName))}
		if now[0].Size < 0 {
			continue // no take, or not yet one
		}
		if e, ok := known[id]; ok && e.Stamp == now {
			entries = append(entries, *e)
			continue
		}
		changed = true
		s, err := Load(dir)
		if err != nil {
			problems = append(problems, err)
			continue
		}
		e := s.Entry()
		e.Stamp = now
		entries = append(entries, e)
	}
	if changed || len(entries) != len(known) {
		// An index that cannot be kept only costs time.
		if b, err := json.Marshal(index{indexSchema, entries}); err == nil && len(entries) > 0 {
			_ = WriteFile(filepath.Join(root, indexName), b)
		}
	}
	return entries, problems, nil
}

func readIndex(root string) map[string]*Entry {
	var x index
	path := filepath.Join(root, indexName)
	if err := readJSON(path, &x); err != nil || x.Schema != indexSchema {
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			os.Remove(path)
		}
		return nil
	}
	known := make(map[string]*Entry, len(x.Takes))
	for i := range x.Takes {
		known[x.Takes[i].ID] = &x.Takes[i]
	}
	return known
}

// Entry is what a list says of the take.
func (s *Stored) Entry() Entry {
	w := &s.Take.Settings
	e := Entry{
		ID: s.ID, Started: s.Take.Started, Key: w.Key, Cejilla: w.Cejilla, Form: w.Form, Line: w.Line, Tempo: w.Tempo,
		Score: s.Score(), Beats: []Count{},
	}
	at := map[string]int{}
	for _, b := range s.Beats() {
		e.Turns = max(e.Turns, b.Turn)
		i, ok := at[b.Beat]
		if !ok {
			i = len(e.Beats)
			at[b.Beat] = i
			e.Beats = append(e.Beats, Count{Beat: b.Beat})
		}
		e.Beats[i].count(b)
	}
	return e
}

func (c *Count) count(b listen.Beat) {
	switch b.Pitch {
	case match.Right:
		switch {
		case b.Timing != nil && *b.Timing == match.Early:
			c.Early++
		case b.Timing != nil && *b.Timing == match.Late:
			c.Late++
		default:
			c.Right++
		}
	case match.Octave:
		c.Octave++
	case match.InScale:
		c.InScale++
	case match.OutOfScale:
		c.OutOfScale++
	case match.Missing:
		c.Missing++
	case match.Unsure:
		c.Unsure++
	}
}

// When is when the take began; the zero time where its description is damaged.
func (e *Entry) When() time.Time {
	t, err := time.Parse(time.RFC3339, e.Started)
	if err != nil {
		return time.Time{}
	}
	return t
}

// Filter chooses among takes. What is zero chooses all, of Cejilla what is
// negative.
type Filter struct {
	Key, Form, Line  string // as a take has them; of Line a part is enough
	Cejilla          int
	Since, Until     time.Time // Until itself is not chosen
	Slowest, Fastest float64   // beats a minute
}

// Chosen are the entries that pass.
func (f Filter) Chosen(entries []Entry) []Entry {
	var kept []Entry
	for _, e := range entries {
		switch {
		case f.Key != "" && e.Key != f.Key,
			f.Form != "" && e.Form != f.Form,
			f.Line != "" && !strings.Contains(e.Line, f.Line),
			f.Cejilla >= 0 && e.Cejilla != f.Cejilla,
			f.Slowest > 0 && e.Tempo < f.Slowest,
			f.Fastest > 0 && e.Tempo > f.Fastest,
			!f.Since.IsZero() && e.When().Before(f.Since),
			!f.Until.IsZero() && !e.When().Before(f.Until):
			continue
		}
		kept = append(kept, e)
	}
	return kept
}
