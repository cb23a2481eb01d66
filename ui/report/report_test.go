package report

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/theory"
	"bordon/ui/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const testRate = 48000

var demo = sync.OnceValues(func() ([]float32, error) {
	d, err := fixtures.Demo()
	if err != nil {
		return nil, err
	}
	return d.Render(testRate)
})

// demoTake is the built-in performance as a take, in a folder of its own.
func demoTake(t *testing.T) *take.Stored {
	t.Helper()
	d, err := fixtures.Demo()
	require.NoError(t, err)
	x, err := demo()
	require.NoError(t, err)
	key, err := theory.ParseKey(d.Key)
	require.NoError(t, err)
	form, err := theory.LookupForm(d.Form)
	require.NoError(t, err)
	line, err := theory.ParseLine(d.Line, key, form, theory.Standard)
	require.NoError(t, err)
	set := listen.Settings{Key: key, Form: form, Line: line, LineText: d.Line, Tempo: d.Tempo, FirstBeat: d.FirstBeat,
		A4: d.A4, Tolerance: match.Learning, DelayKnown: true, Reason: words.English.Reason}
	s, err := listen.NewSession(set, testRate)
	require.NoError(t, err)
	started := time.Date(2030, 1, 31, 18, 5, 7, 0, time.UTC)
	rec, err := take.Record(t.TempDir(), started, d.Key, testRate)
	require.NoError(t, err)
	heard := append([]float32(nil), x...)
	rec.Quantise(heard)
	require.NoError(t, rec.Write(heard))
	s.Write(heard)
	s.Close()
	require.NoError(t, rec.Finish(s.Take(started, listen.Devices{Input: "room"}, take.WAVName), nil))
	stored, err := take.Load(rec.Dir())
	require.NoError(t, err)
	require.NoError(t, stored.Overrule(2, "8", match.Right, "it was A", started))
	require.NoError(t, stored.SetNote("new strings"))
	return stored
}

func TestWrite(t *testing.T) {
	s := demoTake(t)
	path, err := Write(words.English, s)
	require.NoError(t, err)
	assert.Equal(t, filepath.Join(s.Dir, "report.html"), path)
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	html := string(b)
	for _, said := range []string{"G major", "turn 3", " ms late", "not in key", "you say: right", "asked A2", "new strings",
		"right / (judged - unsure) = 15 / (16 - 0) = 93.8 %", "No bass note was heard", "2030-01-31 18:05"} {
		assert.True(t, strings.Contains(html, said), said)
	}
	for _, elsewhere := range []string{"http:", "https:", "src=", "@import", "url("} {
		assert.False(t, strings.Contains(html, elsewhere), "one file, and no network: %s", elsewhere)
	}
	assert.Less(t, len(b), 8<<20)
	assert.Equal(t, 16, strings.Count(html, "<button"))

	// Without its sound the report says so.
	require.NoError(t, os.Remove(s.WAV()))
	var out bytes.Buffer
	require.NoError(t, Take(&out, words.English, s))
	assert.Contains(t, out.String(), "The recording is not in this report")
	assert.Equal(t, 16, strings.Count(out.String(), "<button"), "what was asked is heard all the same")
}

const attack = `</script><script>alert(1)</script><img src=x onerror=alert(2)>"'` + "`"

// Whatever field of a take holds a script, the report holds none of it, or the
// take is refused.
func TestEveryFieldIsEscaped(t *testing.T) {
	s := demoTake(t)
	fields := 0
	var attackAll func(v reflect.Value, path string)
	attackAll = func(v reflect.Value, path string) {
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() {
				attackAll(v.Elem(), path)
			}
		case reflect.Struct:
			for i := range v.NumField() {
				attackAll(v.Field(i), path+"."+v.Type().Field(i).Name)
			}
		case reflect.Slice:
			for i := range min(v.Len(), 5) { // the first turn and the mistake of the second
				attackAll(v.Index(v.Len()-1-i), fmt.Sprintf("%s[%d]", path, v.Len()-1-i))
			}
		case reflect.String:
			fields++
			was := v.String()
			v.SetString(attack)
			var out bytes.Buffer
			if err := Take(&out, words.English, s); err == nil {
				html := out.String()
				assert.False(t, strings.Contains(html, "<script>alert"), path)
				assert.False(t, strings.Contains(html, "<img"), path)
				assert.Equal(t, 2, strings.Count(html, "<script"), path)
			} else {
				assert.NotContains(t, err.Error(), "panic", path)
			}
			v.SetString(was)
		}
	}
	newer := s.Take.Check
	newer.Beats = append([]listen.Beat(nil), newer.Beats...)
	newer.Beats[3].Pitch = match.Octave
	newer.Beats[3].Heard = &listen.Note{Name: "G3"}
	s.Newer = &newer
	s.Take.Check.Extra = listen.Extras{{MIDI: 45, Name: "A2", Time: 9}}
	require.NoError(t, os.Remove(s.WAV())) // quicker
	attackAll(reflect.ValueOf(s).Elem(), "take")
	assert.Greater(t, fields, 40)

	// And of a progress.
	p := take.ProgressOf([]take.Entry{{ID: attack, Started: attack, Key: attack, Form: attack, Line: attack, Tempo: 100,
		Beats: []take.Count{{Beat: attack, OutOfScale: 20}}}})
	var out bytes.Buffer
	require.NoError(t, Progress(&out, words.English, p))
	assert.NotContains(t, out.String(), "<script")
	assert.NotContains(t, out.String(), "<img")
	assert.Contains(t, out.String(), "&lt;script&gt;")
}

// The excerpts are the recording's own sound where the notes lie, and the sound
// of a long take is bounded.
func TestExcerpts(t *testing.T) {
	s := demoTake(t)
	v, err := newView(words.English, s)
	require.NoError(t, err)
	data, err := json.Marshal(v.Sound)
	require.NoError(t, err)
	assert.Less(t, len(data), 3<<20)
	c := v.Rows[0].Cells[0]
	require.Equal(t, "turn 1", c.Clip)
	b, err := base64.StdEncoding.DecodeString(v.Sound.Clips[c.Clip])
	require.NoError(t, err)
	rate := binary.LittleEndian.Uint32(b[24:])
	assert.Equal(t, uint32(16000), rate)
	energy := func(from, to float64) (sum float64) {
		for i := int(from * float64(rate)); i < int(to*float64(rate)); i++ {
			x := float64(int16(binary.LittleEndian.Uint16(b[44+2*i:])))
			sum += x * x
		}
		return sum / (to - from)
	}
	// The bass note begins a lead after the excerpt's beginning.
	assert.Greater(t, energy(c.At+before, c.At+before+0.1), 2*energy(c.At+before-0.1, c.At+before-0.02))
	assert.Contains(t, v.Sound.Clips, "asked 45")

	long := *s
	long.Take.Length = 1e5
	var all []stretch
	for i := range 100 {
		all = append(all, stretch{turn: i + 1, from: 0, to: 3, wrong: i >= 70})
	}
	clips, _, left, err := cut(&long, all)
	require.NoError(t, err)
	assert.Equal(t, 50, left)
	assert.Contains(t, clips, 100, "turns with a mistake come first")
	assert.NotContains(t, clips, 60)
}

// Halving the rate keeps a tone below the new limit and removes one above it.
func TestDecimate(t *testing.T) {
	tone := func(hz float64) []float32 {
		x := make([]float32, 4800)
		for i := range x {
			x[i] = float32(math.Sin(2 * math.Pi * hz * float64(i) / 48000))
		}
		return x
	}
	rms := func(x []float32) float64 {
		sum := 0.0
		for _, v := range x[100 : len(x)-100] {
			sum += float64(v) * float64(v)
		}
		return math.Sqrt(sum / float64(len(x)-200))
	}
	y, by := decimate(tone(440), 48000)
	assert.Equal(t, 3, by)
	assert.Len(t, y, 1600)
	assert.InDelta(t, math.Sqrt(0.5), rms(y), 0.01, "a percent: 0.1 dB")
	y, _ = decimate(tone(11000), 48000)
	assert.Less(t, rms(y), 0.001*math.Sqrt(0.5), "60 dB down")
}

// manyTurns is a take of so many turns, each with a mistake if wrong.
func manyTurns(t *testing.T, turns int, wrong bool) *take.Stored {
	t.Helper()
	s := demoTake(t)
	var beats []listen.Beat
	for turn := 1; turn <= turns; turn++ {
		from := s.Take.Check.Beats[:4]
		if wrong {
			from = s.Take.Check.Beats[4:8]
		}
		for _, b := range from {
			b.Turn = turn
			beats = append(beats, b)
		}
	}
	s.Take.Check.Beats, s.Player.Rulings = beats, nil
	return s
}
