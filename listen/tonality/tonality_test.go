package tonality

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/listen/grid"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const rate = 22050

// hear is what the ear makes of a recording.
func hear(t testing.TB, x []float32) Heard {
	t.Helper()
	l, err := Listen(rate, 0)
	require.NoError(t, err)
	for i := 0; i < len(x); i += 4096 {
		l.Write(x[i:min(i+4096, len(x))])
	}
	return l.Close()
}

// draw is a take of two or three turns in any key that the form is played in,
// some of it wrong.
func draw(seed uint64) fixtures.Spec {
	r := rand.New(rand.NewPCG(seed, 11))
	forms := []struct {
		form string
		keys []string
	}{
		{"alegrias", []string{"C", "E", "A", "G", "D", "F", "Bb", "Am", "Em"}},
		{"solea", []string{"por-medio", "por-arriba"}},
		{"bulerias", []string{"por-medio", "por-arriba", "A", "E"}},
		{"tangos", []string{"por-medio", "por-arriba", "A"}},
		{"seguiriyas", []string{"por-medio"}},
		{"fandangos", []string{"por-arriba", "por-medio", "taranta"}},
	}
	f := forms[r.IntN(len(forms))]
	form, err := theory.LookupForm(f.form)
	if err != nil {
		panic(err)
	}
	guitars := pluck.Guitars()
	s := fixtures.Spec{Name: fmt.Sprint(seed), Key: f.keys[r.IntN(len(f.keys))], Form: f.form, Tempo: form.Tempo * (0.85 + 0.3*r.Float64()),
		FirstBeat: 1 + r.Float64(), Turns: 2 + r.IntN(2), Texture: fixtures.Texture(r.IntN(4)), Strums: r.IntN(6) > 0,
		Arrangement: fixtures.Arrangement(r.IntN(4)), Landing: fixtures.Landing(r.IntN(3)), Hand: fixtures.Steady,
		Guitar: guitars[r.IntN(len(guitars))], TuningCents: 60*r.Float64() - 30, Seed: seed}
	if form.Beats == 4 {
		s.Turns = 4
	}
	if r.IntN(3) == 0 {
		s.Cejilla = 1 + r.IntN(6)
	}
	if r.IntN(3) == 0 { // another line than the form's usual one
		key, err := theory.ParseKey(s.Key)
		if err != nil {
			panic(err)
		}
		if walks, err := theory.Find(key, form, theory.Standard, 1); err == nil {
			s.Line = walks[0].Line().String()
		}
	}
	if r.IntN(2) == 0 {
		s.Mistakes = []fixtures.Planted{{Turn: 1 + r.IntN(s.Turns), Beat: fmt.Sprint(form.LandsOn), What: fixtures.OutOfScale}}
	}
	return s
}

// Takes that nothing was tuned on, with their beats known and not. With
// BORDON_LONG it is two hundred.
func TestKeysAreNamed(t *testing.T) {
	n := uint64(12)
	if os.Getenv("BORDON_LONG") != "" {
		n = 200
	}
	var right, clear, wrong [2]int
	for seed := uint64(3001); seed <= 3000+n; seed++ {
		spec := draw(seed)
		take, err := fixtures.Generate(spec)
		require.NoError(t, err)
		x, err := take.Render(rate)
		require.NoError(t, err)
		h := hear(t, x)
		form, err := theory.LookupForm(take.Form)
		require.NoError(t, err)
		fingered, err := theory.ParseKey(take.Key)
		require.NoError(t, err)
		want := fingered.Transpose(take.Cejilla)
		beats, err := grid.New(rate, take.Tempo, take.FirstBeat, form.Lengths)
		require.NoError(t, err)
		for i, g := range []grid.Grid{nil, beats} {
			got := Name(h, form, g, 0)
			require.NotEmpty(t, got)
			same := got[0].Key.Tonic.PitchClass() == want.Tonic.PitchClass() && got[0].Key.Mode == want.Mode
			if same {
				right[i]++
			}
			if got[0].Confidence >= Clear {
				clear[i]++
				if !same {
					wrong[i]++
				}
			}
			if !same || got[0].Confidence < Clear {
				t.Logf("%d %s line %s in %v cejilla %d, %v, strums %v %v, beats known %v: %v", seed, take.Form, spec.Line, fingered, take.Cejilla, spec.Texture, spec.Strums, spec.Arrangement, g != nil, got[:3])
			}
		}
	}
	t.Logf("of %d: without beats %d right, %d clear, %d of those wrong; with beats %d, %d, %d", n, right[0], clear[0], wrong[0], right[1], clear[1], wrong[1])
	for i := range right {
		assert.LessOrEqual(t, wrong[i], int(n/100), "one of a hundred may be named wrongly")
		assert.Greater(t, float64(right[i]), 0.95*float64(n), "99.5 and 100 of a hundred are measured")
	}
}

func TestNothingHasNoKey(t *testing.T) {
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	assert.Empty(t, Name(hear(t, make([]float32, 3*rate)), form, nil, 0))
	assert.Empty(t, Name(Heard{Rate: rate}, form, nil, 0))
}

// The rule of the profiles, against the keys' own triads: a major triad alone
// lies nearest to its own major key, a minor one to its minor one.
func TestProfilesKnowTheirTriads(t *testing.T) {
	for _, k := range keys() {
		if k.Mode == theory.Phrygian {
			continue
		}
		var triad [12]float64
		for _, n := range k.Chord(1, false).Tones {
			triad[n.PitchClass()] = 1
		}
		for _, other := range keys() {
			if other != k && other.Mode != theory.Phrygian {
				assert.Greater(t, correlation(triad, k), correlation(triad, other), "%v, %v", k, other)
			}
		}
	}
	assert.Zero(t, correlation([12]float64{}, keys()[0]))
}

func TestListeningInChunksIsTheSame(t *testing.T) {
	take, err := fixtures.Generate(draw(1001))
	require.NoError(t, err)
	x, err := take.Render(rate)
	require.NoError(t, err)
	want := hear(t, x)
	l, err := Listen(rate, 0)
	require.NoError(t, err)
	for i := 0; i < len(x); i += 441 {
		l.Write(x[i:min(i+441, len(x))])
	}
	assert.Equal(t, want, l.Close())
	_, err = Listen(1000, 0)
	assert.Error(t, err)
}
