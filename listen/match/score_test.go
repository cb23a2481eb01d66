package match

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func verdict(w Word, t Timing, offset float64) Verdict {
	v := Verdict{Pitch: w, Timing: t, Offset: ms(offset)}
	if w.Sworn() || w == Unsure {
		v.Heard = &Heard{}
	}
	return v
}

func TestCountAsTheContractDoes(t *testing.T) {
	// The contract's example: 16 judged, 15 right, one of them late, one in
	// the scale, one extra.
	verdicts := []Verdict{verdict(InScale, OnTime, 0), verdict(Right, Late, 80)}
	for range 14 {
		verdicts = append(verdicts, verdict(Right, OnTime, 0))
	}
	s := Count(verdicts, []Extra{{}}, rate)
	assert.Equal(t, 16, s.Judged)
	assert.Equal(t, 15, s.Right)
	assert.Equal(t, 14, s.RightOnTime)
	assert.Equal(t, 1, s.InScale)
	assert.Equal(t, 1, s.Extra)
	require.NotNil(t, s.Accuracy)
	assert.Equal(t, 0.9375, *s.Accuracy)
	assert.Equal(t, 0.875, *s.AccuracyOnTime)
	assert.Equal(t, 16, s.Timed)
	assert.InDelta(t, 5, s.OffsetMean, 1e-9) // 80 ms over 16
	// Deviations: one of 75 ms, fifteen of 5 ms.
	assert.InDelta(t, math.Sqrt((75*75+15*25)/16.0), s.OffsetSD, 1e-9)
}

func TestCountEveryWordOnce(t *testing.T) {
	words := []Word{Right, Octave, InScale, OutOfScale, Missing, Unsure, Strummed}
	var verdicts []Verdict
	for i, w := range words {
		for range i + 1 {
			verdicts = append(verdicts, verdict(w, "", 0))
		}
	}
	s := Count(verdicts, nil, rate)
	assert.Equal(t, Score{Judged: 21, Right: 1, Octave: 2, InScale: 3, OutOfScale: 4, Missing: 5, Unsure: 6, Strummed: 7,
		Accuracy: s.Accuracy}, s)
	assert.InDelta(t, 1.0/15, *s.Accuracy, 1e-12)
}

func TestCountWhereNothingIsLeftToJudge(t *testing.T) {
	tests := []struct {
		name     string
		verdicts []Verdict
	}{
		{"nothing", nil},
		{"strummed", []Verdict{verdict(Strummed, "", 0)}},
		{"unsure", []Verdict{verdict(Unsure, "", 0)}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := Count(tt.verdicts, nil, rate)
			assert.Nil(t, s.Accuracy)
			assert.Nil(t, s.AccuracyOnTime)
			assert.Zero(t, s.OffsetSD)
		})
	}
}

func TestCountOfSilence(t *testing.T) {
	s := Count([]Verdict{verdict(Missing, "", 0)}, nil, rate)
	require.NotNil(t, s.Accuracy)
	require.NotNil(t, s.AccuracyOnTime, "what was not played was not on time")
	assert.Zero(t, *s.Accuracy)
	assert.Zero(t, *s.AccuracyOnTime)
}
