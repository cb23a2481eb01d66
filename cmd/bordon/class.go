package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"sync"

	"github.com/spf13/cobra"

	"bordon/listen/class"
)

// classFlags are those of check that tell of a class.
type classFlags struct {
	summary, merge bool
	manifest, out  string
}

func (c *classFlags) add(cmd *cobra.Command) {
	fs := cmd.Flags()
	fs.BoolVar(&c.summary, "summary", false, "a row for each recording of a folder, a class's")
	fs.StringVar(&c.manifest, "manifest", "", "with --summary: CSV file that says of each recording whose it is, its key, and so on (default: manifest.csv in the folder)")
	fs.StringVar(&c.out, "out", "", "with --summary: folder for index.html and a page to send back for each recording")
	fs.BoolVar(&c.merge, "merge", false, "with --summary: what is named are summaries of parts, written with --format json; - is standard input")
	must(cmd.MarkFlagFilename("manifest", "csv"))
	must(cmd.MarkFlagDirname("out"))
}

// right says what is wrong with the usage.
func (c *classFlags) right(args []string, format string) error {
	switch {
	case !c.summary && (c.merge || c.manifest != "" || c.out != ""):
		return errors.New("--manifest, --out and --merge belong to a class; add --summary")
	case !c.summary && format == "csv":
		return errors.New("csv is for a class; add --summary, or take --format json")
	case !c.summary:
		return nil
	case c.merge && c.manifest != "":
		return errors.New("--merge only puts parts together, and a manifest is read when these are made; leave one of them out")
	case len(args) == 0 && c.merge:
		return errors.New("there is nothing to merge; name the summaries of the parts, or - for standard input")
	case len(args) == 0:
		return errors.New("there is no folder; name the one with the recordings, or recordings of one folder")
	}
	return nil
}

// folderOf finds the folder that the arguments name, or whose files they name.
func folderOf(args []string) (dir string, only []string, err error) {
	if len(args) == 1 {
		if st, err := os.Stat(args[0]); err == nil && st.IsDir() {
			return args[0], nil, nil
		}
	}
	for i, path := range args {
		if st, err := os.Stat(path); err == nil && st.IsDir() {
			return "", nil, fmt.Errorf("%q is a folder among others; name one folder, or recordings of one folder", path)
		}
		if in := filepath.Dir(path); i == 0 {
			dir = in
		} else if in != dir {
			return "", nil, fmt.Errorf("%q is not in %q like the first; name recordings of one folder", path, dir)
		}
		only = append(only, filepath.Base(path))
	}
	return dir, only, nil
}

// summary tells of a class. An error that is no failure is of the usage.
func (a *app) summary(ctx context.Context, c *classFlags, j *classJob, args []string, format string) error {
	if c.merge {
		s, err := a.merged(args)
		if err != nil {
			return fail(err)
		}
		return fail(a.tell(s, format, c.out))
	}
	if err := j.usable(ctx); err != nil {
		return err
	}
	dir, only, err := folderOf(args)
	if err != nil {
		return err
	}
	if j.folder, err = class.Open(dir, c.manifest, only...); err != nil {
		return fail(err)
	}
	s, err := a.judged(ctx, j, c.out)
	if err != nil {
		return fail(err)
	}
	return fail(a.tell(s, format, c.out))
}

// tell writes a class, and its index into the folder out unless that is "".
func (a *app) tell(s class.Sheet, format, out string) error {
	var err error
	switch format {
	case "json":
		err = encode(a.stdout, s)
	case "csv":
		err = class.WriteCSV(a.stdout, s, language.ClassNotes)
	default:
		_, err = io.WriteString(a.stdout, classText(s, a.width()))
	}
	if err != nil {
		return err
	}
	if out != "" {
		index, err := writeIndex(out, s)
		if err != nil {
			return err
		}
		a.talk("%s\n%s", printable(index), language.Private())
	}
	if bad := s.Bad(); bad > 0 {
		return fmt.Errorf("%d of %d recordings were not judged; their rows say why", bad, len(s.Rows))
	}
	return nil
}

// judged judges a folder, as many recordings at a time as there are cores.
func (a *app) judged(ctx context.Context, j *classJob, out string) (class.Sheet, error) {
	switch n := len(j.folder.Alone); {
	case len(j.folder.All) == 0:
		return class.Sheet{}, fmt.Errorf("there is no recording in %q; a recording is told by the end of its name, such as %s", j.folder.Dir, class.File.Such())
	case n == 1:
		a.talk("%s", language.Problem(fmt.Sprintf("%s is no recording by its name and was left alone", printable(j.folder.Alone[0]))))
	case n > 1:
		a.talk("%s", language.Problem(fmt.Sprintf("%d files are no recordings by their names and were left alone, such as %s", n, printable(j.folder.Alone[0]))))
	}
	if out != "" {
		if err := mayWrite(out); err != nil {
			return class.Sheet{}, err
		}
		j.out = out
	}
	all := j.folder.All
	rows, errs := make([]class.Row, len(all)), make([]error, len(all))
	bar := a.progress(len(all))
	jobs := make(chan int)
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(all)) {
		workers.Go(func() {
			for i := range jobs {
				rows[i], errs[i] = j.row(ctx, &all[i], bar.file())
			}
		})
	}
	for i := range all {
		jobs <- i
	}
	close(jobs)
	workers.Wait()
	bar.end()
	if ctx.Err() != nil {
		return class.Sheet{}, errors.New("stopped before the end; nothing was judged")
	}
	return class.NewSheet(rows), errors.Join(errs...)
}

// merged reads what was judged in parts.
func (a *app) merged(args []string) (class.Sheet, error) {
	var parts []class.Sheet
	for _, path := range args {
		s, err := a.readSheet(path)
		if err != nil {
			return class.Sheet{}, err
		}
		parts = append(parts, s)
	}
	return class.Join(parts...)
}

func (a *app) readSheet(path string) (class.Sheet, error) {
	in, name := a.stdin, "standard input"
	if path != "-" {
		name = fmt.Sprintf("%q", path)
		st, err := os.Stat(path) // before opening: a pipe would wait for a writer
		if err != nil {
			return class.Sheet{}, fmt.Errorf("cannot read %s: there is no such file, or it cannot be opened", name)
		}
		if st.IsDir() {
			return class.Sheet{}, fmt.Errorf("cannot read %s: it is a folder; name the summaries in it", name)
		}
		f, err := os.Open(path)
		if err != nil {
			return class.Sheet{}, fmt.Errorf("cannot read %s: %w", name, err)
		}
		defer f.Close()
		in = f
	}
	s, err := class.Read(in)
	if err != nil {
		return class.Sheet{}, fmt.Errorf("cannot read %s: %w", name, err)
	}
	return s, nil
}
