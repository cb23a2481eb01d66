package listen

import (
	"context"
	"errors"
	"io"
	"testing"

	"bordon/listen/match"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// script is a Source that gives what it was told.
type script struct {
	reads []read
	then  error // io.EOF where nil
}

type read struct {
	samples []float32
	lost    int64
}

func (s *script) Rate() int { return testRate }

func (s *script) Read(ctx context.Context, dst []float32) (int, int64, error) {
	if err := ctx.Err(); err != nil {
		return 0, 0, err
	}
	if len(s.reads) == 0 {
		if s.then == nil {
			return 0, 0, io.EOF
		}
		return 0, 0, s.then
	}
	r := &s.reads[0]
	lost := r.lost
	r.lost = 0
	n := copy(dst, r.samples)
	if r.samples = r.samples[n:]; len(r.samples) == 0 {
		s.reads = s.reads[1:]
	}
	return n, lost, nil
}

// tape is a Sink that rounds to halves and fails after some samples.
type tape struct {
	samples []float32
	most    int // samples that fit; 0 for any number
}

var errFull = errors.New("the tape is full")

func (*tape) Quantise(x []float32) {
	for i := range x {
		x[i] = float32(int(x[i]*2)) / 2
	}
}

func (s *tape) Write(x []float32) error {
	if s.most > 0 && len(s.samples)+len(x) > s.most {
		return errFull
	}
	s.samples = append(s.samples, x...)
	return nil
}

func TestRun(t *testing.T) {
	src := &script{reads: []read{{samples: make([]float32, 3*testRate)}, {ones(100), 500}, {samples: make([]float32, at(3, 1))}}}
	ear := &fakeEar{notes: twoTurns()}
	s, err := newSession(scenario(t), testRate, ear)
	require.NoError(t, err)
	sink := &tape{}
	var words []match.Word
	var gaps []Gap
	require.NoError(t, Run(context.Background(), src, sink, s, func(e Event) {
		switch e.Kind {
		case Final:
			words = append(words, e.Verdict.Pitch)
		case GapFound:
			gaps = append(gaps, e.Gap)
		}
	}))
	assert.Len(t, words, 8)
	assert.Equal(t, []Gap{{3 * testRate, 500}}, gaps)
	assert.Len(t, sink.samples, int(s.Heard()), "what is saved is what was heard")
	assert.Equal(t, make([]float32, 500), sink.samples[3*testRate:3*testRate+500], "silence where samples were lost")
	assert.Equal(t, ones(100), sink.samples[3*testRate+500:3*testRate+600])
	assert.Equal(t, 100.0, ear.sum)
}

func TestRunHearsWhatIsSaved(t *testing.T) {
	ear := &fakeEar{}
	s, err := newSession(scenario(t), testRate, ear)
	require.NoError(t, err)
	sink := &tape{most: 2}
	src := &script{reads: []read{{samples: []float32{0.7, 0.2}}, {samples: []float32{0.7, 0.7, 0.7}}, {samples: []float32{0.6}}}}
	err = Run(context.Background(), src, sink, s, nil)
	assert.ErrorIs(t, err, errFull, "a sink that fails is told of")
	assert.EqualValues(t, 6, s.Heard(), "and listening goes on")
	assert.Equal(t, 2.5, ear.sum, "quantised all the same")
	assert.Equal(t, []float32{0.5, 0}, sink.samples)
}

func TestRunEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	s, err := newSession(scenario(t), testRate, &fakeEar{notes: twoTurns()})
	require.NoError(t, err)
	src := &script{reads: []read{{samples: make([]float32, at(3, 1))}}}
	err = Run(ctx, src, nil, s, func(e Event) {
		if e.Kind == TurnScore && e.Turn == 1 {
			cancel()
		}
	})
	assert.NoError(t, err)
	assert.Less(t, s.Heard(), at(2, 1))
	assert.Len(t, s.Check("").Beats, 4, "closed: the first turn is whole")
	assert.Empty(t, s.Close())
}

func TestRunTellsWhatWentWrong(t *testing.T) {
	broken := errors.New("read the file: broken")
	s, err := newSession(scenario(t), testRate, &fakeEar{})
	require.NoError(t, err)
	assert.ErrorIs(t, Run(context.Background(), &script{reads: []read{{samples: ones(10)}}, then: broken}, nil, s, nil), broken)
	assert.EqualValues(t, 10, s.Heard())

	s, err = newSession(scenario(t), testRate, &fakeEar{})
	require.NoError(t, err)
	idle := &script{reads: make([]read, 1000)}
	assert.ErrorIs(t, Run(context.Background(), idle, nil, s, nil), io.ErrNoProgress)

	s, err = newSession(scenario(t), 44100, &fakeEar{})
	require.NoError(t, err)
	assert.ErrorContains(t, Run(context.Background(), &script{}, nil, s, nil), "the sound has 48000 samples a second and the session was made for 44100")
}
