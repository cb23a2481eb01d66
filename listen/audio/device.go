//go:build !nomic

package audio

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/gordonklaus/portaudio"
)

// ErrNoMicrophone says that the machine has no input.
var ErrNoMicrophone = errors.New("no microphone was found; plug one in, or let Bordon judge a recording")

var errNoLoudspeaker = errors.New("no loudspeaker was found")

// Devices lists the inputs and outputs that there are, in the system's order.
// The list is as old as the oldest Capture or Player that is open.
func Devices(ctx context.Context) (devs []Device, err error) {
	s := &session{timeout: defaultTimeout}
	if err := s.open(ctx); err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, s.close()) }()
	devs, _, err = s.devices(ctx)
	return devs, err
}

// devices asks PortAudio for its list; infos are in the same order.
func (s *session) devices(ctx context.Context) (devs []Device, infos []*portaudio.DeviceInfo, err error) {
	err = s.do(ctx, "list the sound devices", func() error {
		list, err := portaudio.Devices()
		if err != nil {
			return err
		}
		in, _ := portaudio.DefaultInputDevice() // none is told by no flag
		out, _ := portaudio.DefaultOutputDevice()
		for _, d := range list {
			devs = append(devs, Device{Index: d.Index, Name: d.Name, HostAPI: d.HostApi.Name,
				Inputs: d.MaxInputChannels, Outputs: d.MaxOutputChannels, Rate: int(d.DefaultSampleRate + 0.5),
				DefaultInput: d == in, DefaultOutput: d == out})
		}
		infos = list
		return nil
	})
	if err != nil {
		return nil, nil, err
	}
	return devs, infos, nil
}

// direction tells inputs from outputs.
type direction struct {
	noun     string // "microphone"
	channels func(Device) int
	standard func(Device) bool
	none     error
}

var (
	input = direction{"microphone", func(d Device) int { return d.Inputs },
		func(d Device) bool { return d.DefaultInput }, ErrNoMicrophone}
	output = direction{"loudspeaker", func(d Device) int { return d.Outputs },
		func(d Device) bool { return d.DefaultOutput }, errNoLoudspeaker}
)

// choose returns the position in devs of the device that want means: "" the
// default, else an index, a name, or a part of one name only. A part of names
// that several systems give the same device means that of the default system.
func choose(devs []Device, want string, dir direction) (int, error) {
	var usable, found []int
	system := ""
	for i, d := range devs {
		if dir.channels(d) == 0 {
			continue
		}
		usable = append(usable, i)
		if dir.standard(d) {
			system = d.HostAPI
			if want == "" {
				return i, nil
			}
		}
	}
	if len(usable) == 0 {
		return 0, dir.none
	}
	if want == "" {
		return usable[0], nil
	}
	if n, err := strconv.Atoi(want); err == nil {
		for _, i := range usable {
			if devs[i].Index == n {
				return i, nil
			}
		}
		return 0, fmt.Errorf("no %s has the number %d; there are %s", dir.noun, n, names(devs, usable))
	}
	// From the strictest meaning to the loosest.
	for _, same := range []func(name string) bool{
		func(name string) bool { return name == want },
		func(name string) bool { return strings.EqualFold(name, want) },
		func(name string) bool { return strings.Contains(strings.ToLower(name), strings.ToLower(want)) },
	} {
		found = found[:0]
		for _, i := range usable {
			if same(devs[i].Name) {
				found = append(found, i)
			}
		}
		if len(found) > 1 {
			var here []int
			for _, i := range found {
				if devs[i].HostAPI == system {
					here = append(here, i)
				}
			}
			if len(here) > 0 {
				found = here
			}
		}
		switch {
		case len(found) == 1:
			return found[0], nil
		case len(found) > 1:
			return 0, fmt.Errorf("%q could be several of the devices: %s; name one, or give its number", want, names(devs, found))
		}
	}
	return 0, fmt.Errorf("no %s is called %q; there are %s", dir.noun, want, names(devs, usable))
}

// names lists devices for a message.
func names(devs []Device, which []int) string {
	var b strings.Builder
	for k, i := range which {
		if k > 0 {
			b.WriteString(", ")
		}
		if k == 8 {
			fmt.Fprintf(&b, "and %d more", len(which)-k)
			break
		}
		fmt.Fprintf(&b, "%d %q", devs[i].Index, devs[i].Name)
	}
	return b.String()
}
