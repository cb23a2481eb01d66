package main

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// keep writes an entry's take to a folder: its sound, and its truth beside it.
func keep(dir string, e *entry) error {
	take, x, rate, err := e.sound()
	if err != nil {
		return fmt.Errorf("keep take %q: %w", e.name(), err)
	}
	return keepAs(dir, e.name(), x, rate, take)
}

// keepAs writes sound and truth under a take's name.
func keepAs(dir, take string, x []float32, rate int, truth any) error {
	fail := func(err error) error { return fmt.Errorf("keep take %q: %w", take, err) }
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return fail(err)
	}
	name := filepath.Join(dir, strings.NewReplacer(" / ", "--", " ", "-", "/", "-", ",", "", "#", "").Replace(take))
	if err := os.WriteFile(name+".wav", wav(x, rate), 0o666); err != nil {
		return fail(err)
	}
	text, err := json.MarshalIndent(truth, "", " ")
	if err != nil {
		return fail(err)
	}
	if err := os.WriteFile(name+".json", append(text, '\n'), 0o666); err != nil {
		return fail(err)
	}
	return nil
}

// wav is x as a file: RIFF/WAVE (Microsoft and IBM, 1991), mono, 16-bit PCM.
func wav(x []float32, rate int) []byte {
	le := binary.LittleEndian
	size := uint32(2 * len(x))
	b := append([]byte(nil), "RIFF"...)
	b = le.AppendUint32(b, 36+size)
	b = append(b, "WAVEfmt "...)
	b = le.AppendUint32(b, 16)
	b = le.AppendUint16(b, 1)
	b = le.AppendUint16(b, 1)
	b = le.AppendUint32(b, uint32(rate))
	b = le.AppendUint32(b, uint32(2*rate))
	b = le.AppendUint16(b, 2)
	b = le.AppendUint16(b, 16)
	b = append(b, "data"...)
	b = le.AppendUint32(b, size)
	for _, v := range x {
		b = le.AppendUint16(b, uint16(int16(min(max(v, -1), 1)*32767)))
	}
	return b
}
