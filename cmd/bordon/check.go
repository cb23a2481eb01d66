package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"bordon/listen"
	"bordon/listen/decode"
	"bordon/ui"
	"bordon/ui/page"
)

func (a *app) checkCommand() *cobra.Command {
	var f musicFlags
	var first float64
	delay := delay{known: true}
	var format string
	var class classFlags
	cmd := &cobra.Command{
		Use:   "check [flags] FILE...",
		Short: "Judge recordings",
		Long: `Judge the bass line of recordings: WAV and FLAC, and whatever else ffmpeg reads
where it is installed (what phones record, the sound of a video).

Where the beats are is found in the sound, from what was played, as the tempo
moves; timing is then told against the player's own pulse. Where two ways to count
are as likely neither is picked, and what holds in both is told. --tempo or
--first-beat narrows the search. With both the grid of beats is given: the tempo,
and the second at which beat 1 of the first turn falls, negative where the
recording starts after it. Several files are judged with the same settings and told
in the order given. The exit status is 1 if a file could not be judged.

With --key auto each file's key is named from what sounds; where it may be one or
another, both are named and nothing is judged.

With --summary a folder of recordings, a class's, is told in a row each. What is
played, and by whom, stands in the folder's manifest.csv, whose columns are file,
student, key, cejilla, tempo, first-beat, form and line, or in the file's name,
lucia-G-cejilla3-104-first1.84.m4a; the flags hold for what neither says.`,
		Example: `  bordon check --key F memo.m4a   # played free: the compás is found in the sound
  bordon check --key D --tempo 96 --first-beat 1.84 take.wav
  bordon check -k G -t 104 --first-beat 4 -l "7:B2 8:A2 9:F#2 10:G2" take.flac
  bordon check -k G --cejilla 3 -t 108 --first-beat 1.2 take.wav   # sounds in B flat
  bordon check -k por-medio --form solea -t 76 --first-beat 2 --format json *.wav
  bordon check -k auto -t 104 --first-beat 4 take.wav   # the key is named from the sound
  bordon check --summary --out pages class   # a row for each recording in the folder class`,
		Args: func(_ *cobra.Command, args []string) error {
			if err := class.right(args, format); err != nil || class.summary {
				return err
			}
			if len(args) == 0 {
				return errors.New("there is no file; name the recordings to judge")
			}
			return f.keyGiven()
		},
		RunE: func(cmd *cobra.Command, files []string) error {
			if class.summary {
				j := &classJob{music: &f, delay: delay}
				if cmd.Flags().Changed("first-beat") {
					j.first = &first
				}
				return a.summary(cmd.Context(), &class, j, files, format)
			}
			auto := f.key == autoKey
			of, err := f.perFile(func(set *listen.Settings) {
				set.FirstBeat, set.Delay, set.DelayKnown = first, delay.ms, delay.known
				f.find(set)
			})
			if err != nil {
				return err
			}
			err = a.check(cmd.Context(), of, files, format)
			if err == nil && f.chosen != "" && !auto {
				a.talk("%s", f.chosen)
			}
			return fail(err)
		},
	}
	f.defaults()
	f.add(cmd)
	fs := cmd.Flags()
	fs.Var(&number{to: &first, such: "seconds, such as 1.84"}, "first-beat", "second at which beat 1 of the first turn falls; may be negative")
	fs.Var(&delay, "delay", "delay of the recording in ms, taken off every onset; unknown: nothing is called early or late")
	format = checkFormats[0]
	fs.Var(&word{to: &format, words: checkFormats}, "format", "how to tell it; csv with --summary")
	class.add(cmd)
	complete(cmd, "format", checkFormats)
	complete(cmd, "first-beat", nil)
	complete(cmd, "delay", []string{unknown})
	return cmd
}

// checkFormats are how check tells; csv only of a class.
var checkFormats = append(formats[:len(formats):len(formats)], "csv")

func must(err error) {
	if err != nil {
		panic(err)
	}
}

// validate checks settings before any sound is there.
func validate(set listen.Settings) error {
	if set.Find != nil {
		_, err := listen.NewFree(set, *set.Find, 48000)
		return err
	}
	_, err := listen.NewSession(set, 48000)
	return err
}

// checked is what there is to say of one file.
type checked struct {
	check   listen.Check
	page    page.Page
	reasons []string
	notice  string // about the file, not about the playing
	said    string // of how the settings were found
	err     error
}

// check judges files, each with its settings, and tells of them in the order
// given.
func (a *app) check(ctx context.Context, of settingsFor, files []string, format string) error {
	results := make([]checked, len(files))
	bar := a.progress(len(files))
	jobs := make(chan int)
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(files)) {
		workers.Go(func() {
			for i := range jobs {
				set, said, err := of(ctx, files[i])
				if err != nil {
					results[i] = checked{err: err}
					continue
				}
				results[i] = guardedCheck(ctx, set, files[i], bar.file())
				results[i].said = said
			}
		})
	}
	for i := range files {
		jobs <- i
	}
	close(jobs)
	workers.Wait()
	bar.end()

	if err := ctx.Err(); err != nil {
		return errors.New("stopped before the end; nothing was judged")
	}
	bad := 0
	var first error
	for i, r := range results {
		if r.notice != "" {
			a.talk("bordon: %s", language.Problem(r.notice))
		}
		if r.said != "" && r.err == nil {
			a.talk("%s", r.said)
		}
		if r.err != nil {
			if bad++; first == nil {
				first = r.err
			}
			if len(files) > 1 {
				a.talk("bordon: %s", inWords(r.err))
			}
		}
		if format == "text" && r.err == nil {
			if i > 0 {
				fmt.Fprintln(a.stdout)
			}
			if err := writeText(a.stdout, files[i], r); err != nil {
				return err
			}
		}
	}
	if format == "json" {
		if err := writeJSON(a.stdout, files, results); err != nil {
			return err
		}
	}
	switch {
	case bad == 0:
		return nil
	case len(files) == 1:
		return first
	}
	return fmt.Errorf("%d of %d files could not be judged", bad, len(files))
}

// guardedCheck is checkFile with a panic told as an error of that file.
func guardedCheck(ctx context.Context, set listen.Settings, file string, heard func(done, total int64)) checked {
	var r checked
	err := ui.Guard(func() error {
		r = checkFile(ctx, set, file, heard)
		return nil
	})
	if err != nil {
		r = checked{err: fmt.Errorf("judging %q: %w", file, err)}
	}
	return r
}

// checkFile judges one file. heard is told how far it is, in samples.
func checkFile(ctx context.Context, set listen.Settings, file string, heard func(done, total int64)) checked {
	r, err := decode.Open(ctx, file)
	if err != nil {
		return checked{err: err}
	}
	defer r.Close()
	hear := hearGiven
	if set.Find != nil {
		hear = hearFree
	}
	s, err := hear(ctx, set, r, heard)
	if err != nil {
		return checked{err: fmt.Errorf("judging %q: %w", file, err)}
	}
	c := checked{check: s.Check(file), page: pageOf(s), reasons: reasonsOf(s)}
	c.page.Summary = append(foundSaid(s), summary(s)...)
	if r.Truncated() {
		c.notice = fmt.Sprintf("%q stops before the end that its header announces; it was judged as far as it goes", file)
	}
	return c
}

// hearGiven judges one file to the pulse that set gives.
func hearGiven(ctx context.Context, set listen.Settings, r *decode.Reader, heard func(done, total int64)) (*listen.Session, error) {
	s, err := listen.NewSession(set, r.Rate())
	if err != nil {
		return nil, err
	}
	src := watched{Source: r, before: func() { heard(s.Heard(), r.Length()) }}
	return s, listen.Run(ctx, src, nil, s, nil)
}

// watched calls before ahead of every read, on the goroutine that reads.
type watched struct {
	listen.Source
	before func()
}

func (w watched) Read(ctx context.Context, dst []float32) (int, int64, error) {
	w.before()
	return w.Source.Read(ctx, dst)
}

// pageOf is the page of a session that has ended.
func pageOf(s *listen.Session) page.Page {
	w := page.NewWriter(language, s.Settings(), s.Rate())
	for _, g := range s.Gaps() {
		w.Add(listen.Event{Kind: listen.GapFound, Gap: g})
	}
	for _, v := range s.Verdicts() {
		w.Add(listen.Event{Kind: listen.Final, Verdict: v})
	}
	for _, x := range s.Extras() {
		w.Add(listen.Event{Kind: listen.ExtraNote, Extra: x})
	}
	if cents, known := s.Tuning(); known {
		w.Tune(cents)
	}
	w.TwoWays(s.TwoWays())
	w.Close(nil)
	return w.Page()
}

// writeText tells of one file as the page, what was wrong, and the score.
func writeText(w io.Writer, file string, r checked) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", printable(file))
	p := r.page
	p.Last, p.Summary = "", nil
	b.WriteString(page.Text(p, 0))
	for _, said := range [][]string{r.reasons, r.page.Summary} {
		if len(said) > 0 {
			b.WriteByte('\n')
		}
		for _, s := range said {
			fmt.Fprintf(&b, "  %s\n", s)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// printable is a name as it is where that can be printed, else quoted.
func printable(name string) string {
	for _, r := range name {
		if r < 0x20 || r >= 0x7f && r < 0xa0 || r == '\ufffd' {
			return fmt.Sprintf("%q", name)
		}
	}
	return name
}

// writeJSON writes the contract's object of one file, or an array for several.
// Of one file that failed there is nothing to write.
func writeJSON(w io.Writer, files []string, results []checked) error {
	if len(files) == 1 && results[0].err != nil {
		return nil
	}
	objects := make([]any, len(files))
	for i, r := range results {
		objects[i] = r.check
		if r.err != nil {
			objects[i] = listen.CheckError{File: files[i], Error: oneLine(r.err)}
		}
	}
	if len(files) == 1 {
		return encode(w, objects[0])
	}
	return encode(w, objects)
}

// encode writes v as indented JSON.
func encode(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
