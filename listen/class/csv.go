package class

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// heads are the columns of the CSV file.
var heads = []string{"student", "file", "key", "cejilla", "form", "line", "tempo_bpm", "first_beat_s",
	"judged", "right", "right_on_time", "unsure", "accuracy", "accuracy_on_time", "offset_mean_ms", "offset_sd_ms", "worst_beats", "notes"}

// WriteCSV writes a class as RFC 4180 has it. notes are the sentences on a row.
// No spreadsheet takes a cell for a formula.
func WriteCSV(w io.Writer, s Sheet, notes func(Row) []string) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true // RFC 4180, 2.1
	if err := out.Write(heads); err != nil {
		return err
	}
	for _, r := range s.Rows {
		said := []string{}
		for _, n := range notes(r) {
			said = append(said, Shown(n))
		}
		cells := []string{inert(Shown(r.Student)), inert(plain(r.File)), inert(Shown(r.Key)), whole(r.Cejilla), inert(r.Form), inert(r.Line), number(r.Tempo), number(r.FirstBeat)}
		if c := r.Score; c != nil {
			cells = append(cells, strconv.Itoa(c.Judged), strconv.Itoa(c.Right), strconv.Itoa(c.RightOnTime), strconv.Itoa(c.Unsure), number(c.Accuracy), number(c.AccuracyOnTime), number(c.OffsetMean), number(c.OffsetSD))
		} else {
			cells = append(cells, "", "", "", "", "", "", "", "")
		}
		var beats []string
		for _, b := range r.Worst {
			beats = append(beats, fmt.Sprintf("%s: %d of %d %s", b.Beat, b.Wrong, b.Of, b.Fault))
		}
		if err := out.Write(append(cells, inert(strings.Join(beats, "; ")), inert(strings.Join(said, " ")))); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// plain is a name as it is where it is one line that can be printed, else in
// quotes, as Go writes it.
func plain(file string) string {
	if Shown(file) != file {
		return strconv.Quote(file)
	}
	return file
}

// inert puts an apostrophe before a text that a spreadsheet would reckon: one
// that begins with =, +, - or @, or with a tab or line end before such (from
// memory: OWASP, CSV injection).
func inert(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20", []rune(s)[0]) {
		return "'" + s
	}
	return s
}

func number(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'f', -1, 64)
}

func whole(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}
