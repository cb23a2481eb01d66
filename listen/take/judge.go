package take

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"time"

	"bordon/listen"
	"bordon/listen/decode"
	"bordon/listen/match"
)

// Words are what is said of verdicts; either may be nil.
type Words struct {
	Reason func(match.Verdict, listen.Settings) string
	Cues   func(*listen.Session) []Cue // for an editor of sound
}

// Judge judges the take's sound again, from its file and its stored settings
// and delay. The verdicts are those that were given live, to the sample, unless
// the ear or the judge has changed since.
func (s *Stored) Judge(ctx context.Context, w Words) (*listen.Session, error) {
	set, err := s.Settings(w.Reason)
	if err != nil {
		return nil, err
	}
	if err := plain(s.WAV()); err != nil {
		return nil, err
	}
	if set.Find != nil {
		return s.judgeFree(ctx, set)
	}
	session, err := listen.NewSession(set, s.Take.Settings.Rate)
	if err != nil {
		return nil, fmt.Errorf("the settings of the take %q cannot be used: %w", s.ID, err)
	}
	if st, err := os.Stat(s.WAV()); err == nil && st.Size() == headerSize { // it was ended before the first sample
		session.Close()
		return session, nil
	}
	r, err := decode.Open(ctx, s.WAV())
	if err != nil {
		return nil, err
	}
	defer r.Close()
	if err := listen.Run(ctx, listen.WithGaps(r, s.Gaps()), nil, session, nil); err != nil {
		return nil, fmt.Errorf("judging the take %q: %w", s.ID, err)
	}
	if ctx.Err() != nil {
		return nil, errors.New("stopped before the end; nothing was judged")
	}
	return session, nil
}

// judgeFree judges a take whose beats were found in its sound. Where none are
// found nothing is judged, as it was then.
func (s *Stored) judgeFree(ctx context.Context, set listen.Settings) (*listen.Session, error) {
	free, err := listen.NewFree(set, *set.Find, s.Take.Settings.Rate)
	if err != nil {
		return nil, fmt.Errorf("the settings of the take %q cannot be used: %w", s.ID, err)
	}
	if st, err := os.Stat(s.WAV()); err == nil && st.Size() == headerSize {
		return free.Unjudged()
	}
	r, err := decode.Open(ctx, s.WAV())
	if err != nil {
		return nil, err
	}
	defer r.Close()
	if err := listen.Run(ctx, listen.WithGaps(r, s.Gaps()), nil, free, nil); err != nil {
		return nil, fmt.Errorf("judging the take %q: %w", s.ID, err)
	}
	if ctx.Err() != nil {
		return nil, errors.New("stopped before the end; nothing was judged")
	}
	if session, err := free.JudgeAny(); err == nil {
		return session, nil
	}
	return free.Unjudged()
}

// Differs tells what two checks of one sound say differently: the numbers in a
// and b of the verdicts that do, -1 where the other has none, in order. Reasons
// are words and do not count.
func Differs(a, b listen.Check) (pairs [][2]int) {
	type place struct {
		turn int
		beat string
	}
	at := map[place]int{}
	for i, x := range b.Beats {
		at[place{x.Turn, x.Beat}] = i
	}
	for i, x := range a.Beats {
		j, ok := at[place{x.Turn, x.Beat}]
		if !ok {
			pairs = append(pairs, [2]int{i, -1})
			continue
		}
		delete(at, place{x.Turn, x.Beat})
		y := b.Beats[j]
		x.Reason, y.Reason = "", ""
		if !reflect.DeepEqual(x, y) {
			pairs = append(pairs, [2]int{i, j})
		}
	}
	for j, x := range b.Beats {
		if _, left := at[place{x.Turn, x.Beat}]; left {
			pairs = append(pairs, [2]int{-1, j})
		}
	}
	return pairs
}

// Recheck judges the take again and keeps what a newer ear says differently
// beside the take's own verdicts, never in their place. It reports whether
// anything differs.
func (s *Stored) Recheck(ctx context.Context, w Words) (differs bool, err error) {
	session, err := s.Judge(ctx, w)
	if err != nil {
		return false, err
	}
	now := session.Check(s.Take.Check.File)
	path := filepath.Join(s.Dir, NewerName)
	if len(Differs(s.Take.Check, now)) == 0 && sameExtras(s.Take.Check, now) {
		s.Newer = nil
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return false, fmt.Errorf("cannot take an outdated check away: %w", err)
		}
		return false, nil
	}
	if err := WriteJSON(path, now); err != nil {
		return true, err
	}
	s.Newer = &now
	return true, nil
}

func sameExtras(a, b listen.Check) bool {
	if len(a.Extra) != len(b.Extra) {
		return false
	}
	for i := range a.Extra {
		if a.Extra[i] != b.Extra[i] {
			return false
		}
	}
	return true
}

// Import makes a take of a recording, judged with set, the beats found in its
// sound where set says so; no take is made where no compás is found. started is
// when it began.
func Import(ctx context.Context, root, file string, set listen.Settings, started time.Time, w Words) (s *Stored, err error) {
	r, err := decode.Open(ctx, file)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	set.Reason = w.Reason
	judge, err := importing(set, r.Rate())
	if err != nil {
		return nil, fmt.Errorf("judging %q: %w", file, err)
	}
	session, err := judge.before()
	if err != nil {
		return nil, fmt.Errorf("judging %q: %w", file, err)
	}
	rec, err := Record(root, started, set.Key.String(), r.Rate())
	if err != nil {
		return nil, err
	}
	devices := listen.Devices{Input: "file: " + filepath.Base(file)}
	err = rec.WriteJSON(session.Take(started, devices, WAVName))
	if err == nil {
		err = listen.Run(ctx, r, rec, judge, nil)
	}
	if err == nil && ctx.Err() != nil {
		err = errors.New("stopped before the end; no take was made")
	}
	if err == nil {
		session, err = judge.after()
	}
	if err != nil {
		rec.Close()
		return nil, errors.Join(fmt.Errorf("importing %q: %w", file, err), Delete(root, filepath.Base(rec.Dir())))
	}
	if err := rec.Finish(session.Take(started, devices, WAVName), w.cues(session)); err != nil {
		return nil, err
	}
	return Load(rec.Dir())
}

// judging is what hears a recording and judges it, at once or at its end.
type judging struct {
	listen.Hearer
	before, after func() (*listen.Session, error)
}

func importing(set listen.Settings, rate int) (judging, error) {
	if set.Find != nil {
		free, err := listen.NewFree(set, *set.Find, rate)
		if err != nil {
			return judging{}, err
		}
		return judging{free, free.Unjudged, free.JudgeAny}, nil
	}
	s, err := listen.NewSession(set, rate)
	it := func() (*listen.Session, error) { return s, nil }
	return judging{s, it, it}, err
}

func (w Words) cues(s *listen.Session) []Cue {
	if w.Cues == nil {
		return nil
	}
	return w.Cues(s)
}
