package main

import (
	"bytes"
	"cmp"
	"errors"
	"slices"

	"bordon/listen"
	"bordon/listen/export"
	"bordon/listen/match"
	"bordon/theory"
)

// lineFormats are those that a line is told in.
var lineFormats = append(slices.Clone(formats), "midi", "musicxml")

// exported reports whether a line is asked for as other programs open it.
func (f lineFlags) exported() bool { return f.format == "midi" || f.format == "musicxml" }

// untold is the tempo in units a minute of a form that has no usual one.
const untold = 100

// exportLine writes a line to standard output as other programs open it.
func (a *app) exportLine(format string, line theory.Line, s setting) error {
	set := listen.Settings{Key: line.Key, Form: line.Form, Line: line, Tempo: cmp.Or(line.Form.Tempo, untold), Cejilla: s.cejilla,
		A4: 440, Tolerance: match.Learning}
	p, err := export.OfLine(set, language.PieceTitle(line.Form, line.Key, s.cejilla))
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if format == "midi" {
		err = p.MIDI(&b, exportWords())
	} else {
		err = p.MusicXML(&b, exportWords())
	}
	if err != nil {
		return err
	}
	return a.writeOut(format, b.Bytes())
}

// writeOut writes to standard output, but no MIDI to a screen.
func (a *app) writeOut(format string, b []byte) error {
	if format == "midi" && isTerminal(a.stdout) {
		return errors.New("a MIDI file is not text for the screen; send it to a file, such as > line.mid")
	}
	_, err := a.stdout.Write(b)
	return err
}
