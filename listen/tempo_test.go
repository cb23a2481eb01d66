package listen

import (
	"fmt"
	"testing"

	"bordon/dsp"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A tempo that changes while the session runs judges as one that was known
// from the start, to the sample.
func TestChangedTempoIsJudgedTheSame(t *testing.T) {
	for _, line := range []string{"7:3 8:2 9:7 10:1", "1:1 7:3 8:2 9:7 12:1"} {
		set := scenario(t)
		set.LineText = line
		set.Line = parse(t, line, set)
		// Two turns at 120, then at whatever they change to: the notes come
		// every 400 ms, most of them nowhere near.
		var notes []dsp.Note
		for i := int64(0); i < 150; i++ {
			notes = append(notes, heardNote(i, 48000+i*19200, 42+int(i%6)))
		}
		live, err := newSession(set, testRate, &fakeEar{notes: append([]dsp.Note(nil), notes...)})
		require.NoError(t, err)
		changes := map[int]float64{1: 126, 2: 63.0000004, 4: 120.02}
		var got []Event
		for range 600 {
			for _, e := range live.Write(make([]float32, 4800)) {
				got = append(got, e)
				if tempo := changes[e.Turn]; e.Kind == TurnScore && tempo > 0 {
					c, err := live.ChangeTempo(tempo)
					require.NoError(t, err)
					assert.LessOrEqual(t, c.Turn, e.Turn+4, "a line that fills the turn has the next one begun before its score comes")
					assert.Greater(t, c.Turn, e.Turn+1, "the next turn is laid out")
				}
			}
		}
		got = append(got, live.Close()...)
		require.Len(t, live.Settings().Tempos, 3, fmt.Sprint(live.Settings().Tempos))
		assert.Equal(t, 63.0, live.Settings().Tempos[1].Tempo, "as it is written")
		again, want := hearFake(t, live.Settings(), notes, 600*4800, 441)
		assert.Equal(t, want, got)
		assert.Equal(t, again.Check(""), live.Check(""))
		assert.NotEmpty(t, live.Verdicts())
	}
}

func TestChangesOfTempoAreChecked(t *testing.T) {
	for want, tempos := range map[string][]TempoChange{
		"in turn 0 is not usable": {{0, 100}},
		"in turn 2 is not usable": {{3, 100}, {2, 100}},
		"a tempo of 4000 beats":   {{3, 4000}},
	} {
		set := scenario(t)
		set.Tempos = tempos
		assert.ErrorContains(t, set.Validate(), want)
	}
	set := scenario(t)
	set.Tempos = []TempoChange{{3, 60}}
	assert.Equal(t, []float64{120, 120, 60, 60}, []float64{set.TempoIn(1), set.TempoIn(2), set.TempoIn(3), set.TempoIn(9)})
	s, err := newSession(set, testRate, &fakeEar{})
	require.NoError(t, err)
	_, err = s.ChangeTempo(0)
	assert.ErrorContains(t, err, "a tempo of 0 beats")
	s.Close()
	_, err = s.ChangeTempo(100)
	assert.ErrorIs(t, err, ErrTooLate)
}
