package main

import (
	"context"
	"errors"
	"io"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/audio"
)

// silent is s with the devices of a machine that has none where s names none.
func silent(s sound) sound {
	if s.devices == nil {
		s.devices = func(context.Context) ([]audio.Device, error) { return nil, nil }
	}
	if s.capture == nil {
		s.capture = func(context.Context, audio.Options) (microphone, error) { return nil, audio.ErrNoMicrophone }
	}
	if s.playback == nil {
		s.playback = func(context.Context, int, string) (loudspeaker, error) { return nil, audio.ErrNoMicrophone }
	}
	return s
}

// fakeMicrophone gives the samples of a recording, then fails with err.
type fakeMicrophone struct {
	player
	device audio.Device
	lose   int64 // samples lost at the first read
	stats  audio.Stats
	err    error
	closed int
}

func (m *fakeMicrophone) Read(ctx context.Context, dst []float32) (int, int64, error) {
	n, _, err := m.player.Read(ctx, dst)
	lost := m.lose
	m.lose = 0
	if err == io.EOF && m.err != nil {
		err = m.err
	}
	return n, lost, err
}

func (m *fakeMicrophone) Device() audio.Device { return m.device }
func (m *fakeMicrophone) Stats() audio.Stats   { return m.stats }

// Marks reports nothing: no pulse is placed.
func (m *fakeMicrophone) Marks(func(int64, time.Duration)) {}

func (m *fakeMicrophone) Close() error {
	m.closed++
	return nil
}

// room is a sound with one microphone.
func room(m *fakeMicrophone) sound {
	return sound{
		devices: func(context.Context) ([]audio.Device, error) {
			return []audio.Device{
				{Index: 0, Name: "line out", HostAPI: "ALSA", Outputs: 2, Rate: 48000},
				{Index: 1, Name: "microphone", HostAPI: "ALSA", Inputs: 1, Rate: 48000, DefaultInput: true},
			}, nil
		},
		capture: func(context.Context, audio.Options) (microphone, error) { return m, nil },
		playback: func(context.Context, int, string) (loudspeaker, error) {
			return nil, errors.New("no loudspeaker was found")
		},
	}
}

func TestListDevices(t *testing.T) {
	r := bordonWith(t, context.Background(), room(nil), "listen", "--list-devices")
	assert.Equal(t, done, r.status)
	assert.Contains(t, r.out, "microphone")
	assert.Contains(t, r.out, "default")
	assert.NotContains(t, r.out, "line out")
	r = bordonWith(t, context.Background(), room(nil), "listen", "--list-devices", "--format", "json")
	require.Equal(t, done, r.status)
	assert.JSONEq(t, `[{"index":1,"name":"microphone","system":"ALSA","inputs":1,"rate_hz":48000,"default":true}]`, r.out)
}
