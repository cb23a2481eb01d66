package listen

import (
	"encoding/json"
	"math"
	"testing"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/schema"
	"bordon/listen/grid"
	"bordon/listen/match"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const freeRate = 22050

// freeTake is a take of a kind with its sound.
func freeTake(t testing.TB, kind string, seed uint64) (fixtures.FreeTake, []float32) {
	t.Helper()
	spec, err := fixtures.DrawFree(kind, pluck.Classic(), seed)
	require.NoError(t, err)
	take, err := fixtures.Free(spec)
	require.NoError(t, err)
	x, err := take.Sound(fixtures.Synthesised{}, freeRate)
	require.NoError(t, err)
	return take, x
}

func hearFree(t testing.TB, take fixtures.FreeTake, x []float32, given grid.Options, chunk int) *Free {
	t.Helper()
	f, err := NewFree(settingsOf(t, take.Take), given, freeRate)
	require.NoError(t, err)
	for len(x) > 0 {
		n := min(len(x), chunk)
		f.Write(x[:n])
		x = x[n:]
	}
	f.Close()
	return f
}

// A take that sways, with its mistakes, is judged as one played to the pulse:
// nearly every note is called what was planted (one in twenty may be unsure or
// heard wrong; cmd/eval measures that), and the beats lie where they were
// played, to 70 ms, the tolerance of mir_eval's beat metrics.
func TestFreeTakeIsJudged(t *testing.T) {
	take, x := freeTake(t, "rubato", 2)
	s, err := hearFree(t, take, x, grid.Options{}, 4096).Judge()
	require.NoError(t, err)
	found := s.Found()
	require.Len(t, found.Segments, 1)
	beats := found.Segments[0].Beats
	played := take.Segments[0].Beats
	require.Len(t, beats, len(played))
	for i, b := range played {
		assert.InDelta(t, b.Time, beats[i].Time, 0.07, "beat %d of turn %d", b.Beat, b.Turn)
		assert.Equal(t, b.Beat, beats[i].Beat)
		assert.Equal(t, b.Turn, beats[i].Turn)
	}
	verdicts := s.Verdicts()
	truth := take.Segments[0].Notes
	asked := 0
	good := 0
	for _, n := range truth {
		if n.Asked == 0 {
			continue
		}
		asked++
		for _, v := range verdicts {
			if v.Turn == n.Turn && v.Item.Position.String() == n.Beat && v.Pitch == wordOf(n.Mistake) {
				good++
			}
		}
	}
	require.Equal(t, asked, len(verdicts), "every note that was asked for has its verdict")
	assert.GreaterOrEqual(t, good, asked*19/20)

	text, err := json.Marshal(s.Check("free.wav"))
	require.NoError(t, err)
	require.NoError(t, schema.Validate(schema.Check, text))
	assert.InDelta(t, take.Tempo, s.Settings().Tempo, 0.08*take.Tempo, "the median of a tempo that swings by 15 %")
	assert.Greater(t, found.Steadiness.Spread, 0.0)
	assert.Less(t, found.Slowest, found.Fastest)
}

func wordOf(m fixtures.Mistake) match.Word {
	switch m {
	case fixtures.InScale:
		return match.InScale
	case fixtures.OutOfScale:
		return match.OutOfScale
	case fixtures.Octave:
		return match.Octave
	case fixtures.Missing:
		return match.Missing
	case fixtures.Strummed:
		return match.Strummed
	}
	return match.Right
}

func TestFreeDoesNotDependOnChunks(t *testing.T) {
	take, x := freeTake(t, "constant", 1)
	var said [2]string
	for i, chunk := range []int{441, 4096} {
		s, err := hearFree(t, take, x, grid.Options{}, chunk).Judge()
		require.NoError(t, err)
		text, err := json.Marshal(s.Check("x.wav"))
		require.NoError(t, err)
		said[i] = string(text)
	}
	assert.Equal(t, said[0], said[1])
}

// What is no compás is told in a sentence, and never scored.
func TestFreeRefusesOtherThings(t *testing.T) {
	for kind, want := range map[string]string{
		"silence only": "next to no sound", "one strum only": "no compás was found", "noodling only": "no compás was found",
		"tuning up only": "no compás was found", "song only": "no compás was found",
	} {
		take, x := freeTake(t, kind, 3)
		_, err := hearFree(t, take, x, grid.Options{}, 4096).Judge()
		assert.ErrorContains(t, err, want, kind)
	}
}

func TestNewFreeRefuses(t *testing.T) {
	set := scenario(t)
	_, err := NewFree(set, grid.Options{}, 1000)
	assert.ErrorContains(t, err, "a rate of 1000")
	set.A4 = math.NaN()
	_, err = NewFree(set, grid.Options{}, freeRate)
	assert.ErrorContains(t, err, "concert pitch")
	set = scenario(t)
	set.Tempo = 1
	_, err = NewFree(set, grid.Options{Tempo: 1}, freeRate)
	assert.ErrorContains(t, err, "a tempo of 1 beats")
}
