package take

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// Whatever stands in a WAV file, its cue points are read without a panic, and
// no more of them than it has bytes for.
func FuzzCues(f *testing.F) {
	h := header(8000)
	f.Add(append(h[:], chunks([]Cue{{1, "a", ""}, {2, "b", "c"}})...))
	f.Add(h[:20])
	f.Fuzz(func(t *testing.T, b []byte) {
		cues, _ := Cues(bytes.NewReader(b), int64(len(b)))
		if len(cues)*24 > len(b) {
			t.Fatalf("%d cue points in %d bytes", len(cues), len(b))
		}
	})
}

// Whatever stands in the files of a take, it is read or refused, and what is
// read can be counted and turned into verdicts.
func FuzzLoad(f *testing.F) {
	f.Add([]byte(`{"schema":"bordon-take/1","settings":{"key":"G","form":"alegrias","line":"7:3 8:2","tempo_bpm":104,"a4_hz":440,"tolerance":"learning","rate_hz":48000},`+
		`"check":{"beats":[{"turn":1,"beat":"7","pitch":"right","heard":{"midi":45,"name":"A2"}}],"extra":[{"midi":45}]}}`), []byte(`{"schema":"bordon-player/1","rulings":[{"turn":1,"beat":"7","pitch":"missing"}]}`))
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, take, player []byte) {
		for name, b := range map[string][]byte{JSONName: take, PlayerName: player} {
			if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		s, err := Load(dir)
		if err != nil {
			return
		}
		e := s.Entry()
		ProgressOf([]Entry{e})
		if set, err := s.Settings(nil); err == nil {
			s.Verdicts(set)
		}
	})
}
