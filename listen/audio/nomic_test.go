//go:build nomic

package audio

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNoMicrophone(t *testing.T) {
	ctx := context.Background()
	devs, err := Devices(ctx)
	assert.Empty(t, devs)
	assert.ErrorIs(t, err, ErrNoMicrophone)
	_, err = OpenCapture(ctx, Options{})
	assert.ErrorIs(t, err, ErrNoMicrophone)
	assert.ErrorContains(t, err, "this build has no microphone: ")
	_, err = OpenPlayback(ctx, 48000, "")
	assert.ErrorIs(t, err, ErrNoMicrophone)
	_, _, err = new(Capture).Read(ctx, nil)
	assert.ErrorIs(t, err, ErrNoMicrophone)
	assert.ErrorIs(t, new(Player).Drain(ctx), ErrNoMicrophone)
}
