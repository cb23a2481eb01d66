package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bordon/listen"
	"bordon/listen/class"
	"bordon/listen/decode"
	"bordon/listen/take"
	"bordon/ui/report"
)

const indexName = "index.html"

// page writes the page of a recording that was judged with set.
func (j *classJob) page(ctx context.Context, g *class.Given, set listen.Settings, c checked) error {
	file := g.Of(class.File)
	s, err := shelved(ctx, j.folder.Path(g), set, c.check)
	if err != nil {
		return fmt.Errorf("cannot write the page of %q: %w", middle(file, 60), err)
	}
	defer os.RemoveAll(filepath.Dir(s.Dir))
	var b bytes.Buffer
	if err := report.Student(&b, language, s, g.Of(class.Student), file); err != nil {
		return err
	}
	if err := take.WriteFile(filepath.Join(j.out, pageName(file)), b.Bytes()); err != nil {
		return fmt.Errorf("cannot write the page of %q: %w", middle(file, 60), err)
	}
	return nil
}

// shelved is a recording as a take, in a folder of its own that is to be
// removed with the one it lies in.
func shelved(ctx context.Context, path string, set listen.Settings, c listen.Check) (_ *take.Stored, err error) {
	root, err := os.MkdirTemp("", "bordon-")
	if err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			os.RemoveAll(root)
		}
	}()
	r, err := decode.Open(ctx, path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	rec, err := take.Record(root, time.Unix(0, 0).UTC(), set.Key.String(), r.Rate())
	if err != nil {
		return nil, err
	}
	heard, err := copySound(ctx, rec, r)
	if err != nil {
		return nil, errors.Join(err, rec.Close())
	}
	set.Find, set.Tempo, set.FirstBeat = nil, c.Tempo, c.FirstBeat // as they were found, where they were
	session, err := listen.NewSession(set, r.Rate())
	if err != nil {
		return nil, errors.Join(err, rec.Close())
	}
	t := session.Take(time.Unix(0, 0).UTC(), listen.Devices{}, take.WAVName)
	t.Length, t.Check = float64(heard)/float64(r.Rate()), c
	if err := rec.Finish(t, nil); err != nil {
		return nil, err
	}
	return take.Load(rec.Dir())
}

func copySound(ctx context.Context, rec *take.Recorder, r *decode.Reader) (heard int64, err error) {
	buf := make([]float32, 4096)
	for {
		n, _, err := r.Read(ctx, buf)
		if n > 0 {
			if err := rec.Write(buf[:n]); err != nil {
				return heard, err
			}
			heard += int64(n)
		}
		if errors.Is(err, io.EOF) {
			return heard, nil
		}
		if err != nil {
			return heard, err
		}
	}
}

// pageName is the name of the file of a recording's page: that of the
// recording, as far as it is letters, digits and the like, with a sum of all of
// it where it is not, so that no two recordings have one name.
func pageName(file string) string {
	const longest = 120
	safe := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_', r == '.', r == '#':
			return r
		}
		return '_'
	}, file)
	safe = strings.ReplaceAll(safe, "#", "s") // a fragment, in a link
	if safe != file || len(safe) > longest || strings.HasPrefix(safe, ".") || strings.EqualFold(safe+".html", indexName) {
		sum := sha256.Sum256([]byte(file))
		safe = fmt.Sprintf("%s-%x", strings.TrimLeft(safe[:min(len(safe), longest)], "."), sum[:4])
	}
	return safe + ".html"
}

// mayWrite makes the folder for pages, and refuses one whose index is
// somebody else's.
func mayWrite(out string) error {
	if err := os.MkdirAll(out, 0o755); err != nil {
		return fmt.Errorf("cannot make the folder %q for the pages: %w", out, err)
	}
	// Before opening: a pipe would wait for a writer.
	if info, err := os.Stat(filepath.Join(out, indexName)); err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("%q has an %s that is not of a class; name another folder by --out", out, indexName)
	}
	f, err := os.Open(filepath.Join(out, indexName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("cannot write into %q: %w", out, err)
	}
	defer f.Close()
	head, err := io.ReadAll(io.LimitReader(f, 1024))
	if err != nil || !bytes.Contains(head, []byte(report.ClassGenerator)) {
		return fmt.Errorf("%q has an %s that is not of a class; name another folder by --out", out, indexName)
	}
	return nil
}

// writeIndex writes the index of a class and returns its path.
func writeIndex(out string, s class.Sheet) (string, error) {
	if err := mayWrite(out); err != nil {
		return "", err
	}
	var b bytes.Buffer
	err := report.Class(&b, language, s, func(r class.Row) string {
		name := pageName(r.File)
		if st, err := os.Lstat(filepath.Join(out, name)); err != nil || !st.Mode().IsRegular() || !r.Judged() {
			return ""
		}
		return name
	})
	if err != nil {
		return "", err
	}
	path, err := filepath.Abs(filepath.Join(out, indexName))
	if err == nil {
		err = take.WriteFile(path, b.Bytes())
	}
	if err != nil {
		return "", fmt.Errorf("cannot write %s into %q: %w", indexName, out, err)
	}
	return path, nil
}
