package class

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
)

// Schema is the name and version of what Sheet is written as.
const Schema = "bordon-class/1"

// Sheet is a class: a row for each recording, in order of student and file.
type Sheet struct {
	Schema string `json:"schema"`
	Rows   []Row  `json:"rows"`
}

// NewSheet puts rows in order.
func NewSheet(rows []Row) Sheet {
	s := Sheet{Schema: Schema, Rows: append([]Row{}, rows...)}
	slices.SortStableFunc(s.Rows, func(a, b Row) int {
		return cmp.Or(cmp.Compare(strings.ToLower(a.Student), strings.ToLower(b.Student)), cmp.Compare(a.Student, b.Student), cmp.Compare(a.File, b.File))
	})
	return s
}

// Bad is how many recordings were not judged.
func (s *Sheet) Bad() int {
	n := 0
	for i := range s.Rows {
		if !s.Rows[i].Judged() {
			n++
		}
	}
	return n
}

// The bounds of a sheet that is read.
const (
	maxSheet     = 64 << 20 // bytes
	maxSheetRows = 100000
)

// Join puts the rows of sheets together, each made of a part of a class, as if
// they had been made at once. A recording that two sheets tell of alike is
// there once; where they do not agree, the error names it.
func Join(sheets ...Sheet) (Sheet, error) {
	var rows []Row
	at := map[string]int{}
	for _, s := range sheets {
		for _, row := range s.Rows {
			if i, again := at[row.File]; again {
				if !reflect.DeepEqual(rows[i], row) {
					return Sheet{}, fmt.Errorf("two rows on %q do not agree; judge it again", clip(row.File))
				}
				continue
			}
			if len(rows) == maxSheetRows {
				return Sheet{}, fmt.Errorf("there are more than %d rows", maxSheetRows)
			}
			at[row.File] = len(rows)
			rows = append(rows, row)
		}
	}
	return NewSheet(rows), nil
}

// Read reads sheets as they are written, as JSON, any number of them one after
// the other, and joins them. What a row calls its file is only a name: nothing
// of that name is opened.
func Read(r io.Reader) (Sheet, error) {
	limited := &io.LimitedReader{R: r, N: maxSheet + 1}
	in := json.NewDecoder(limited)
	var sheets []Sheet
	for {
		var s Sheet
		err := in.Decode(&s)
		switch {
		case limited.N <= 0:
			return Sheet{}, fmt.Errorf("it is larger than %d MiB", maxSheet>>20)
		case errors.Is(err, io.EOF) && sheets == nil:
			return Sheet{}, errors.New("there is no class in it; --summary --format json writes one")
		case errors.Is(err, io.EOF):
			return Join(sheets...)
		case err != nil:
			return Sheet{}, fmt.Errorf("it is not what --summary --format json writes (%w)", err)
		case s.Schema != Schema:
			return Sheet{}, fmt.Errorf("it is described as %q and this program reads %s", clip(s.Schema), Schema)
		}
		sheets = append(sheets, s)
	}
}
