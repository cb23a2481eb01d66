package listen

import (
	"testing"

	"bordon/dsp"
	"bordon/listen/match"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// untimed hears notes in chunks; it goes on where a note is right.
func untimed(t *testing.T, notes []dsp.Note, chunk int) (*Untimed, []Event) {
	t.Helper()
	u, err := newUntimed(scenario(t), testRate, &fakeEar{notes: notes})
	require.NoError(t, err)
	var events []Event
	for left := 20 * testRate; left > 0; left -= chunk {
		events = append(events, u.Write(make([]float32, min(chunk, left)), func(e Event) bool { return e.Verdict.Pitch == match.Right })...)
	}
	return u, events
}

func TestUntimedWaitsUntilItIsRight(t *testing.T) {
	notes := []dsp.Note{
		heardNote(0, testRate, 47), heardNote(1, 2*testRate, 46), heardNote(2, 7*testRate, 48), heardNote(3, 8*testRate, 45),
		heardNote(4, 9*testRate, 42), heardNote(5, 10*testRate, 43), heardNote(6, 12*testRate, 47),
	}
	u, events := untimed(t, notes, 441)
	type said struct {
		turn, try int
		beat      string
		word      match.Word
	}
	var got []said
	for _, e := range events {
		assert.Equal(t, Final, e.Kind)
		assert.Empty(t, e.Verdict.Timing)
		got = append(got, said{e.Verdict.Turn, e.Try, e.Verdict.Item.Position.String(), e.Verdict.Pitch})
	}
	assert.Equal(t, []said{
		{1, 1, "7", match.Right}, {1, 1, "8", match.OutOfScale}, {1, 2, "8", match.InScale}, {1, 3, "8", match.Right},
		{1, 1, "9", match.Right}, {1, 1, "10", match.Right}, {2, 1, "7", match.Right},
	}, got)
	item, round := u.Awaited()
	assert.Equal(t, []int{1, 2}, []int{item, round})
	assert.Equal(t, int64(20*testRate), u.Heard())
	cents, known := u.Tuning()
	assert.True(t, known)
	assert.InDelta(t, -3.14, cents, 1e-9)
	assert.Equal(t, int64(2*testRate), events[1].Verdict.Time, "the note's onset")

	for _, chunk := range []int{64, 4096, 20 * testRate} {
		_, again := untimed(t, notes, chunk)
		assert.Equal(t, events, again, "chunks of %d", chunk)
	}
}

func TestUntimedAwait(t *testing.T) {
	u, err := newUntimed(scenario(t), testRate, &fakeEar{notes: []dsp.Note{heardNote(0, testRate, 42)}})
	require.NoError(t, err)
	for _, i := range []int{-1, 4} {
		assert.Error(t, u.Await(i))
	}
	require.NoError(t, u.Await(2))
	var got []Event
	u.Write(make([]float32, 2*testRate), func(e Event) bool {
		got = append(got, e)
		return false
	})
	require.Len(t, got, 1)
	assert.Equal(t, match.Right, got[0].Verdict.Pitch)
	item, _ := u.Awaited()
	assert.Equal(t, 2, item, "it is still waited for, as nobody said to go on")
}

func TestUntimedRefuses(t *testing.T) {
	set := scenario(t)
	set.Line.Items = nil
	_, err := NewUntimed(set, testRate)
	assert.Error(t, err)
	_, err = NewUntimed(scenario(t), 1)
	assert.Error(t, err)
}
