package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"bordon/listen/lines"
	"bordon/theory"
	"bordon/ui/sheet"
)

// sheetFlags are the flags of line --sheet beside those of line.
type sheetFlags struct {
	sheet bool
	keys  string
	from  int // beat of the first column
	out   string

	overwrite bool
}

// withSheet gives the command line the flag --sheet, under which it writes a
// sheet of paper. It reads the command's own flags on key, form, tuning and
// cejilla.
func (a *app) withSheet(cmd *cobra.Command) *cobra.Command {
	var f sheetFlags
	fs := cmd.Flags()
	fs.BoolVar(&f.sheet, "sheet", f.sheet, "write a sheet to print for a lesson")
	fs.StringVar(&f.keys, "keys", f.keys, `keys of the sheet, commas between: "D, G, G cejilla 3, F"`)
	fs.StringVarP(&f.out, "out", "o", f.out, "file of the sheet: .html, or .svg for a picture of each page (default: HTML to standard output)")
	fs.BoolVar(&f.overwrite, "overwrite", f.overwrite, "replace files that are there")
	fs.Var(&whole{to: &f.from, such: "a beat of the form, such as 12"}, "count-from", "beat that the sheet counts from: its first column (default 1)")
	complete(cmd, "keys", keyValues())
	complete(cmd, "count-from", nil)
	must(cmd.MarkFlagFilename("out", "html", "svg"))
	cmd.Long += `

With --sheet the line goes on paper, for one key or several: the compás in
columns as it is counted aloud, the chords and their shapes, the notes on the
staff, and strings and frets. HTML prints on A4 and on US Letter alike.`
	cmd.Example += `
  bordon line --sheet -k G --out sheet.html
  bordon line --sheet --keys "D, G, G cejilla 3, F" --out sheet.html "7:3 8:2 9:7 10:1"
  bordon line --sheet -k por-medio --form bulerias --count-from 12 --out bulerias.svg usual`
	takes, run := cmd.Args, cmd.RunE
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		if !f.sheet {
			for _, own := range []string{"keys", "count-from", "out", "overwrite"} {
				if fs.Changed(own) {
					return fmt.Errorf("--%s is of --sheet; give it too", own)
				}
			}
			return takes(cmd, args)
		}
		for _, other := range []string{"from", "to", "capture", "tempo", "first-beat", "save", "count", "format"} {
			if fs.Changed(other) {
				return fmt.Errorf("--%s does not go with --sheet; a sheet takes --key or --keys, --form, --tuning, --cejilla, --count-from and --out", other)
			}
		}
		switch {
		case fs.Changed("key") && fs.Changed("keys"):
			return errors.New("--key and --keys both name keys; give the one or the other")
		case !fs.Changed("key") && !fs.Changed("keys"):
			return errors.New("there is no key; say which, such as --key G or --keys \"D, G, F\"")
		case len(args) > 1:
			return fmt.Errorf("there are %d lines; give one, in quotes where it has spaces", len(args))
		}
		return nil
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if !f.sheet {
			return run(cmd, args)
		}
		var of lineFlags
		of.form, _ = fs.GetString("form")
		of.tuning, _ = fs.GetString("tuning")
		of.cejilla, _ = strconv.Atoi(fs.Lookup("cejilla").Value.String())
		if of.key, _ = fs.GetString("key"); fs.Changed("keys") {
			of.key = f.keys
		}
		if f.out == "" && isTerminal(a.stdout) {
			return errors.New("a sheet is for paper; name its file, such as --out sheet.html, or send it on through a pipe")
		}
		if f.out == "-" { // standard output, whatever it is
			f.out = ""
		}
		return a.writeSheet(of, strings.Join(args, ""), f)
	}
	return cmd
}

// writeSheet writes the sheet of a line, "" for the best of each key, in the
// keys of f.
func (a *app) writeSheet(f lineFlags, line string, on sheetFlags) error {
	out := on.out
	ending := strings.ToLower(filepath.Ext(out))
	if out != "" && ending != ".html" && ending != ".svg" {
		return fmt.Errorf("--out %s: its ending says what is written; end it in .html or .svg", printable(out))
	}
	s, err := f.setting()
	if err != nil {
		return err
	}
	paper := sheet.Sheet{Words: language, Form: s.form, Named: line, CountFrom: on.from}
	if on.from < 0 || on.from > s.form.Beats {
		return fmt.Errorf("a count from %d is not usable; %s has the beats 1 to %d", on.from, s.form.Title, s.form.Beats)
	}
	if paper.Parts, err = s.parts(f.key, line); err != nil {
		return err
	}
	pages, err := paper.Pages()
	if err != nil {
		return fail(err)
	}
	texts := make([][]byte, 1)
	if ending == ".svg" {
		texts = make([][]byte, len(pages))
		for i, p := range pages {
			var b bytes.Buffer
			if err := p.WriteSVG(&b, paper.Title()); err != nil {
				return fail(err)
			}
			texts[i] = b.Bytes()
		}
	} else {
		var b bytes.Buffer
		if err := paper.WriteHTML(&b, pages); err != nil {
			return fail(err)
		}
		texts[0] = b.Bytes()
	}
	if out == "" {
		_, err = a.stdout.Write(texts[0])
		return fail(err)
	}
	return fail(a.keepSheet(on, texts))
}

// keepSheet writes the files of a sheet and tells their names: sheet.svg, the
// second page sheet-2.svg.
func (a *app) keepSheet(on sheetFlags, texts [][]byte) error {
	names := make([]string, len(texts))
	for i := range texts {
		names[i] = on.out
		if i > 0 {
			ending := filepath.Ext(on.out)
			names[i] = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(on.out, ending), i+1, ending)
		}
		if _, err := os.Lstat(names[i]); err == nil && !on.overwrite {
			return fmt.Errorf("there is a file %q already; name another with --out, or replace it with --overwrite", names[i])
		}
	}
	for i, name := range names {
		if err := writeWhole(name, texts[i]); err != nil {
			return err
		}
		if _, err := fmt.Fprintln(a.stdout, printable(name)); err != nil {
			return err
		}
	}
	return nil
}

// parts are the keys of a sheet, each with the line in it. A line that is
// written out is in the first key, and moved to the others by degree.
func (s setting) parts(keys, line string) ([]sheet.Part, error) {
	var all []sheet.Part
	for _, text := range strings.Split(keys, ",") {
		if len(all) == sheet.MaxParts {
			return nil, fmt.Errorf("a sheet has at most %d keys; give fewer", sheet.MaxParts)
		}
		name, cejilla, err := s.keyAndCejilla(text)
		if err != nil {
			return nil, err
		}
		key, err := s.keyOf(name)
		if err != nil {
			return nil, err
		}
		p := sheet.Part{Cejilla: cejilla}
		switch {
		case strings.Contains(line, ":") && len(all) > 0:
			p.Line, err = all[0].Line.In(key)
		case line != "":
			p.Line, err = lines.Named(line, key, s.form, s.tuning)
		default:
			p.Line, err = s.best(key)
		}
		if err != nil {
			return nil, err
		}
		all = append(all, p)
	}
	return all, nil
}

// keyAndCejilla reads "G", or "G cejilla 3".
func (s setting) keyAndCejilla(text string) (name string, cejilla int, err error) {
	fields := strings.Fields(text)
	switch {
	case len(fields) == 1:
		return fields[0], s.cejilla, nil
	case len(fields) != 3 || fields[1] != "cejilla":
		return "", 0, fmt.Errorf("%q is no key; write one such as G, or G cejilla 3, and commas between keys", text)
	}
	if cejilla, err = strconv.Atoi(fields[2]); err != nil {
		return "", 0, fmt.Errorf("%q is no fret; write a whole number, such as %s cejilla 3", fields[2], fields[0])
	}
	return fields[0], cejilla, fretOf(cejilla)
}

// best is the line that is asked for where none is named: the finder's best, or
// what the player's own form says.
func (s setting) best(key theory.Key) (theory.Line, error) {
	if _, own := theory.LookupForm(s.form.Name); own != nil && s.form.WalkIn(key.Mode) != "" {
		return theory.DefaultLine(key, s.form, s.tuning)
	}
	walks, err := theory.Find(key, s.form, s.tuning, 1)
	if err != nil {
		return theory.Line{}, err
	}
	return walks[0].Line(), nil
}
