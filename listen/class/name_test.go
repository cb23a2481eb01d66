package class

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The students are invented.
func TestFromName(t *testing.T) {
	tests := []struct {
		file string
		want map[Column]string
		rest []string // words that say nothing known
	}{
		{"lucia-G-cejilla3-104.m4a", map[Column]string{Student: "lucia", Key: "G", Cejilla: "3", Tempo: "104"}, nil},
		{"lucia_G_104.m4a", map[Column]string{Student: "lucia", Key: "G", Tempo: "104"}, nil},
		{"Maria José 104 Bb.mp4", map[Column]string{Student: "Maria José", Key: "Bb", Tempo: "104"}, nil},
		{"pablo-por-medio-solea-76bpm.flac", map[Column]string{Student: "pablo", Key: "A-phrygian", Form: "solea", Tempo: "76"}, nil},
		{"pablo-G-al-3-alegrias-silencio.flac", map[Column]string{Student: "pablo", Key: "G", Cejilla: "3", Form: "alegrias/silencio"}, nil},
		{"ana-B-flat-108-first1.84.wav", map[Column]string{Student: "ana", Key: "Bb", Tempo: "108", FirstBeat: "1.84"}, nil},
		{"ana-F#m-cej03.wav", map[Column]string{Student: "ana", Key: "F#m", Cejilla: "3"}, nil},
		{"ana-G-cejilla0.wav", map[Column]string{Student: "ana", Key: "G", Cejilla: "0"}, nil},
		{"2030-01-31-ines-D-96.m4a", map[Column]string{Student: "ines", Key: "D", Tempo: "96"}, nil},
		{"monday/ines-D-96.m4a", map[Column]string{Student: "ines", Key: "D", Tempo: "96"}, nil},
		{"ines-auto-cejilla3-96.m4a", map[Column]string{Student: "ines", Key: "auto", Cejilla: "3", Tempo: "96"}, nil},
		{"G-104.wav", map[Column]string{Key: "G", Tempo: "104"}, nil},
		{"Sol-G-104.wav", map[Column]string{Student: "Sol", Key: "G", Tempo: "104"}, nil},
		{"lucia-G-104-take2.wav", map[Column]string{Student: "lucia", Key: "G", Tempo: "104"}, []string{"take2"}},
		{"lucia-G-cejila3.wav", map[Column]string{Student: "lucia", Key: "G"}, []string{"cejila3"}},
		{"lucia-g-104.wav", map[Column]string{Student: "lucia g", Tempo: "104"}, nil}, // a small letter may be minor
		{"VID_20300131_180507.mp4", nil, []string{"VID", "20300131", "180507"}},
		{"lucia-G-500.wav", map[Column]string{Student: "lucia", Key: "G"}, []string{"500"}},
		{"<script>alert(1)</script>.wav", map[Column]string{Student: "script>"}, nil},
		{"ana\n\u202eG-104.wav", map[Column]string{Student: "ana G", Tempo: "104"}, nil},
		{".wav", nil, nil},
	}
	for _, tt := range tests {
		g := FromName(tt.file)
		assert.Equal(t, tt.file, g.Of(File))
		for c := Student; c < columns; c++ {
			assert.Equal(t, tt.want[c], g.Of(c), "%s: %v", tt.file, c)
			assert.Empty(t, g.Doubt[c], "%s: %v", tt.file, c)
		}
		assert.Equal(t, tt.rest, g.Unread, tt.file)
	}
}

// What a name says in two ways is not taken.
func TestFromNameThatSaysTwoThings(t *testing.T) {
	g := FromName("lucia-G-F-104-cejilla3-96-cejilla3.wav")
	assert.Equal(t, "lucia", g.Of(Student))
	assert.Empty(t, g.Of(Key))
	assert.Equal(t, []string{"F", "G"}, g.Doubt[Key])
	assert.Empty(t, g.Of(Tempo))
	assert.Equal(t, []string{"104", "96"}, g.Doubt[Tempo])
	assert.Equal(t, "3", g.Of(Cejilla), "twice the same is once")
}

func FuzzFromName(f *testing.F) {
	for _, s := range []string{"lucia-G-cejilla3-104.m4a", "a/b-por-medio.flac", "\x00-\xff", "-- --.x", strings.Repeat("G-", 300)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, file string) {
		g := FromName(file)
		assert.Equal(t, file, g.Of(File))
		assert.Equal(t, Shown(g.Of(Student)), g.Of(Student), "what is shown of a student is one clean line")
		for c := Key; c < columns; c++ {
			if len(g.Doubt[c]) > 0 {
				assert.Empty(t, g.Of(c), "nothing is taken of what is in doubt")
			}
		}
	})
}
