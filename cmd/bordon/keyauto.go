package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"bordon/listen"
	"bordon/listen/decode"
	"bordon/listen/forms"
	"bordon/listen/grid"
	"bordon/listen/tonality"
	"bordon/theory"
	"bordon/ui"
)

// autoKey is the --key that is named from the sound.
const autoKey = "auto"

// settingsFor gives the settings that a file is judged with, and what is to be
// said of how they were found; "" for nothing.
type settingsFor func(ctx context.Context, file string) (set listen.Settings, said string, err error)

// the same settings for every file.
func the(set listen.Settings) settingsFor {
	return func(context.Context, string) (listen.Settings, string, error) { return set, "", nil }
}

// perFile gives the settings of each file, the key named from its sound where
// that is asked for. complete sets what the flags do not say. What is wrong with
// the flags is told before any sound is heard.
func (f *musicFlags) perFile(complete func(*listen.Settings)) (settingsFor, error) {
	auto := *f
	if f.key == autoKey {
		f.key = defaultKey
	}
	set, err := f.settings()
	if err != nil {
		return nil, err
	}
	complete(&set)
	if err := validate(set); err != nil {
		return nil, err
	}
	if auto.key == autoKey {
		return auto.named(complete), nil
	}
	return the(set), nil
}

// named are settings whose key each file's sound names. complete sets what the
// flags do not say. The beats help, given or found.
func (f musicFlags) named(complete func(*listen.Settings)) settingsFor {
	return func(ctx context.Context, file string) (set listen.Settings, said string, err error) {
		err = ui.Guard(func() error {
			set, said, err = f.nameKey(ctx, file, complete)
			return err
		})
		return set, said, err
	}
}

// nameKey is named for one file. f is a copy.
func (f musicFlags) nameKey(ctx context.Context, file string, complete func(*listen.Settings)) (set listen.Settings, said string, err error) {
	form, err := forms.Lookup("", f.form)
	if err != nil {
		return set, "", err
	}
	heard, err := listenThrough(ctx, file, f.a4)
	if err != nil {
		return set, "", err
	}
	complete(&set)
	var keys []tonality.Reading
	if set.Find != nil {
		keys = tonality.NameFree(heard, form, *set.Find)
	} else {
		beats, err := grid.New(heard.Rate, f.tempo, set.FirstBeat, form.Lengths)
		if err != nil {
			return set, "", err
		}
		keys = tonality.Name(heard, form, beats, int64(set.Delay*float64(heard.Rate)/1000))
	}
	switch {
	case len(keys) == 0:
		return set, "", fmt.Errorf("nothing that tells a key was heard in %q; say which it is with --key", file)
	case keys[0].Confidence < tonality.Clear:
		return set, "", fmt.Errorf("the key of %q is %s or %s, and the sound does not tell which; say it with --key", file,
			language.Key(keys[0].Key), language.Key(keys[1].Key))
	}
	sounding := keys[0].Key
	f.key = listen.Fingered(sounding, f.cejilla, form.Name).String()
	if set, err = f.settings(); err != nil {
		return set, "", err
	}
	complete(&set)
	said = language.KeyHeard(printable(file), sounding)
	if best := theory.Fingerings(sounding, form.Name); !f.has("cejilla") && best[0].Habitual && best[0].Cejilla > 0 && !habitual(best, 0) {
		said += " " + language.AskCejilla(best[0])
	}
	if f.chosen != "" {
		said += " " + f.chosen
	}
	return set, said, nil
}

// habitual reports whether a fingering with that cejilla is.
func habitual(all []theory.Fingering, cejilla int) bool {
	for _, f := range all {
		if f.Cejilla == cejilla {
			return f.Habitual
		}
	}
	return false
}

// listenThrough hears a file for its key.
func listenThrough(ctx context.Context, file string, a4 float64) (tonality.Heard, error) {
	r, err := decode.Open(ctx, file)
	if err != nil {
		return tonality.Heard{}, err
	}
	defer r.Close()
	l, err := tonality.Listen(r.Rate(), a4)
	if err != nil {
		return tonality.Heard{}, fmt.Errorf("judging %q: %w", file, err)
	}
	buf := make([]float32, 4096)
	for {
		n, lost, err := r.Read(ctx, buf)
		l.Lose(lost)
		l.Write(buf[:n])
		switch {
		case errors.Is(err, io.EOF) || ctx.Err() != nil:
			return l.Close(), nil
		case err != nil:
			return tonality.Heard{}, err
		}
	}
}
