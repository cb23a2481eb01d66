package export_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bordon/listen/export"
	"bordon/listen/match"
	"bordon/listen/take"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var shots = flag.String("shots", "", "folder for pictures of the scores")

// hostile are names that would do harm where they are not mere text.
var hostile = []string{
	`</work-title><part/>`, `"><script>alert(1)</script>`, `]]>`, `<!--`, `&xxe;`, "nul\x00 esc\x1b[31m bell\x07", "bad \xff\xfe", "two\nlines",
	`#(system "true")`, `\include "/etc/passwd"`, `" #} \version`, strings.Repeat("long", 5000), "¡olé! 𝄞", "",
}

func TestNamesAreMerelyText(t *testing.T) {
	for _, name := range hostile {
		p := pieceOf(t, lesson(t))
		p.Name, p.Title = name, name
		words := plainWords
		words.Heard, words.Label = name, func(match.Verdict) string { return name }
		var b strings.Builder
		require.NoError(t, p.MusicXML(&b, words))
		score := []byte(b.String())
		t.Run("valid", func(t *testing.T) { valid(t, score) })
		s := scoreRead{}
		read(t, "xml.etree", tree, file(t, "take.musicxml", score), &s)
		assert.Equal(t, 4, len(s.Parts[0].Bars), "%.40q", name)

		b.Reset()
		require.NoError(t, p.MIDI(&b, words))
		f := midiFile{}
		read(t, "mido", mido, file(t, "take.mid", []byte(b.String())), &f)
		for _, track := range f.Tracks {
			for _, r := range track.Name {
				assert.True(t, r >= 0x20 && r < 0x7f, "%.40q", track.Name)
			}
			assert.LessOrEqual(t, len(track.Name), 1000)
		}
		assert.Len(t, readCSV(t, csvOf(t, p)), 17)
	}
}

// Whatever the files of a take hold, they are exported or refused: no panic, and
// no more than the take can account for.
func FuzzExport(f *testing.F) {
	seed := func(take string) { f.Add([]byte(take)) }
	const settings = `"settings":{"key":"G","form":"alegrias","line":"7:3 8:2","tempo_bpm":104,"a4_hz":440,"tolerance":"learning","rate_hz":48000,"first_beat_s":4}`
	seed(`{"schema":"bordon-take/1",` + settings + `,"check":{"beats":[{"turn":1,"beat":"7","pitch":"right","heard":{"midi":45,"name":"A2"}}],"extra":[{"midi":45}]}}`)
	seed(`{"schema":"bordon-take/1",` + settings + `,"check":{"beats":[{"turn":4999,"beat":"8","pitch":"missing","expected":{"midi":-5}}],"extra":[{"midi":900,"time_s":1e6}]}}`)
	seed(`{"schema":"bordon-take/1","settings":{"key":"E","form":"seguiriyas","line":"1:3 3+1/7:2","tempo_bpm":20,"a4_hz":440,"tolerance":"learning","rate_hz":8000,"first_beat_s":-86400},` +
		`"delay_ms":-2000,"check":{"beats":[{"turn":1,"beat":"3+1/7","pitch":"unsure"}]}}`)
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, described []byte) {
		if err := os.WriteFile(filepath.Join(dir, take.JSONName), described, 0o644); err != nil {
			t.Fatal(err)
		}
		s, err := take.Load(dir)
		if err != nil {
			return
		}
		p, err := export.OfTake(s, "t")
		if err != nil || p.Turns > 50 {
			return
		}
		for _, write := range []func(*strings.Builder) error{
			func(b *strings.Builder) error { return p.MIDI(b, plainWords) },
			func(b *strings.Builder) error { return p.MusicXML(b, plainWords) },
			func(b *strings.Builder) error { return p.CSV(b) },
		} {
			var b strings.Builder
			if err := write(&b); err != nil && (err.Error() == "" || strings.Contains(err.Error(), "\n")) {
				t.Fatalf("an error is a sentence: %q", err)
			}
			if most := 1<<20 + 64*len(described) + p.Turns*200000; b.Len() > most {
				t.Fatalf("%d bytes of %d", b.Len(), len(described))
			}
		}
	})
}
