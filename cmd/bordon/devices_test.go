package main

import (
	"context"
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/audio"
	"bordon/listen/take"
)

// withSpeaker is a room with a loudspeaker.
func withSpeaker(m *fakeMicrophone, out loudspeaker) sound {
	s := room(m)
	s.playback = func(context.Context, int, string) (loudspeaker, error) { return out, nil }
	return s
}

// A computer too busy for the sound is told of at the end, and only then.
func TestABusyComputerIsTold(t *testing.T) {
	for _, tt := range []struct {
		name    string
		in, out float64
		too     bool
	}{
		{"idle", 0.02, 0.01, false},
		{"nearly", 1, 1, false},
		{"the microphone's thread", 1.2, 0.1, true},
		{"the loudspeaker's thread", 0.1, 3, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			mic, _ := demoMicrophone(t)
			mic.samples, mic.stats.Load = mic.samples[:demoRate], tt.in
			r := bordonWith(t, context.Background(), withSpeaker(mic, &fakeLoudspeaker{load: tt.out}), "listen", "--format", "json", "--turns", "1")
			require.Equal(t, done, r.status, r.errOut)
			if tt.too {
				assert.Contains(t, r.errOut, language.Busy())
			} else {
				assert.NotContains(t, r.errOut, language.Busy())
			}
		})
	}
}

// bomb is a loudspeaker that goes off in the goroutine that feeds it.
type bomb struct{ fakeLoudspeaker }

func (b *bomb) Write([]float32) int { panic("string 7") }
func (b *bomb) Room() int           { return 1 << 16 }

// endless is a microphone that never ends.
type endless struct{ fakeMicrophone }

func (e *endless) Read(_ context.Context, dst []float32) (int, int64, error) {
	clear(dst)
	return len(dst), 0, nil
}

// A panic in the goroutine that feeds the pulse ends the program with one
// sentence and the place; the take is whole.
func TestAPanicOfThePulseKeepsTheTake(t *testing.T) {
	s := newShelf(t)
	mic := &endless{fakeMicrophone{player: player{rate: demoRate}, device: audio.Device{Name: "microphone"}}}
	snd := withSpeaker(nil, &bomb{})
	snd.capture = func(context.Context, audio.Options) (microphone, error) { return mic, nil }
	status, out, errOut := s.with(snd, "listen", "--format", "json", "-k", "G", "-t", "104")
	assert.Equal(t, failed, status)
	assert.Contains(t, errOut, "in what plays the pulse: string 7")
	assert.Contains(t, errOut, "devices_test.go", "where it was")
	var end struct{ Dir string }
	require.Len(t, events(t, out)["end"], 1)
	require.NoError(t, json.Unmarshal(events(t, out)["end"][0], &end))
	assert.Equal(t, s.takes, filepath.Dir(end.Dir))
	kept, err := take.Load(end.Dir)
	require.NoError(t, err)
	_, err = kept.Judge(context.Background(), take.Words{})
	require.NoError(t, err)
	assert.Equal(t, 1, mic.closed)
}
