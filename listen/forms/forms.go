// Package forms knows the forms there are: the built-in ones of package
// theory, and the player's own, which are text files in a folder of the XDG
// Base Directory Specification. theory.ParseForm tells how they are written.
package forms

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

	"bordon/theory"
)

// Suffix ends the name of a form's file.
const Suffix = ".form"

// maxFiles is how many files of the folder are named in a list.
const maxFiles = 1000

// Dir returns the folder of the player's own forms, bordon/forms under
// $XDG_CONFIG_HOME. It may not exist.
func Dir() string { return filepath.Join(xdg.ConfigHome, "bordon", "forms") }

// Lookup finds a form by its name, and a section of it by both names with a
// slash between: a built-in one, else the player's own in dir ("" stands for
// Dir), rumba being the file rumba.form. The error for an unknown name lists
// those there are; that for a file names it with line and column.
func Lookup(dir, name string) (theory.Form, error) {
	form, err := theory.LookupForm(name)
	if err == nil {
		return form, nil
	}
	if dir == "" {
		dir = Dir()
	}
	whole, section, cut := strings.Cut(strings.TrimSpace(name), "/")
	if !plain(whole) {
		return theory.Form{}, err
	}
	if _, known := theory.LookupForm(whole); known == nil { // the section is wrong
		return theory.Form{}, err
	}
	own, fileErr := Read(filepath.Join(dir, whole+Suffix))
	switch {
	case errors.Is(fileErr, fs.ErrNotExist):
		return theory.Form{}, unknown(dir, err)
	case fileErr != nil:
		return theory.Form{}, fileErr
	case !cut:
		return own, nil
	}
	return own.Section(section)
}

// unknown adds the player's own forms to the error on a name.
func unknown(dir string, err error) error {
	own := Own(dir)
	if len(own) == 0 {
		return fmt.Errorf("%w; your own go into %s", err, filepath.Join(dir, "NAME"+Suffix))
	}
	return fmt.Errorf("%w; your own are %s", err, strings.Join(own, ", "))
}

// Own are the names of the player's own forms in dir ("" stands for Dir), in
// order; what is in their files is not looked at.
func Own(dir string) []string {
	if dir == "" {
		dir = Dir()
	}
	folder, err := os.Open(dir)
	if err != nil {
		return nil
	}
	defer folder.Close()
	files, _ := folder.Readdirnames(maxFiles)
	var names []string
	for _, file := range files {
		if name, ok := strings.CutSuffix(file, Suffix); ok && plain(name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// plain reports whether a name is one that a form of the player's may have: it
// cannot leave the folder.
func plain(name string) bool {
	for _, r := range name {
		if (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-' {
			return false
		}
	}
	return name != "" && name[0] != '-'
}

// Read reads the form in a file, whose name without Suffix is the form's. The
// error names the file, and line and column where the text is wrong.
func Read(path string) (theory.Form, error) {
	text, err := read(path)
	if err != nil {
		return theory.Form{}, err
	}
	form, err := theory.ParseForm(text)
	if err != nil {
		return theory.Form{}, fmt.Errorf("form file %s, %w", path, err)
	}
	want := strings.TrimSuffix(filepath.Base(path), Suffix)
	if form.Name != want {
		return theory.Form{}, fmt.Errorf("form file %s: its form is %s; name the file %s, or the form %s", path, form.Name, form.Name+Suffix, want)
	}
	if _, err := theory.LookupForm(form.Name); err == nil {
		return theory.Form{}, fmt.Errorf("form file %s: a form named %s is built in; give yours another name", path, form.Name)
	}
	return form, nil
}

func read(path string) (string, error) {
	// Before opening: a pipe would wait for a writer.
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return "", fmt.Errorf("form file %s is no plain file", path)
	}
	file, err := os.Open(path)
	if err != nil {
		return "", fmt.Errorf("reading a form: %w", err)
	}
	defer file.Close()
	// A byte more than a form may have, so that one too long is refused.
	text, err := io.ReadAll(io.LimitReader(file, theory.MaxForm+1))
	if err != nil {
		return "", fmt.Errorf("reading a form: %w", err)
	}
	return string(text), nil
}
