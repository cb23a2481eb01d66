package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"text/tabwriter"
	"time"

	"bordon/listen"
	"bordon/listen/audio"
)

// sound opens the machine's devices.
type sound struct {
	devices  func(context.Context) ([]audio.Device, error)
	capture  func(context.Context, audio.Options) (microphone, error)
	playback func(ctx context.Context, rate int, device string) (loudspeaker, error)
}

// microphone is an open input.
type microphone interface {
	listen.Source
	Device() audio.Device
	Stats() audio.Stats
	Marks(report func(samples int64, at time.Duration))
	Close() error
}

// loudspeaker is an open output.
type loudspeaker interface {
	Device() audio.Device
	Write([]float32) int // never waits
	Room() int           // samples that Write would take
	Load() float64       // the most of its time that its thread took, as a share
	Steady()
	Marks(report func(frames int64, at time.Duration))
	Drain(context.Context) error
	Close() error
}

// portAudio is the machine's own sound.
var portAudio = sound{
	devices: audio.Devices,
	capture: func(ctx context.Context, o audio.Options) (microphone, error) {
		c, err := audio.OpenCapture(ctx, o)
		if err != nil {
			return nil, err
		}
		return c, nil
	},
	playback: func(ctx context.Context, rate int, device string) (loudspeaker, error) {
		p, err := audio.OpenPlayback(ctx, rate, device)
		if err != nil {
			return nil, err
		}
		return p, nil
	},
}

// noMicrophone is the error of a microphone that could not be opened: the demo
// needs none.
type noMicrophone struct{ error }

func (e noMicrophone) Unwrap() error { return e.error }

func (e noMicrophone) Error() string {
	return e.error.Error() + "; \"bordon demo\" plays and judges a built-in performance without one"
}

// deviceJSON is a device as --list-devices writes it.
type deviceJSON struct {
	Index   int    `json:"index"`
	Name    string `json:"name"`
	System  string `json:"system"`
	Inputs  int    `json:"inputs"`
	Rate    int    `json:"rate_hz"`
	Default bool   `json:"default"`
}

// listDevices lists the microphones.
func (a *app) listDevices(ctx context.Context, format string) error {
	devices, err := a.sound.devices(ctx)
	if err != nil {
		return noMicrophone{err}
	}
	inputs := []deviceJSON{}
	for _, d := range devices {
		if d.Inputs > 0 {
			inputs = append(inputs, deviceJSON{d.Index, d.Name, d.HostAPI, d.Inputs, d.Rate, d.DefaultInput})
		}
	}
	if format == "json" {
		return encode(a.stdout, inputs)
	}
	if len(inputs) == 0 {
		return noMicrophone{errors.New("no microphone was found; plug one in")}
	}
	w := tabwriter.NewWriter(a.stdout, 0, 0, 3, ' ', 0)
	fmt.Fprintln(w, strings.Join(language.MicrophoneList(), "\t")+"\t")
	for _, d := range inputs {
		mark := ""
		if d.Default {
			mark = language.Standard()
		}
		fmt.Fprintf(w, "%d\t%s\t%s\t%d\t%d\t%s\n", d.Index, printable(d.Name), d.System, d.Inputs, d.Rate, mark)
	}
	return w.Flush()
}
