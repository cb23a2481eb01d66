package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestLevelHold(t *testing.T) {
	h := levelHold{span: 100}
	for _, tt := range []struct {
		at      int64
		peak    float64
		clipped bool
		want    float64
		held    bool
	}{
		{0, -90, false, -90, false},
		{10, -12, false, -12, false},
		{60, -50, false, -12, false},
		{70, 0, true, 0, true},
		{160, -50, false, 0, true},
		{171, -50, false, -50, false},
		{180, -60, false, -50, false},
	} {
		peak, clipped := h.of(tt.at, tt.peak, tt.clipped)
		assert.Equal(t, tt.want, peak, "at %d", tt.at)
		assert.Equal(t, tt.held, clipped, "at %d", tt.at)
	}
}
