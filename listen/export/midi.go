package export

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"gitlab.com/gomidi/midi/v2"
	"gitlab.com/gomidi/midi/v2/smf"

	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/theory"
)

// What the two parts are played with. Channels count from 0; the program is
// General MIDI's nylon guitar, the 25th.
const (
	heardChannel = 0
	askedChannel = 1
	nylonGuitar  = 24
	heardLoud    = 96
	doubtLoud    = 48 // where the ear would not swear to the note
	askedLoud    = 64
	lastTick     = 1<<28 - 1 // the longest time that a MIDI file can tell
)

// event is a message of a track at its tick.
type event struct {
	tick  int64
	order int // of those at one tick: what ends, then what is told, then what begins
	bytes []byte
}

// MIDI writes the piece as a Standard MIDI File of format 1 (MIDI 1.0). Time 0
// is the sound's first sample, so that the two lie side by side; what comes
// before the first turn is a bar of its own. The first track holds the beats as
// tempo map, time and key signature, and a marker for every verdict that is not
// right and on its beat; the second what was heard, the third what was asked,
// where the beats have it. Where a note ends the ear does not hear: it lasts
// until the next one, and one unit of the form at most.
func (p *Piece) MIDI(out io.Writer, w Words) error {
	g, err := p.grid()
	if err != nil {
		return err
	}
	form := p.Settings.Form
	c := newClock(g, p.Rate, form, p.Turns*form.Beats)
	end := c.beat(max(p.Turns*form.Beats, c.first+1))
	if end > lastTick {
		return fmt.Errorf("%d turns from %g s on are longer than a MIDI file can be", p.Turns, p.Settings.FirstBeat)
	}

	told := []event{
		{0, 0, smf.MetaTrackSequenceName(text(p.name()))},
		{0, 1, keySignature(p.Settings.Key.Transpose(p.Settings.Cejilla))},
	}
	told = append(told, p.meters(c)...)
	for _, t := range c.tempos {
		told = append(told, event{t.tick, 1, tempoOf(t.micros)})
	}
	at := func(sample int64) int64 { return min(max(c.tick(sample), 0), end-1) }
	var heard, asked []sounding
	strummed := 0 // the last turn that was told to be
	for i := range p.Notes {
		n := &p.Notes[i]
		beat := at(g.Sample(float64((n.Turn-1)*form.Beats) + n.place().Offset(form.Beats)))
		asked = append(asked, sounding{beat, n.ExpectedMIDI, askedLoud})
		mark := beat
		if n.Heard != nil {
			loud := uint8(heardLoud)
			if n.Pitch == match.Unsure {
				loud = doubtLoud
			}
			mark = at(n.Heard.Onset)
			heard = append(heard, sounding{mark, n.Heard.MIDI, loud})
		}
		said := p.remarks(n, &w)
		if len(said) == 0 || n.Pitch == match.Strummed && strummed == n.Turn {
			continue
		}
		if n.Pitch == match.Strummed {
			strummed = n.Turn
		}
		if asks := p.asks(n, &w); asks != "" {
			said = slices.Insert(said, 1, asks)
		}
		told = append(told, event{mark, 2, smf.MetaMarker(text(w.at(n) + ": " + strings.Join(said, ", ")))})
	}
	for _, x := range p.Extras {
		tick := at(x.Heard.Onset)
		heard = append(heard, sounding{tick, x.Heard.MIDI, heardLoud})
		told = append(told, event{tick, 2, smf.MetaMarker(text(w.Extra + ": " + w.Note(p.fingered(x.Heard.MIDI))))})
	}

	file := smf.NewSMF1()
	file.TimeFormat = smf.MetricTicks(c.quarter)
	parts := [][]event{told}
	if p.played() {
		parts = append(parts, part(heardChannel, w.Heard, heard, int64(c.ticks), end))
	}
	parts = append(parts, part(askedChannel, w.Asked, asked, int64(c.ticks), end))
	for _, events := range parts {
		if err := file.Add(trackOf(events, end)); err != nil {
			return fmt.Errorf("writing a MIDI file: %w", err)
		}
	}
	if _, err := file.WriteTo(out); err != nil {
		return fmt.Errorf("writing a MIDI file: %w", err)
	}
	return nil
}

// played reports whether somebody has.
func (p *Piece) played() bool { return p.Name != "" }

// name is what the piece goes by.
func (p *Piece) name() string {
	if p.Name == "" {
		return p.Title
	}
	return p.Title + " (" + p.Name + ")"
}

// meters are the time signatures: that of the bar before the first whole turn,
// and that of a turn, which is one bar. A bar too long for one has none.
func (p *Piece) meters(c *clock) []event {
	form := p.Settings.Form
	next := c.first + form.Beats - mod(c.first, form.Beats)
	var out []event
	add := func(beat, units int) {
		if units > 0 && units <= 255 {
			value := unit(form)
			// MIDI clocks a click, of which a quarter note has 24, and the
			// 32nds of a quarter note.
			out = append(out, event{c.beat(beat), 1, smf.MetaTimeSig(uint8(units), uint8(value), uint8(96/value), 8)})
		}
	}
	lead := int(form.Units(float64(next)) - form.Units(float64(c.first)))
	add(c.first, lead)
	if lead != form.TurnUnits() {
		add(next, form.TurnUnits())
	}
	return out
}

func mod(a, n int) int { return ((a % n) + n) % n }

// keySignature is the message for a key; a Phrygian one is written with the
// signature of its scale, as minor.
func keySignature(k theory.Key) []byte {
	n := k.Signature()
	return smf.MetaKey(0, k.Mode == theory.Major, uint8(max(n, -n)), n < 0)
}

// tempoOf is the message for a tempo in microseconds of a quarter note.
func tempoOf(micros int) []byte {
	return []byte{0xff, 0x51, 3, byte(micros >> 16), byte(micros >> 8), byte(micros)}
}

// sounding is a note from its tick on.
type sounding struct {
	tick int64
	midi int
	loud uint8
}

// part is a track of notes, none of them longer than longest ticks.
func part(channel uint8, name string, notes []sounding, longest, end int64) []event {
	events := []event{{0, 0, smf.MetaTrackSequenceName(text(name))}, {0, 0, midi.ProgramChange(channel, nylonGuitar)}}
	slices.SortStableFunc(notes, func(a, b sounding) int { return cmp.Compare(a.tick, b.tick) })
	for i, n := range notes {
		if n.midi < 0 || n.midi > 127 || i > 0 && notes[i-1].tick == n.tick && notes[i-1].midi == n.midi {
			continue
		}
		until := min(n.tick+longest, end)
		for _, next := range notes[i+1:] {
			if next.tick > n.tick {
				until = min(until, next.tick)
				break
			}
		}
		events = append(events, event{n.tick, 3, midi.NoteOn(channel, uint8(n.midi), n.loud)}, event{until, 0, midi.NoteOff(channel, uint8(n.midi))})
	}
	return events
}

func trackOf(events []event, end int64) smf.Track {
	slices.SortStableFunc(events, func(a, b event) int { return cmp.Or(cmp.Compare(a.tick, b.tick), cmp.Compare(a.order, b.order)) })
	var track smf.Track
	last := int64(0)
	for _, e := range events {
		track.Add(uint32(e.tick-last), e.bytes)
		last = e.tick
	}
	track.Close(uint32(max(0, end-last)))
	return track
}

// maxText bounds a text in bytes.
const maxText = 1000

// text is written in the letters of ASCII, which MIDI 1.0 recommends.
func text(s string) string {
	s = take.ASCII(s)
	return s[:min(len(s), maxText)]
}
