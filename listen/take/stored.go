package take

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"

	"bordon/listen"
	"bordon/listen/grid"
	"bordon/listen/match"
)

// Stored is a take as it lies on disk.
type Stored struct {
	ID     string // the folder's name
	Dir    string
	Take   listen.Take
	Player Player        // what the player says of it
	Newer  *listen.Check // what a later ear says, where that differs; nil where none did
}

// NewerName is the file with the verdicts of a later check that differ from
// those of the take.
const NewerName = "newer.json"

// ReportName is the file of a take's report.
const ReportName = "report.html"

// WAV is the path of the sound.
func (s *Stored) WAV() string { return filepath.Join(s.Dir, WAVName) }

// maxJSON bounds what is read of a file, in bytes: a day of playing.
const maxJSON = 64 << 20

// Gaps are the places of the sound where samples were lost.
func (s *Stored) Gaps() []listen.Gap {
	var gaps []listen.Gap
	for _, g := range s.Take.Gaps {
		gaps = append(gaps, g.Gap(s.Take.Settings.Rate))
	}
	return gaps
}

// Load reads the take in a folder. The error is one sentence that names the
// folder.
func Load(dir string) (*Stored, error) {
	s := &Stored{ID: filepath.Base(filepath.Clean(dir)), Dir: dir}
	if st, err := os.Lstat(dir); errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("there is no take in %q", dir)
	} else if err != nil {
		return nil, fmt.Errorf("cannot open the take in %q: %w", dir, err)
	} else if !st.IsDir() {
		return nil, fmt.Errorf("%q is not the folder of a take", dir)
	}
	if err := readJSON(filepath.Join(dir, JSONName), &s.Take); err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("%q has no %s, so it is no take; takes import makes one of a recording", dir, JSONName)
		}
		return nil, err
	}
	if s.Take.Schema != listen.TakeSchema {
		return nil, fmt.Errorf("%q is described as %q and this program reads %s", dir, short(s.Take.Schema), listen.TakeSchema)
	}
	if r := s.Take.Settings.Rate; r < grid.MinRate || r > grid.MaxRate {
		return nil, fmt.Errorf("the take in %q is damaged: it has %d samples a second", dir, r)
	}
	if err := checkBeats(&s.Take.Check); err != nil {
		return nil, fmt.Errorf("the take in %q is damaged: %w", dir, err)
	}
	var err error
	if s.Player, err = readPlayer(dir); err != nil {
		return nil, err
	}
	var newer listen.Check
	switch err := readJSON(filepath.Join(dir, NewerName), &newer); {
	case err == nil && newer.Schema == listen.CheckSchema && checkBeats(&newer) == nil:
		s.Newer = &newer
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return nil, err
	}
	return s, nil
}

// checkBeats refuses numbers that no judge writes.
func checkBeats(c *listen.Check) error {
	const longest = 1e6 // seconds
	for i := range c.Beats {
		b := &c.Beats[i]
		switch {
		case b.Turn < 1 || b.Turn > listen.MaxTurns:
			return fmt.Errorf("it has a verdict in turn %d", b.Turn)
		case !(math.Abs(b.Time) < longest) || b.Heard != nil && !(math.Abs(b.Heard.Time) < longest):
			return fmt.Errorf("it has a verdict at %g s", b.Time)
		case b.Offset != nil && !(math.Abs(*b.Offset) < longest):
			return fmt.Errorf("it has an offset of %g ms", *b.Offset)
		}
	}
	return nil
}

// readJSON reads a plain file of at most maxJSON bytes.
func readJSON(path string, v any) error {
	if err := plain(path); err != nil {
		return err
	}
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("cannot read %q: %w", path, err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, maxJSON+1))
	switch {
	case err != nil:
		return fmt.Errorf("cannot read %q: %w", path, err)
	case len(b) > maxJSON:
		return fmt.Errorf("%q is larger than %d MiB, so it does not describe a take", path, maxJSON>>20)
	}
	if err := json.Unmarshal(b, v); err != nil {
		return fmt.Errorf("cannot read %q: it is damaged (%w)", path, err)
	}
	return nil
}

// plain refuses what is not a file of its own: a link could lead elsewhere,
// a pipe would be waited for.
func plain(path string) error {
	st, err := os.Lstat(path)
	if err != nil {
		return fmt.Errorf("cannot read %q: %w", path, err)
	}
	if !st.Mode().IsRegular() {
		return fmt.Errorf("%q is not a plain file, so it is not read", path)
	}
	return nil
}

func short(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}

// Settings are those that the take was judged with. reason words verdicts; nil
// leaves them without.
func (s *Stored) Settings(reason func(match.Verdict, listen.Settings) string) (listen.Settings, error) {
	set, err := settings(s.Take)
	if err != nil {
		return set, fmt.Errorf("the settings of the take %q cannot be used: %w", s.ID, err)
	}
	set.Reason = reason
	return set, nil
}

func settings(t listen.Take) (listen.Settings, error) {
	w := t.Settings
	key, form, line, err := w.Music()
	if err != nil {
		return listen.Settings{}, err
	}
	set := listen.Settings{
		Key: key, Form: form, Line: line, LineText: w.Line, Tempo: w.Tempo, FirstBeat: w.FirstBeat, Cejilla: w.Cejilla,
		A4: w.A4, Tolerance: match.Tolerance(w.Tolerance), Turns: w.Turns, Exact: w.Exact, Planned: w.PlanTurns > 0, Tempos: w.Tempos,
	}
	if w.Follow {
		set.Find, set.Followed = w.Given.Options(), followed(t)
	}
	if t.Delay != nil {
		set.Delay, set.DelayKnown = *t.Delay, true
	}
	return set, set.Validate()
}

// followed is the grid through the beats that were found in a take; nil where
// none were.
func followed(t listen.Take) *grid.Followed {
	if t.Check.Grid == nil {
		return nil
	}
	turns := 1
	if _, form, _, err := t.Settings.Music(); err == nil {
		turns = form.Beats
	}
	var knots []grid.Knot
	for _, seg := range t.Check.Grid.Segments {
		for _, b := range seg.Beats {
			knots = append(knots, grid.Knot{Beat: float64((b.Turn-1)*turns + b.Beat - 1), Sample: b.Time * float64(t.Settings.Rate)})
		}
	}
	g, err := grid.NewFollowed(knots, 0)
	if err != nil { // it was not written so: the verdicts stand without it
		return nil
	}
	return g
}

// Pick finds a take by what a player calls it: its ID, the beginning of one
// that no other shares, "last" for the newest; or the path of a folder, with a
// separator in it, such as ./2030-01-01T10-00-00-G. root "" stands for Root.
func Pick(root, name string) (*Stored, error) {
	if strings.ContainsRune(name, '/') || strings.ContainsRune(name, filepath.Separator) {
		return Load(name)
	}
	id, err := Find(root, name)
	if err != nil {
		return nil, err
	}
	return Load(filepath.Join(rootOf(root), id))
}

func rootOf(root string) string {
	if root == "" {
		return Root()
	}
	return root
}

// Last is the name of the newest take.
const Last = "last"

// Find returns the ID of the take of that name, see Pick. It knows no paths:
// what it returns is the name of a folder right under root.
func Find(root, name string) (string, error) {
	ids, err := IDs(root)
	if err != nil {
		return "", err
	}
	if len(ids) == 0 {
		return "", errors.New("there are no takes yet; bordon listen keeps one, bordon takes import makes one of a recording")
	}
	if name == Last {
		return ids[len(ids)-1], nil
	}
	var found []string
	for _, id := range ids {
		if id == name {
			return id, nil
		}
		if name != "" && strings.HasPrefix(id, name) {
			found = append(found, id)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return "", fmt.Errorf("there is no take %q; the nearest is %s, and bordon takes lists them all", short(name), nearestID(name, ids))
	}
	return "", fmt.Errorf("%d takes begin with %q, such as %s; write more of the one", len(found), short(name), found[len(found)-1])
}

// IDs are the names of the folders that have a description, oldest first.
func IDs(root string) ([]string, error) {
	all, err := folders(rootOf(root))
	if err != nil {
		return nil, err
	}
	ids := all[:0]
	for _, id := range all {
		if st, err := os.Lstat(filepath.Join(rootOf(root), id, JSONName)); err == nil && st.Mode().IsRegular() {
			ids = append(ids, id)
		}
	}
	return ids, nil
}

// folders are the names of all folders under root, in order; links are none.
func folders(root string) ([]string, error) {
	entries, err := os.ReadDir(root) // sorted: the names begin with the time
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("cannot list the takes: %w", err)
	}
	var names []string
	for _, e := range entries {
		if e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return names, nil
}

// nearestID is the one that takes the fewest changes of a letter to reach.
func nearestID(name string, ids []string) string {
	r := []rune(name)
	r = r[:min(len(r), 100)]
	best, least := ids[len(ids)-1], math.MaxInt
	for i := len(ids) - 1; i >= max(0, len(ids)-2000); i-- {
		if d := distance(r, []rune(ids[i])); d < least {
			best, least = ids[i], d
		}
	}
	return best
}

// distance counts the letters to change, add or take away between a and b
// (Levenshtein, Soviet Physics Doklady 10, 1966).
func distance(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range a {
		before := row[0]
		row[0] = i + 1
		for j, y := range b {
			change := before
			if x != y {
				change++
			}
			before = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// Delete removes the take of an ID, with all that is in its folder, and
// nothing outside root.
func Delete(root, id string) error {
	r, err := os.OpenRoot(rootOf(root))
	if err != nil {
		return fmt.Errorf("cannot delete the take %q: %w", short(id), err)
	}
	defer r.Close()
	if id != filepath.Base(id) || id == "." || id == ".." || id == "" {
		return fmt.Errorf("cannot delete %q: it is not the ID of a take", short(id))
	}
	if m, err := os.Lstat(filepath.Join(rootOf(root), id, markerName)); err == nil && m.Mode().IsRegular() {
		held, err := adopt(filepath.Join(rootOf(root), id))
		if err != nil || held == nil {
			return fmt.Errorf("the take %q is being recorded; end that first", short(id))
		}
		held.release()
	}
	if err := r.RemoveAll(id); err != nil {
		return fmt.Errorf("cannot delete the take %q: %w", short(id), err)
	}
	return nil
}
