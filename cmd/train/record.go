package main

import (
	"encoding/binary"
	"os"
	"path/filepath"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/fluid"
	"bordon/theory"
)

// programs of General MIDI, counted from 1, that the ear learns from: nylon,
// steel, jazz and clean electric guitar, harp, banjo, koto.
var programs = map[int]string{25: nylon + "-25", 26: "p26", 27: "p27", 28: "p28", 47: "p47", 106: "p106", 108: "p108"}

const (
	noteRate         = 22050
	noteEvery        = 10.0 // seconds
	noteLen          = noteRate * 32 / 10
	noteFrom, noteTo = 40, 82
)

// record writes every second semitone of the programs to folders of WAV files
// under dir.
func record(dir string) error {
	take := fixtures.Take{Name: "single notes", Tempo: 120, A4: 440, Guitar: pluck.Classic()}
	at := func(m int) float64 { return 0.2 + noteEvery*float64(m-noteFrom)/2 }
	for m := noteFrom; m <= noteTo; m += 2 {
		str := 6
		for str > 1 && m >= open[str-2] {
			str--
		}
		take.Events = append(take.Events,
			pluck.Event{At: at(m), Kind: pluck.Pluck, String: str, Fret: m - open[str-1], Velocity: 0.75},
			pluck.Event{At: at(m) + 4.8, Kind: pluck.Damp})
	}
	take.Seconds = at(noteTo + 2)
	for program, name := range programs {
		x, err := fluid.Instrument{SoundFont: fluid.SoundFont, Program: program}.Render(take, noteRate)
		if err != nil {
			return err
		}
		folder := filepath.Join(dir, name)
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return err
		}
		for m := noteFrom; m <= noteTo; m += 2 {
			// A hundredth of a second before the note: where its attack starts
			// is measured when it is read.
			i := int((at(m) - 0.01) * noteRate)
			note := theory.Key{Tonic: theory.Name{Letter: 'A'}}.Spell(m).String()
			if err := writeWAV(filepath.Join(folder, note+".wav"), x[i:i+noteLen]); err != nil {
				return err
			}
		}
	}
	return nil
}

// writeWAV writes x as 16-bit PCM, mono, at noteRate.
func writeWAV(path string, x []float32) error {
	const header = 44
	b := make([]byte, 0, header+2*len(x))
	le := binary.LittleEndian
	b = append(b, "RIFF"...)
	b = le.AppendUint32(b, uint32(header-8+2*len(x)))
	b = append(b, "WAVEfmt "...)
	b = le.AppendUint32(b, 16)
	b = le.AppendUint16(b, 1) // PCM
	b = le.AppendUint16(b, 1) // channels
	b = le.AppendUint32(b, noteRate)
	b = le.AppendUint32(b, 2*noteRate)
	b = le.AppendUint16(b, 2)
	b = le.AppendUint16(b, 16)
	b = append(b, "data"...)
	b = le.AppendUint32(b, uint32(2*len(x)))
	for _, v := range x {
		b = le.AppendUint16(b, uint16(int16(min(max(v, -1), 1)*32767)))
	}
	return os.WriteFile(path, b, 0o644)
}
