package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"bordon/listen"
	"bordon/listen/class"
	"bordon/listen/decode"
)

// classJob judges the recordings of a folder.
type classJob struct {
	folder *class.Folder
	music  *musicFlags // what the command line says for all
	first  *float64    // the first beat, in seconds; nil where the command line does not say it
	delay  delay
	out    string // folder for pages; "" for none
}

// row judges one recording, as check does. What is wrong with the recording or
// with what is said of it stands in the row; the error is of the pages' folder.
func (j *classJob) row(ctx context.Context, g *class.Given, heard func(done, total int64)) (class.Row, error) {
	r := class.NewRow(g)
	if g.Err != nil {
		r.Error = g.Err.Error()
		return r, nil
	}
	key, cejilla := j.has(g, class.Key), j.has(g, class.Cejilla)
	switch { // the sound tells the key, but not how it was fingered
	case !key && !cejilla && len(g.Doubt[class.Key]) == 0:
		r.Ask(g, class.Key)
	case key && !cejilla && j.key(g) == class.Auto && len(g.Doubt[class.Cejilla]) == 0:
		r.Ask(g, class.Cejilla)
	}
	for c := class.Key; c <= class.Form; c++ {
		if len(g.Doubt[c]) > 0 {
			r.Ask(g, c)
		}
	}
	if len(r.Asks) > 0 {
		return r, nil
	}
	path := j.folder.Path(g)
	set, err := j.settings(ctx, g)
	if err == nil {
		err = validate(set)
	}
	if err != nil {
		r.Error = reasonOf(err, path, g.Of(class.File))
		return r, nil
	}
	c := guardedCheck(ctx, set, path, heard)
	if t := c.check.Undecided; c.err == nil && t != nil { // a row is a score, or none
		c.err = t.Err()
	}
	if c.err != nil {
		r.Error = reasonOf(c.err, path, g.Of(class.File))
		j.askForBeats(&r, g, c.err)
		return r, nil
	}
	r.Truncated = c.notice != ""
	r.KeyHeard = j.key(g) == class.Auto
	r.Judge(c.check, cejilla)
	if j.out == "" || !r.Judged() {
		return r, nil
	}
	return r, j.page(ctx, g, set, c)
}

// says reports whether the command line says something for all.
func (j *classJob) says(c class.Column) bool {
	if c == class.FirstBeat {
		return j.first != nil
	}
	return j.music.has(c.String())
}

// askForBeats asks for what would help where no compás was found, or two were.
func (j *classJob) askForBeats(r *class.Row, g *class.Given, err error) {
	var none *listen.NoCompas
	var two *listen.Undecided
	if !errors.As(err, &none) && !errors.As(err, &two) {
		return
	}
	for _, c := range []class.Column{class.Cejilla, class.Tempo, class.FirstBeat} {
		if !j.has(g, c) {
			r.Ask(g, c)
		}
	}
}

// has reports whether anybody says something of a recording.
func (j *classJob) has(g *class.Given, c class.Column) bool { return g.Of(c) != "" || j.says(c) }

// key is the key as it is said; where nobody says it the sound is to name it.
func (j *classJob) key(g *class.Given) string {
	switch {
	case g.Of(class.Key) != "":
		return g.Of(class.Key)
	case j.says(class.Key):
		return j.music.key
	}
	return class.Auto
}

// usable says what is wrong with what the command line says for all.
func (j *classJob) usable(ctx context.Context) error {
	var g class.Given
	if !j.says(class.Key) || j.music.key == class.Auto {
		g.Set(class.Key, class.Key.Such())
	}
	set, err := j.settings(ctx, &g)
	if err == nil {
		err = validate(set)
	}
	return err
}

// settings are those of the command line with what is said of the recording.
func (j *classJob) settings(ctx context.Context, g *class.Given) (listen.Settings, error) {
	f := *j.music
	f.flags = j.given(g)
	f.key, f.chosen = j.key(g), ""
	for c, to := range map[class.Column]*string{class.Form: &f.form, class.Line: &f.line} {
		if s := g.Of(c); s != "" {
			*to = s
		}
	}
	if s := g.Of(class.Cejilla); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil {
			return listen.Settings{}, fmt.Errorf("the cejilla %q is no fret; write a number such as %s", middle(s, 40), class.Cejilla.Such())
		}
		f.cejilla = n
	}
	first := 0.0
	if j.first != nil {
		first = *j.first
	}
	for c, to := range map[class.Column]*float64{class.Tempo: &f.tempo, class.FirstBeat: &first} {
		s := g.Of(c)
		if s == "" {
			continue
		}
		v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return listen.Settings{}, fmt.Errorf("the %v %q is no number; write one such as %s", c, middle(s, 40), c.Such())
		}
		*to = v
	}
	complete := func(set *listen.Settings) {
		set.FirstBeat, set.Delay, set.DelayKnown = first, j.delay.ms, j.delay.known
		f.find(set)
	}
	if f.key == class.Auto {
		set, _, err := f.named(complete)(ctx, j.folder.Path(g))
		return set, err
	}
	set, err := f.settings()
	complete(&set)
	return set, err
}

// given are the flags as they would be had all been said on the command line.
func (j *classJob) given(g *class.Given) *pflag.FlagSet {
	fs := pflag.NewFlagSet("", pflag.ContinueOnError)
	for c := class.Key; c <= class.Line; c++ {
		fs.String(c.String(), "", "")
		if j.has(g, c) {
			must(fs.Set(c.String(), g.Of(c)))
		}
	}
	return fs
}

// reasonOf is what was wrong with a recording, without where it lies.
func reasonOf(err error, path, file string) string {
	var f *decode.FileError
	if errors.As(err, &f) {
		return oneLine(errors.New(f.Reason))
	}
	said, _ := strings.CutPrefix(err.Error(), "judging "+strconv.Quote(path)+": ")
	return oneLine(errors.New(strings.ReplaceAll(said, strconv.Quote(path), strconv.Quote(file))))
}
