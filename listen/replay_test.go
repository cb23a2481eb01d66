package listen_test

import (
	"context"
	"io"
	"path/filepath"
	"testing"
	"time"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/decode"
	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// room is a live source: it gives samples as a device does, in small uneven
// pieces, and loses some.
type room struct {
	samples []float32
	rate    int
	reads   int
	passed  int
	lose    int // from this sample on, at a read
	lost    int // so many are lost
}

func (r *room) Rate() int { return r.rate }

func (r *room) Read(_ context.Context, dst []float32) (n int, lost int64, err error) {
	r.reads++
	if r.lost > 0 && r.passed >= r.lose {
		lost = int64(r.lost)
		r.samples, r.lost = r.samples[lost:], 0
	}
	n = copy(dst[:min(len(dst), 200+r.reads%57)], r.samples)
	r.samples = r.samples[n:]
	r.passed += n
	if len(r.samples) == 0 {
		err = io.EOF
	}
	return n, lost, err
}

// What was judged live is judged the same from the recording, to the sample.
func TestATakeIsJudgedTheSameFromItsFile(t *testing.T) {
	const rate = 44100
	demo, err := fixtures.Demo()
	require.NoError(t, err)
	x, err := demo.Render(rate)
	require.NoError(t, err)
	key, err := theory.ParseKey(demo.Key)
	require.NoError(t, err)
	form, err := theory.LookupForm(demo.Form)
	require.NoError(t, err)
	line, err := theory.ParseLine(demo.Line, key, form, theory.Standard)
	require.NoError(t, err)
	set := listen.Settings{
		Key: key, Form: form, Line: line, LineText: demo.Line, Tempo: demo.Tempo, FirstBeat: demo.FirstBeat,
		A4: demo.A4, Tolerance: match.Learning, DelayKnown: true,
	}

	beat8 := int((demo.FirstBeat + 7*60/demo.Tempo) * rate) // of the first turn
	live, err := listen.NewSession(set, rate)
	require.NoError(t, err)
	rec, err := take.Record(t.TempDir(), time.Date(2030, 1, 1, 10, 0, 0, 0, time.UTC), demo.Key, rate)
	require.NoError(t, err)
	require.NoError(t, listen.Run(context.Background(), &room{samples: x, rate: rate, lose: beat8 - rate/4, lost: rate / 2}, rec, live, nil))
	started := time.Date(2030, 1, 1, 10, 0, 0, 0, time.UTC)
	require.NoError(t, rec.Finish(live.Take(started, listen.Devices{}, take.WAVName), nil))
	require.NotEmpty(t, live.Verdicts())
	require.Len(t, live.Gaps(), 1)
	require.Equal(t, match.Unsure, live.Verdicts()[1].Pitch, "beat 8 lies in the gap")

	r, err := decode.Open(context.Background(), filepath.Join(rec.Dir(), take.WAVName))
	require.NoError(t, err)
	defer r.Close()
	again, err := listen.NewSession(set, r.Rate())
	require.NoError(t, err)
	require.NoError(t, listen.Run(context.Background(), listen.WithGaps(r, live.Gaps()), nil, again, nil))

	assert.Equal(t, live.Gaps(), again.Gaps())
	assert.Equal(t, live.Heard(), again.Heard())
	assert.Equal(t, live.Verdicts(), again.Verdicts())
	assert.Equal(t, live.Extras(), again.Extras())
	assert.Equal(t, live.Check("take.wav"), again.Check("take.wav"))

	stored, err := take.Load(rec.Dir())
	require.NoError(t, err)
	differs, err := stored.Recheck(context.Background(), take.Words{})
	require.NoError(t, err)
	assert.False(t, differs)
}
