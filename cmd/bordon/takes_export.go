package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bordon/listen/export"
	"bordon/listen/take"
)

// exported are the formats that a take is exported in, with the endings of
// their files' names.
var exported = []struct{ format, ending string }{
	{"midi", ".mid"}, {"musicxml", ".musicxml"}, {"csv", ".csv"}, {"json", ".json"},
}

// allFormats asks for every one of them.
const allFormats = "all"

func exportFormats() []string {
	var words []string
	for _, e := range exported {
		words = append(words, e.format)
	}
	return append(words, allFormats)
}

func (a *app) takesExportCommand() *cobra.Command {
	format, out, overwrite := allFormats, "", false
	cmd := &cobra.Command{
		Use:   "export TAKE",
		Short: "Write a take for other programs: MIDI, MusicXML, CSV, JSON",
		Long: `Write a take for other programs. The files are named for the take and written into
the folder that you are in, or where --out says; their paths are printed.

midi       a Standard MIDI File: what was heard and what was asked, with the beats
           as tempo map and a marker for each verdict that is not right; it
           begins with the recording's first sample
musicxml   MusicXML 4.0: both as a score, with tablature of what was asked, a bar
           for each turn, the mistakes in words under their notes
csv        a row for each verdict and each extra note, for a spreadsheet
json       what takes show --format json writes, without the folder's path

What you overruled counts. The sound is in none of them; the take's own take.wav
holds it, with the verdicts as cue points.`,
		Example: `  bordon takes export last                       # all four
  bordon takes export last --format musicxml
  bordon takes export last --format csv --out - > verdicts.csv
  bordon takes export 2030-01-31T18-05-07-G --format midi --out lesson.mid --overwrite`,
		Args:              takeArguments(1, 1, "last"),
		ValidArgsFunction: a.takeNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			if format == allFormats && out != "" && !isFolder(out) {
				return fmt.Errorf("--out %q is no folder, and all formats are several files; name a folder, or one format", out)
			}
			s, err := a.one(cmd, args[0])
			if err != nil {
				return fail(err)
			}
			return fail(a.export(s, format, out, overwrite))
		},
	}
	fs := cmd.Flags()
	fs.Var(&word{to: &format, words: exportFormats()}, "format", "which format")
	fs.StringVar(&out, "out", out, "file, or folder, to write to; - is standard output")
	fs.BoolVar(&overwrite, "overwrite", overwrite, "replace files that are there")
	complete(cmd, "format", exportFormats())
	return cmd
}

func isFolder(path string) bool {
	st, err := os.Stat(path)
	return err == nil && st.IsDir()
}

// export writes a take in a format, or in all of them. Nothing is written where
// one of the files is there already.
func (a *app) export(s *take.Stored, format, out string, overwrite bool) error {
	set, err := s.Settings(nil)
	if err != nil {
		return err
	}
	p, err := export.OfTake(s, language.PieceTitle(set.Form, set.Key, set.Cejilla))
	if err != nil {
		return err
	}
	type file struct {
		path string
		b    []byte
	}
	var files []file
	for _, e := range exported {
		if format != allFormats && format != e.format {
			continue
		}
		var b bytes.Buffer
		if err := exportAs(&b, e.format, s, &p); err != nil {
			return fmt.Errorf("cannot export the take %q: %w", s.ID, err)
		}
		if out == "-" {
			return a.writeOut(e.format, b.Bytes())
		}
		path := out
		if out == "" || isFolder(out) {
			path = filepath.Join(out, fileName(s.ID)+e.ending)
		}
		files = append(files, file{path, b.Bytes()})
	}
	for _, f := range files {
		if _, err := os.Lstat(f.path); err == nil && !overwrite {
			return fmt.Errorf("there is a file %q already; name another with --out, or replace it with --overwrite", f.path)
		}
	}
	for _, f := range files {
		if err := writeWhole(f.path, f.b); err != nil {
			return err
		}
		if _, err := fmt.Fprintln(a.stdout, printable(f.path)); err != nil {
			return err
		}
	}
	return nil
}

func exportAs(w io.Writer, format string, s *take.Stored, p *export.Piece) error {
	switch format {
	case "midi":
		return p.MIDI(w, exportWords())
	case "musicxml":
		return p.MusicXML(w, exportWords())
	case "csv":
		return p.CSV(w)
	}
	// Where the take lies is nobody's business whom it is handed to.
	return encode(w, showJSON{showSchema, s.ID, fileName(s.ID), s.Take, s.Player, s.Score(), s.Newer})
}

// exportWords are the words beside exported notes.
func exportWords() export.Words {
	w := language.Export()
	return export.Words{
		Heard: w.Heard, Asked: w.Asked, Extra: w.Extra,
		Cejilla: language.CejillaAt, Place: language.At, Label: language.Label, Timing: language.Timing,
		Note: language.Pitched, Chord: language.Chord, AskedFor: func(note string) string { return language.Asked(note, "") }, Ruled: language.Ruled,
	}
}

// fileName is the ID of a take as the name of a file on any system, and none that
// a program would take for a flag.
func fileName(id string) string {
	name := strings.Map(func(r rune) rune {
		if r < 0x20 || r >= 0x7f && r < 0xa0 || slices.Contains([]rune(`<>:"/\|?*`), r) {
			return '-'
		}
		return r
	}, strings.ToValidUTF8(id, "-"))
	name = strings.TrimLeft(strings.TrimRight(name, ". "), "-. ")
	if name == "" {
		return "take"
	}
	return name
}

// writeWhole writes a file whole or not at all.
func writeWhole(path string, b []byte) error {
	st, err := os.Lstat(path)
	switch {
	case err == nil && !st.Mode().IsRegular():
		return fmt.Errorf("%q is not a plain file, so it is not replaced", path)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("cannot write %q: %w", path, err)
	}
	return take.WriteFile(path, b)
}
