package listen

import (
	"context"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/match"
)

// numbered gives samples by their number, a few at a time.
type numbered struct{ at, end, most int64 }

func (n *numbered) Rate() int { return testRate }

func (n *numbered) Read(_ context.Context, dst []float32) (int, int64, error) {
	k := min(int64(len(dst)), n.most, n.end-n.at)
	for i := range k {
		dst[i] = float32(n.at + i)
	}
	n.at += k
	if n.at == n.end {
		return int(k), 0, io.EOF
	}
	return int(k), 0, nil
}

func TestWithGaps(t *testing.T) {
	for _, tt := range []struct {
		name string
		gaps []Gap
		want []Gap // as told
	}{
		{"none", nil, nil},
		{"at the beginning, and in the middle", []Gap{{500, 30}, {0, 10}}, []Gap{{0, 10}, {500, 30}}},
		{"one after the other", []Gap{{100, 50}, {150, 50}}, []Gap{{100, 50}, {150, 50}}},
		{"within each other, or no gaps at all", []Gap{{100, 50}, {120, 10}, {300, 0}, {400, -5}, {-7, 20}}, []Gap{{100, 50}}},
		{"beyond the end", []Gap{{990, 1 << 60}, {5000, 10}}, []Gap{{990, 10}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			src := WithGaps(&numbered{end: 1000, most: 77}, tt.gaps)
			var told []Gap
			at := int64(0)
			buf := make([]float32, 64)
			for {
				n, lost, err := src.Read(context.Background(), buf)
				if lost > 0 {
					if k := len(told) - 1; k >= 0 && told[k].At+told[k].Lost == at && at != 150 {
						told[k].Lost += lost // in pieces
					} else {
						told = append(told, Gap{at, lost})
					}
				}
				at += lost
				for i := range n {
					require.Equal(t, float32(at+int64(i)), buf[i])
				}
				at += int64(n)
				if err != nil {
					require.ErrorIs(t, err, io.EOF)
					break
				}
			}
			assert.EqualValues(t, 1000, at, "nothing is left out")
			assert.Equal(t, tt.want, told)
		})
	}
}

// A beat in a gap counts neither for nor against, and says why.
func TestABeatInAGapIsUnsure(t *testing.T) {
	set := scenario(t)
	notes := twoTurns()
	s, err := newSession(set, testRate, &fakeEar{notes: append(notes[:1:1], notes[2:]...)})
	require.NoError(t, err)
	s.Write(make([]float32, at(1, 7.5)))
	s.Lose(at(1, 8.5) - at(1, 7.5))
	s.Write(make([]float32, at(3, 1)-at(1, 8.5)))
	s.Close()
	v := s.Verdicts()
	require.Len(t, v, 8)
	assert.Equal(t, match.Unsure, v[1].Pitch)
	assert.True(t, v[1].Lost)
	assert.Equal(t, match.Missing, v[7].Pitch, "where nothing was lost, it is")
	assert.Equal(t, 7, s.Score().Judged-s.Score().Unsure)
}
