package listen

import (
	"testing"

	"bordon/dsp"
	"bordon/fixtures"
	"bordon/listen/match"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// settingsOf are the settings that a scenario take was played with.
func settingsOf(t testing.TB, take fixtures.Take) Settings {
	t.Helper()
	key, err := theory.ParseKey(take.Key)
	require.NoError(t, err)
	form, err := theory.LookupForm(take.Form)
	require.NoError(t, err)
	line, err := theory.ParseLine(take.Line, key, form, theory.Standard)
	require.NoError(t, err)
	return Settings{
		Key: key, Form: form, Line: line, LineText: take.Line, Tempo: take.Tempo, FirstBeat: take.FirstBeat,
		Cejilla: take.Cejilla, A4: take.A4, Tolerance: match.Learning, DelayKnown: true,
	}
}

// scenarioTake is a take of the scenario by its name, with its sound.
func scenarioTake(t testing.TB, name string, rate int) (fixtures.Take, []float32) {
	t.Helper()
	takes, err := fixtures.Scenario()
	require.NoError(t, err)
	for _, take := range takes {
		if take.Name == name {
			x, err := take.Render(rate)
			require.NoError(t, err)
			return take, x
		}
	}
	require.FailNow(t, "the scenario has no take of that name", name)
	return fixtures.Take{}, nil
}

// The matcher is told how far the stream is heard once the ear has spoken: a
// look must come out with the very sample that it needed last.
func TestTheEarSpeaksInTime(t *testing.T) {
	for _, rate := range []int{8000, 44100, 96000} {
		take, x := scenarioTake(t, "g-mistakes", rate)
		set := settingsOf(t, take)
		ear, err := dsp.NewEar(set.hearing(rate))
		require.NoError(t, err)
		heard, looks := int64(0), 0
		last := int64(0)
		for len(x) > 0 {
			n := min(len(x), 32)
			for _, note := range ear.Write(x[:n]) {
				looks++
				assert.GreaterOrEqual(t, note.Decided, last, "looks come in order of Decided")
				last = note.Decided
				assert.Greater(t, note.Decided, heard, "a look at %d", note.Onset)
				assert.LessOrEqual(t, note.Decided, heard+int64(n), "what was not heard yet cannot be used")
				assert.LessOrEqual(t, note.Decided-note.Onset, int64(ear.Delay()))
			}
			heard += int64(n)
			x = x[n:]
		}
		assert.Greater(t, looks, 20, "at %d samples a second", rate)
	}
}

func TestChunkSizeNeverMattersToTheEar(t *testing.T) {
	const rate = 44100
	take, x := scenarioTake(t, "b-flat-mistakes", rate)
	x = x[:12*rate]
	hear := func(chunk int) Check {
		s, err := NewSession(settingsOf(t, take), rate)
		require.NoError(t, err)
		for rest := x; len(rest) > 0; rest = rest[min(chunk, len(rest)):] {
			s.Write(rest[:min(chunk, len(rest))])
		}
		s.Close()
		return s.Check(take.Name)
	}
	want := hear(64)
	assert.NotEmpty(t, want.Beats)
	for _, chunk := range []int{441, 4096, len(x)} {
		assert.Equal(t, want, hear(chunk), "chunks of %d", chunk)
	}
}
