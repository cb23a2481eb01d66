package export

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"bordon/listen/match"
	"bordon/theory"
)

// staff is what stands on a staff, a part of its own each: programs that draw
// tablature beside notes on two staves of one part are few.
type staff int

const (
	heardNotes staff = iota
	askedNotes
	askedTablature
)

// MusicXML writes the piece as a MusicXML 4.0 score: what was heard, what was
// asked, and that again as tablature. Everything is as fingered: a cejilla
// stands over the first bar, in the tablature's capo and in the transposition.
// Strings and frets of what was heard are where such a note usually lies.
//
// A bar is one turn on a line of its own: 12/4 for the forms of twelve beats,
// the counts of seguiriyas as 2+2+3+3+2/8. Scores of these forms are also
// written in four bars of 3/4; but those cut the walk on 7 8 9 10 by a bar line
// before its landing, and a reader of this page looks for beat 8 of every turn
// in one column. The beats are counted under what was asked.
//
// What is not right is told in words under its note, over what was asked. A heard note stands where
// the line asked for it, and early and late are words; an extra one stands where
// it was played, to a quarter of a beat. Where nothing was heard there are
// rests. A group of beats in which nothing is has one rest.
func (p *Piece) MusicXML(out io.Writer, w Words) error {
	s := score{Version: "4.0", Title: p.Title, Software: "Bordon", Source: p.Name}
	heard, asked := p.turns(&w)
	if heard != nil {
		s.add(heardNotes, "heard", w.Heard, p, heard, &w)
	}
	s.add(askedNotes, "asked", w.Asked, p, asked, &w)
	s.add(askedTablature, "asked-tablature", w.Asked, p, asked, &w)
	if _, err := io.WriteString(out, xml.Header); err != nil {
		return fmt.Errorf("writing MusicXML: %w", err)
	}
	e := xml.NewEncoder(out)
	e.Indent("", " ")
	if err := e.Encode(s); err != nil {
		return fmt.Errorf("writing MusicXML: %w", err)
	}
	_, err := io.WriteString(out, "\n")
	return err
}

// turns are what was heard, nil where nobody has played, and what was asked, for
// each turn.
func (p *Piece) turns(w *Words) (heard, asked [][]struck) {
	asked = make([][]struck, p.Turns)
	if p.played() {
		heard = make([][]struck, p.Turns)
	}
	strummed := 0 // the last turn that was told to be
	for i := range p.Notes {
		n := &p.Notes[i]
		at := n.place()
		if n.Turn < 1 || n.Turn > p.Turns || at.Beat < 1 || at.Beat > p.Settings.Form.Beats {
			continue
		}
		s := struck{beat: at.Beat, at: fraction(at) * float64(p.Settings.Form.Length(at.Beat)), pos: at}
		ask := s
		ask.midi = n.ExpectedMIDI
		if len(n.Item.Choices) > 1 || n.Item.Choices[0].Kind != theory.ExactNote {
			var choices []string
			for _, c := range n.Item.Choices {
				if c.Kind == theory.ExactNote {
					choices = append(choices, w.Note(c.Note))
				} else {
					choices = append(choices, c.String())
				}
			}
			ask.remarks = []string{strings.Join(choices, " | ")}
		}
		asked[n.Turn-1] = append(asked[n.Turn-1], ask)
		if heard == nil {
			continue
		}
		s.rest, s.doubt = n.Heard == nil, n.Pitch == match.Unsure
		if n.Heard != nil {
			s.midi = n.Heard.MIDI
		}
		if n.Pitch != match.Strummed || strummed != n.Turn {
			s.remarks = p.remarks(n, w)
		}
		if n.Pitch == match.Strummed {
			strummed = n.Turn
		}
		heard[n.Turn-1] = append(heard[n.Turn-1], s)
	}
	g, err := p.grid()
	if err != nil || heard == nil {
		return heard, asked
	}
	beats := p.Settings.Form.Beats
	for _, x := range p.Extras {
		at := math.Min(math.Max(g.Beat(x.Heard.Onset), 0), float64(p.Turns*beats)-1.0/extraCut)
		turn, beat := int(at)/beats, int(at)%beats
		heard[turn] = append(heard[turn], struck{beat: beat + 1, at: (at - math.Floor(at)) * float64(p.Settings.Form.Length(beat+1)),
			midi: x.Heard.MIDI, remarks: []string{w.Extra}})
	}
	return heard, asked
}

// fraction of a beat that a position lies after it.
func fraction(at theory.Position) float64 {
	if at.Num == 0 {
		return 0
	}
	return float64(at.Num) / float64(at.Den)
}

// add writes a part.
func (s *score) add(on staff, id, name string, p *Piece, turns [][]struck, w *Words) {
	sounds := id + "-guitar"
	channel := len(s.List) + 1
	printed := partName{Text: name}
	if on == askedTablature {
		printed.Print = "no"
	}
	s.List = append(s.List, named{ID: id, Name: printed, Instrument: instrument{sounds, name, "pluck.guitar.nylon-string"},
		MIDIProgram: midiProgram{sounds, channel, nylonGuitar + 1}})
	spelled := func(midi int) string { return w.Note(p.fingered(midi)) }
	bars := make([][]slots, len(turns))
	divisions := 1 // of a unit
	for i, notes := range turns {
		bars[i] = layOut(p.Settings.Form, notes, spelled)
		for _, b := range bars[i] {
			divisions = lcm(divisions, b.cut)
		}
	}
	if unit(p.Settings.Form) == 2 {
		divisions *= 2 // a quarter note is half a unit
	}
	part := partXML{ID: id}
	for i, bar := range bars {
		b := barWriter{p: p, w: w, divisions: divisions, on: on, first: on == heardNotes || on == askedNotes && !p.played()}
		b.write(bar, i+1)
		part.Measures = append(part.Measures, measure{Number: i + 1, Music: b.music})
	}
	s.Parts = append(s.Parts, part)
}

// meter is the form's.
func meter(f theory.Form) timeXML {
	if len(f.Lengths) == 0 {
		return timeXML{strconv.Itoa(f.Beats), unit(f)}
	}
	var beats []string
	for _, n := range f.Lengths {
		beats = append(beats, strconv.Itoa(n))
	}
	return timeXML{strings.Join(beats, "+"), unit(f)}
}

// attributes of the first bar. divisions are those of a unit.
func (p *Piece) attributes(on staff, divisions int) attributes {
	key, form := p.Settings.Key, p.Settings.Form
	a := attributes{
		Divisions: divisions * unit(form) / 4,
		Key:       keyXML{key.Signature(), key.Mode.String()},
		Time:      meter(form),
		Clef:      clef{"G", 2, -1},
	}
	if on == askedTablature {
		a.Clef = clef{"TAB", 5, 0}
		a.Details = p.tablature()
	}
	if c := p.Settings.Cejilla; c > 0 {
		steps := mod(int(key.Transpose(c).Tonic.Letter)-int(key.Tonic.Letter), 7)
		a.Transpose = &transpose{steps, c}
		if c == 12 {
			a.Transpose.Diatonic = 7
		}
	}
	return a
}

// tablature is what its staff says of the guitar.
func (p *Piece) tablature() *details {
	d := &details{Lines: 6, Capo: p.Settings.Cejilla}
	// Open strings are named as they are in D major.
	names := theory.Key{Tonic: theory.Name{Letter: 'D'}}
	open := tuningOf(p.Settings.Line)
	for line := 1; line <= 6; line++ { // the lowest line is the sixth string
		n := names.Spell(open[6-line])
		d.Tuning = append(d.Tuning, tuning{line, string(n.Letter), n.Alter, n.Octave})
	}
	return d
}

// tempoIn is the tempo that stands over a turn: that of the first, and one that
// changed by so much that a metronome shows it.
func (p *Piece) tempoIn(turn int) (tempo float64, shown bool) {
	tempo = math.Round(p.Settings.TempoIn(turn))
	return tempo, turn == 1 || tempo != math.Round(p.Settings.TempoIn(turn-1))
}

// changes are the chords that begin in a turn by their beat, as symbols. They
// are written as words: programs differ in how they draw a harmony element, and
// make a G5 of a plain G.
func (p *Piece) changes(turn int, w *Words) map[int]string {
	out := map[int]string{}
	form := p.Settings.Form
	last := ""
	if turn > 1 {
		last = w.Chord(form.ChordAt(p.Settings.Key, float64(form.Beats)))
	}
	for beat := 1; beat <= form.Beats; beat++ {
		now := w.Chord(form.ChordAt(p.Settings.Key, float64(beat)))
		if now != last {
			out[beat] = now
		}
		last = now
	}
	return out
}

// altered are the letters that a signature raises or lowers.
func altered(signature int) map[byte]int {
	out := map[byte]int{}
	order := []byte("FCGDAEB")
	if signature < 0 {
		slices.Reverse(order)
	}
	for i := range min(max(signature, -signature), len(order)) {
		out[order[i]] = 1
		if signature < 0 {
			out[order[i]] = -1
		}
	}
	return out
}
