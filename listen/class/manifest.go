package class

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// ManifestName is the manifest that a folder is looked at for.
const ManifestName = "manifest.csv"

// The bounds of a manifest.
const (
	maxManifest = 1 << 20 // bytes
	maxRows     = 5000
	maxCell     = 1000 // bytes
)

// ReadManifest reads what a teacher says of the recordings: a CSV file as RFC
// 4180 has it, in UTF-8, whose first row names the columns, in any order; only
// file must be there. A spreadsheet that separates by semicolons is understood
// too. The error is one sentence that names the line. Of a path that leads out
// of the folder the row itself says so.
func ReadManifest(r io.Reader) ([]Given, error) {
	b, err := io.ReadAll(io.LimitReader(r, maxManifest+1))
	switch {
	case err != nil:
		return nil, err
	case len(b) > maxManifest:
		return nil, fmt.Errorf("it is larger than %d MiB, so it is no list of recordings", maxManifest>>20)
	case !utf8.Valid(b):
		return nil, errors.New("it is not in UTF-8; save it as CSV in UTF-8")
	}
	b = bytes.TrimPrefix(b, []byte("\ufeff"))
	in := csv.NewReader(bytes.NewReader(b))
	in.FieldsPerRecord = -1
	if head, _, _ := bytes.Cut(b, []byte("\n")); bytes.ContainsRune(head, ';') && !bytes.ContainsRune(head, ',') {
		in.Comma = ';'
	}
	header, err := in.Read()
	if errors.Is(err, io.EOF) {
		return nil, errors.New("it is empty; its first line names the columns, such as file,student,key,cejilla")
	}
	if err != nil {
		return nil, badCSV(err)
	}
	cols, err := readHeader(header)
	if err != nil {
		return nil, err
	}
	var all []Given
	lines := map[string]int{}
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			return all, nil
		}
		if err != nil {
			return nil, badCSV(err)
		}
		line, _ := in.FieldPos(0)
		switch {
		case len(cells) != len(cols):
			return nil, fmt.Errorf("line %d: it has %d cells and the first line names %d columns", line, len(cells), len(cols))
		case len(all) == maxRows:
			return nil, fmt.Errorf("line %d: there are more than %d recordings; use a folder for each class", line, maxRows)
		}
		var g Given
		for i, c := range cols {
			if len(cells[i]) > maxCell {
				return nil, fmt.Errorf("line %d: what it says under %v is longer than %d bytes", line, c, maxCell)
			}
			g.said[c] = strings.TrimSpace(cells[i])
		}
		g.said[Student] = Shown(g.said[Student])
		if g.said == ([columns]string{}) {
			continue // a row that a spreadsheet left empty
		}
		file := g.said[File]
		if file == "" {
			return nil, fmt.Errorf("line %d: it names no file", line)
		}
		if before, twice := lines[file]; twice {
			return nil, fmt.Errorf("line %d: it names the file %q again, after line %d", line, clip(file), before)
		}
		lines[file] = line
		if g.Err = inside(file); g.Err == nil {
			g.fill(FromName(file))
		}
		all = append(all, g)
	}
}

func readHeader(header []string) ([]Column, error) {
	cols := make([]Column, len(header))
	seen := map[Column]bool{}
	for i, text := range header {
		folded := strings.NewReplacer(" ", "-", "_", "-").Replace(strings.ToLower(strings.TrimSpace(text)))
		c := Column(0)
		for c < columns && names[c] != folded {
			c++
		}
		switch {
		case c == columns:
			return nil, fmt.Errorf("line 1: there is no column %q; the columns are %s", clip(text), strings.Join(names[:], ", "))
		case seen[c]:
			return nil, fmt.Errorf("line 1: the column %v is there twice", c)
		}
		seen[c], cols[i] = true, c
	}
	if !seen[File] {
		return nil, errors.New("line 1: there is no column file, which names the recording")
	}
	return cols, nil
}

func badCSV(err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return fmt.Errorf("line %d: %w; a quote inside a quoted cell is written twice, as RFC 4180 has it", p.Line, p.Err)
	}
	return err
}

// clip is a text as an error quotes it.
func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}
