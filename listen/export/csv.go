package export

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"bordon/listen/match"
)

// ExtraPitch stands in a row in place of a verdict for a note that no beat
// asked for.
const ExtraPitch = "extra"

// CSVHeader are the columns, named as bordon-check/1 names the same things.
var CSVHeader = []string{"take", "key", "form", "cejilla", "turn", "beat", "time_s", "expected", "expected_midi", "degree", "string", "fret",
	"heard", "heard_midi", "heard_time_s", "cents", "confidence", "pitch", "timing", "offset_ms", "ear", "reason"}

// CSV writes a row for each verdict, the player's word in place of the ear's,
// and one for each extra note, as RFC 4180 has it: commas, quotes where they are
// needed, CR LF, a header. Times are in seconds of the sound; names sound;
// string and fret are where the asked note lies, counted from the cejilla; ear
// is what the ear had said where the player overruled it. A cell is empty where
// there is nothing to tell.
//
// A text that a spreadsheet would take for a formula has an apostrophe put before
// it.
func (p *Piece) CSV(out io.Writer) error {
	w := csv.NewWriter(out)
	w.UseCRLF = true
	if err := w.Write(CSVHeader); err != nil {
		return fmt.Errorf("writing CSV: %w", err)
	}
	seconds := func(sample int64) string { return decimals(float64(sample)/float64(p.Rate), 4) }
	set := &p.Settings
	row := func(turn int, beat string) map[string]string {
		return map[string]string{
			"take": plain(p.Name), "key": plain(set.Key.String()), "form": plain(set.Form.Name), "cejilla": strconv.Itoa(set.Cejilla),
			"turn": strconv.Itoa(turn), "beat": plain(beat),
		}
	}
	hear := func(r map[string]string, h *match.Heard) {
		if h == nil {
			return
		}
		r["heard"], r["heard_midi"], r["heard_time_s"] = plain(p.sounding(h.MIDI)), strconv.Itoa(h.MIDI), seconds(h.Onset)
		r["cents"], r["confidence"] = decimals(h.Cents, 1), decimals(h.Confidence, 2)
	}
	write := func(r map[string]string) error {
		cells := make([]string, len(CSVHeader))
		for i, name := range CSVHeader {
			cells[i] = r[name]
		}
		if err := w.Write(cells); err != nil {
			return fmt.Errorf("writing CSV: %w", err)
		}
		return nil
	}
	extras := p.Extras
	extra := func(before int64) error { // those that come before a sample
		for len(extras) > 0 && extras[0].Heard.Onset < before {
			r := row(extras[0].Turn, "")
			r["pitch"] = ExtraPitch
			hear(r, &extras[0].Heard)
			if err := write(r); err != nil {
				return err
			}
			extras = extras[1:]
		}
		return nil
	}
	for i := range p.Notes {
		n := &p.Notes[i]
		if err := extra(n.Time); err != nil {
			return err
		}
		r := row(n.Turn, n.Item.Position.String())
		r["time_s"], r["expected"], r["expected_midi"], r["degree"] = seconds(n.Time), plain(n.Name), strconv.Itoa(n.ExpectedMIDI), plain(n.Degree)
		if at, ok := p.neck(n.ExpectedMIDI, &n.Item.Position); ok {
			r["string"], r["fret"] = strconv.Itoa(at.String), strconv.Itoa(at.Fret)
		}
		hear(r, n.Heard)
		r["pitch"], r["timing"] = plain(string(n.Pitch)), plain(string(n.Timing))
		if n.Timing != "" {
			r["offset_ms"] = decimals(1000*float64(n.Offset)/float64(p.Rate), 1)
		}
		r["ear"], r["reason"] = plain(n.Ear), plain(n.Reason)
		if err := write(r); err != nil {
			return err
		}
	}
	if err := extra(1<<63 - 1); err != nil {
		return err
	}
	w.Flush()
	if err := w.Error(); err != nil {
		return fmt.Errorf("writing CSV: %w", err)
	}
	return nil
}

// decimals is a number with at most so many digits behind the point.
func decimals(v float64, most int) string {
	s := strconv.FormatFloat(v, 'f', most, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// plain is text for a cell: readable, on one line, and no formula. Spreadsheets
// take what begins with one of these for one, some in their wide forms too; tabs
// and line ends are among them and have become spaces.
func plain(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < 0x20 || r >= 0x7f && r < 0xa0 {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
	if strings.ContainsAny(firstRune(strings.TrimLeft(s, " \u00a0\ufeff")), "=+-@＝＋－＠") {
		return "'" + s
	}
	return s
}

func firstRune(s string) string {
	for _, r := range s {
		return string(r)
	}
	return ""
}
