package lines

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/adrg/xdg"

	"bordon/listen/forms"
	"bordon/theory"
)

// Extension of the files that hold lines.
const Extension = ".lines"

// maxFiles is how many files of lines are read; far beyond what anyone has.
const maxFiles = 1000

// Folder is where the player's own lines are, bordon/lines under
// $XDG_CONFIG_HOME (XDG Base Directory Specification). It may not exist.
func Folder() string { return filepath.Join(xdg.ConfigHome, "bordon", "lines") }

// Read reads a file of lines. The error names the file, and the line and the
// column of the text where it is wrong.
func Read(path string) ([]theory.WrittenLine, error) {
	// Before opening: a pipe would wait for a writer.
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return nil, fmt.Errorf("cannot read the lines: %q is no file", path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot read the lines: %w", err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, theory.MaxLineFile+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read the lines: %w", err)
	}
	lines, err := theory.ParseLines(string(text), form)
	if err != nil {
		return nil, fmt.Errorf("file %q, %w", path, err)
	}
	return lines, nil
}

// form finds a form that a line names, built in or the player's own.
func form(name string) (theory.Form, error) { return forms.Lookup("", name) }

// all reads the files of the folder in the order of their names. Files that
// are wrong are told of together; the others are read all the same.
func all() (lines []theory.WrittenLine, problems error) {
	entries, err := os.ReadDir(Folder())
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("cannot read the folder of the lines: %w", err)
	}
	for _, e := range entries[:min(len(entries), maxFiles)] {
		if e.IsDir() || filepath.Ext(e.Name()) != Extension {
			continue
		}
		some, err := Read(filepath.Join(Folder(), e.Name()))
		if err != nil {
			problems = errors.Join(problems, err)
			continue
		}
		lines = append(lines, some...)
	}
	return lines, problems
}

// lookup finds one of the player's lines by its name, or the only one of a
// file by the file's path.
func lookup(name string) (theory.WrittenLine, error) {
	if strings.ContainsRune(name, os.PathSeparator) || filepath.Ext(name) == Extension {
		lines, err := Read(name)
		switch {
		case err != nil:
			return theory.WrittenLine{}, err
		case len(lines) > 1:
			return theory.WrittenLine{}, fmt.Errorf("file %q has %d lines; put it into %s and name the line", name, len(lines), Folder())
		}
		return lines[0], nil
	}
	lines, problems := all()
	for _, l := range lines {
		if l.Name == strings.ToLower(strings.TrimSpace(name)) {
			return l, nil
		}
	}
	if problems != nil { // it may be in there
		return theory.WrittenLine{}, problems
	}
	return theory.WrittenLine{}, fmt.Errorf("line %s: there is none of this name; write a line such as 7:3 8:2 9:7 10:1, or name one of %s",
		quote(name), strings.Join(Names(), ", "))
}

// Names are the names of all lines: the built-in ones and the player's own.
func Names() []string {
	names := []string{Best}
	for rank := 2; rank <= 5; rank++ {
		names = append(names, fmt.Sprintf("%s-%d", Best, rank))
	}
	names = append(names, Usual)
	lines, _ := all()
	for _, l := range lines {
		if !slices.Contains(names, l.Name) {
			names = append(names, l.Name)
		}
	}
	return names
}

// quote quotes a name for an error, cut where it would drown the sentence.
func quote(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:40]) + "..."
	}
	return fmt.Sprintf("%q", s)
}
