package main

import (
	"context"
	"errors"
	"fmt"

	"bordon/listen"
	"bordon/listen/decode"
	"bordon/listen/grid"
)

// keyGiven says that the key is missing, which nobody can guess.
func (f *musicFlags) keyGiven() error {
	if !f.has("key") {
		return errors.New("there is no key; say what is played, such as --key G")
	}
	return nil
}

// find says in settings what is known of the pulse where the flags do not give
// all of it: the rest is looked for in the sound.
func (f *musicFlags) find(set *listen.Settings) {
	if f.has("tempo") && f.has("first-beat") {
		return
	}
	set.Find = &grid.Options{}
	if f.has("tempo") {
		set.Find.Tempo = f.tempo
		if f.tempo == 0 { // which would be as if it were not known
			set.Find.Tempo = -1
		}
	}
	if f.has("first-beat") {
		set.Find.FirstBeat, set.Find.FirstKnown = set.FirstBeat, true
	}
}

// hearFree finds the compás in one file and judges it.
func hearFree(ctx context.Context, set listen.Settings, r *decode.Reader, heard func(done, total int64)) (*listen.Session, error) {
	f, err := listen.NewFree(set, *set.Find, r.Rate())
	if err != nil {
		return nil, err
	}
	src := watched{Source: r, before: func() { heard(f.Heard(), r.Length()) }}
	if err := listen.Run(ctx, src, nil, f, nil); err != nil {
		return nil, err
	}
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	s, err := f.JudgeAny()
	var none *listen.NoCompas
	var two *listen.Undecided
	if errors.As(err, &none) || errors.As(err, &two) {
		if other := f.OtherKey(); other != nil {
			return nil, fmt.Errorf("%w; it sounds like %s, and --key %s was given", err, other.Key, set.Key)
		}
	}
	return s, err
}

// foundSaid are the sentences on a compás that was found in the sound.
func foundSaid(s *listen.Session) []string { return language.Found(s.Found()) }

// foundIn are those, and that it may be counted in two ways, of a take.
func foundIn(c *listen.Check) []string {
	if c.Undecided != nil {
		return language.TwoWays(c.Undecided)
	}
	return language.Found(c.Grid)
}
