package chords

import (
	"bytes"
	"encoding/gob"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"bordon/dsp"
	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/room"
	"bordon/fixtures/sampled"
	"bordon/theory"

	"github.com/stretchr/testify/require"
)

// played is the grid of a take as it was played: straight between its beats.
type played struct{ at []float64 } // samples

func (p played) Sample(beat float64) int64 {
	i := min(max(int(math.Floor(beat)), 0), len(p.at)-2)
	return int64(math.Round(p.at[i] + (beat-float64(i))*(p.at[i+1]-p.at[i])))
}

func (p played) Beat(sample int64) float64 {
	i, _ := slices.BinarySearch(p.at, float64(sample))
	i = min(max(i-1, 0), len(p.at)-2)
	return float64(i) + (float64(sample)-p.at[i])/(p.at[i+1]-p.at[i])
}

// recording is where and on what a take is played.
type recording struct {
	guitar fixtures.Instrument
	name   string
	place  int
}

var places = []string{"dry", "dry", "small room", "live room", "laptop, noise 20 dB", "claps, noise 30 dB"}

// guitars of recorded strings, where fixtures/material.sh has fetched them.
var recorded = func(name string) func() (*sampled.Instrument, error) {
	return sync.OnceValues(func() (*sampled.Instrument, error) {
		dir, err := sampled.Material()
		if err != nil {
			return nil, err
		}
		return sampled.Folder(filepath.Join(dir, name))
	})
}

var acoustic, nylon = recorded("acoustic"), recorded("nylon")

// apart are the seeds from which on nothing was learned or tuned, and takes are
// played on a guitar that nothing was learned from.
const apart = 5000

// draw is a take of four turns with a mistake in about every fourth change.
func draw(seed uint64) fixtures.FreeSpec {
	r := rand.New(rand.NewPCG(seed, 7))
	keys := []struct{ key, form string }{
		{"D", "alegrias"}, {"G", "alegrias"}, {"F", "alegrias"}, {"E", "alegrias"}, {"C", "alegrias"}, {"A", "alegrias"}, {"Bb", "alegrias"},
		{"por-medio", "solea"}, {"por-arriba", "solea"}, {"por-medio", "bulerias"}, {"por-medio", "tangos"}, {"por-arriba", "fandangos"},
		{"Am", "alegrias"}, {"Em", "alegrias"}, {"G", "alegrias/escobilla"}, {"taranta", "fandangos"}, {"por-medio", "seguiriyas"},
	}
	k := keys[r.IntN(len(keys))]
	form, err := theory.LookupForm(k.form)
	if err != nil {
		panic(err)
	}
	key, err := theory.ParseKey(k.key)
	if err != nil {
		panic(err)
	}
	guitars := pluck.Guitars()
	s := fixtures.FreeSpec{Spec: fixtures.Spec{
		Name: fmt.Sprintf("%d", seed), Key: k.key, Form: k.form, Tempo: form.Tempo * (0.85 + 0.3*r.Float64()),
		Texture: fixtures.Texture(1 + r.IntN(3)), Strums: true, Arrangement: fixtures.Arrangement(r.IntN(4)),
		Landing: fixtures.Landing(r.IntN(3)), Hand: fixtures.Steady, Guitar: guitars[r.IntN(len(guitars))],
		TuningCents: 60*r.Float64() - 30, Seed: seed,
	}}
	s.Hand.Apoyado = r.IntN(3) == 0
	s.Golpes = r.IntN(3) == 0
	if r.IntN(3) == 0 {
		s.Cejilla = 1 + r.IntN(5)
	}
	s.Sway = fixtures.Sway{Drift: 0.1 * (r.Float64() - 0.5), Rubato: 0.1 * r.Float64(), Wander: 0.02 * r.Float64()}
	const turns = 4
	part := fixtures.Part{Kind: fixtures.Compas, From: 1, Beats: turns * form.Beats}
	whats := []fixtures.Mistake{fixtures.WrongChord, fixtures.EarlyChord, fixtures.LateChord}
	for turn := 1; turn <= turns; turn++ {
		for _, c := range form.Plan(key.Mode) {
			if r.IntN(4) != 0 {
				continue
			}
			m := fixtures.PlantedChord{Turn: turn, Beat: c.Beat, What: whats[r.IntN(3)]}
			if m.What == fixtures.WrongChord {
				for m.Degree = c.Degree; m.Degree == c.Degree || (&Config{}).family(key.Chord(m.Degree, false)) < 0; {
					m.Degree = 1 + r.IntN(7)
				}
			}
			part.Chords = append(part.Chords, m)
		}
	}
	s.Parts = []fixtures.Part{{Kind: fixtures.Rest, Seconds: 0.8}, part}
	return s
}

// on is what a take is recorded on.
func on(seed uint64) recording {
	rec := recording{fixtures.Synthesised{}, draw(seed).Guitar.Name, int(seed) % len(places)}
	strings, name := acoustic, "recorded acoustic"
	if seed >= apart {
		strings, name = nylon, "recorded nylon"
	}
	if seed/7%3 == 0 {
		if in, err := strings(); err == nil {
			rec.guitar, rec.name = in, name
		}
	}
	return rec
}

// take is a drawn take as Judge gets it.
type take struct {
	fixtures.FreeTake
	cfg    Config
	frames []dsp.ChromaFrame
}

const rate = 22050

// render plays a take; it is false where the mistakes drawn leave each other no
// room.
func render(t testing.TB, seed uint64) (take, bool) {
	free, err := fixtures.Free(draw(seed))
	if err != nil {
		return take{}, false
	}
	key, err := theory.ParseKey(free.Key)
	require.NoError(t, err)
	form, err := theory.LookupForm(free.Form)
	require.NoError(t, err)
	line, err := theory.ParseLine(free.Line, key, form, theory.Standard)
	require.NoError(t, err)
	seg := free.Segments[0]
	g := played{}
	for _, b := range seg.Beats {
		g.at = append(g.at, b.Time*rate)
	}
	g.at = append(g.at, seg.End*rate)
	cfg := Config{Rate: rate, Key: key, Form: form, Line: line, Cejilla: free.Cejilla, Beats: g, End: int64(free.Seconds * rate)}
	for _, n := range seg.Notes {
		if n.MIDI != 0 {
			cfg.Thumbs = append(cfg.Thumbs, Thumb{Onset: int64(n.Time * rate), MIDI: n.MIDI})
		}
	}
	return take{free, cfg, framesOf(t, free, seed)}, true
}

func framesOf(t testing.TB, free fixtures.FreeTake, seed uint64) (frames []dsp.ChromaFrame) {
	dir := os.Getenv("BORDON_FRAMES")
	file := filepath.Join(dir, fmt.Sprintf("%d.gob", seed))
	if b, err := os.ReadFile(file); err == nil && dir != "" {
		require.NoError(t, gob.NewDecoder(bytes.NewReader(b)).Decode(&frames))
		return frames
	}
	rec := on(seed)
	x, err := rec.guitar.Render(free.Take, rate)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(seed, 9))
	switch rec.place {
	case 2:
		room.Small.Reverberate(x, rate, rng)
	case 3:
		room.Live.Reverberate(x, rate, rng)
	case 4:
		room.Noise(x, rate, 20, rng)
		room.Laptop(x, rate)
	case 5:
		var at []float64
		for _, b := range free.Segments[0].Beats {
			at = append(at, b.Time)
		}
		room.Mix(x, room.Claps(len(x), rate, at, rng), 0.5*room.Peak(x))
		room.Noise(x, rate, 30, rng)
	}
	c, err := dsp.NewChroma(rate, 440)
	require.NoError(t, err)
	for i := 0; i < len(x); i += 4096 {
		frames = append(frames, c.Write(x[i:min(i+4096, len(x))])...)
	}
	frames = append(frames, c.Flush()...)
	if dir != "" {
		var b bytes.Buffer
		require.NoError(t, gob.NewEncoder(&b).Encode(frames))
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
	}
	return frames
}
