package take

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"bordon/listen"
)

// CaseSchema is the name and version of a case's description.
const CaseSchema = "bordon-case/1"

// Case is a verdict that the player overruled, with the sound of its turn: a
// note that the ear got wrong.
type Case struct {
	Schema   string              `json:"schema"`
	File     string              `json:"file"` // the sound, beside the description
	Settings listen.TakeSettings `json:"settings"`
	Delay    *float64            `json:"delay_ms"`
	Start    float64             `json:"start_s"` // where the sound begins in the take's
	Ear      listen.Beat         `json:"ear"`     // times in the take's sound
	Player   Ruling              `json:"player"`
}

// The sound of a case begins two seconds before the first note, so that what rang on
// is there, and goes on as long after its last note.
const caseMargin = 2.0

// WriteCase writes what the player ruled as a case into a folder, which is made
// where it is missing, and returns the path of its description.
func (s *Stored) WriteCase(folder string, r Ruling) (path string, err error) {
	defer func() {
		if err != nil {
			err = fmt.Errorf("cannot write the case of turn %d, beat %s of %q: %w", r.Turn, r.Beat, s.ID, err)
		}
	}()
	b, err := s.beat(r.Turn, r.Beat)
	if err != nil {
		return "", err
	}
	set, err := s.Settings(nil)
	if err != nil {
		return "", err
	}
	// A line of several turns is cut whole.
	turns := max(set.Line.Turns, 1)
	first := (r.Turn-1)/turns*turns + 1
	from, to := b.Time, b.Time
	for _, x := range s.Take.Check.Beats {
		if x.Turn >= first && x.Turn < first+turns {
			from, to = min(from, x.Time), max(to, x.Time)
		}
	}
	rate := s.Take.Settings.Rate
	start := max(0, int64((from-caseMargin)*float64(rate)))
	end := int64((to + set.Delay/1000 + caseMargin) * float64(rate))
	c := Case{Schema: CaseSchema, Settings: s.Take.Settings, Delay: s.Take.Delay, Start: float64(start) / float64(rate), Ear: *b, Player: r}
	c.Settings.FirstBeat -= c.Start
	name := fmt.Sprintf("%s-turn%d-beat%s", s.ID, r.Turn, folderKey(r.Beat))
	c.File = name + ".wav"
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return "", err
	}
	if err := s.excerpt(filepath.Join(folder, c.File), start, end); err != nil {
		return "", err
	}
	path = filepath.Join(folder, name+".json")
	return path, WriteJSON(path, c)
}

// excerpt copies samples of the take's sound into a WAV file.
func (s *Stored) excerpt(path string, start, end int64) (err error) {
	x, err := s.Samples(start, end)
	if err != nil {
		return err
	}
	h := header(s.Take.Settings.Rate)
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if _, err := f.WriteAt(h[:], 0); err != nil {
		return err
	}
	b := encode(make([]byte, len(x)*bytesPerSample), x)
	if _, err := f.WriteAt(b, headerSize); err != nil {
		return err
	}
	return setTail(f, int64(len(b)), nil)
}

// maxExcerpt bounds what Samples takes into memory: twenty minutes at 48,000
// samples a second.
const maxExcerpt = 20 * 60 * 48000

// Samples are those of the take's sound from start up to end, or as many of
// them as there are.
func (s *Stored) Samples(start, end int64) ([]float32, error) {
	if start < 0 || end-start > maxExcerpt {
		return nil, fmt.Errorf("cannot take samples %d to %d of %q: an excerpt has at most %d", start, end, s.ID, maxExcerpt)
	}
	f, n, err := openWAV(s.WAV(), os.O_RDONLY)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	st, err := f.Stat()
	if err != nil {
		return nil, fmt.Errorf("cannot read the recording: %w", err)
	}
	end = min(end, min(n, st.Size()-headerSize)/bytesPerSample)
	if end <= start {
		return nil, nil
	}
	b := make([]byte, (end-start)*bytesPerSample)
	if _, err := f.ReadAt(b, headerSize+start*bytesPerSample); err != nil {
		return nil, fmt.Errorf("cannot read the recording: %w", err)
	}
	x := make([]float32, end-start)
	decodeInto(x, b)
	return x, nil
}
