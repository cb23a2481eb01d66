//go:build !nomic

package audio

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestChoose(t *testing.T) {
	devs := []Device{
		{Index: 0, Name: "Built-in Speaker", HostAPI: "B", Outputs: 2},
		{Index: 1, Name: "Built-in Microphone", HostAPI: "B", Inputs: 1},
		{Index: 2, Name: "USB Interface", HostAPI: "A", Inputs: 2, Outputs: 2},
		{Index: 3, Name: "USB Interface", HostAPI: "B", Inputs: 2, Outputs: 2, DefaultInput: true, DefaultOutput: true},
		{Index: 4, Name: "USB Interface 2", HostAPI: "B", Inputs: 2},
		{Index: 5, Name: "7", HostAPI: "A", Inputs: 1},
	}
	for want, index := range map[string]int{
		"":                    3,
		"1":                   1,
		"Built-in Microphone": 1,
		"microphone":          1,
		"USB Interface":       3, // by its whole name, on the default system
		"usb interface":       3,
		"interface 2":         4,
	} {
		i, err := choose(devs, want, input)
		require.NoError(t, err, want)
		assert.Equal(t, index, devs[i].Index, want)
	}
	for want, sentence := range map[string]string{
		"usb":     `"usb" could be several of the devices: 3 "USB Interface", 4 "USB Interface 2"; name one`,
		"speaker": `no microphone is called "speaker"; there are 1 "Built-in Microphone", 2 "USB Interface"`,
		"0":       `no microphone has the number 0; there are 1 "Built-in`,
		"7":       `no microphone has the number 7`, // a number is an index
		"a\nb":    `"a\nb"`,
	} {
		_, err := choose(devs, want, input)
		assert.ErrorContains(t, err, sentence, want)
	}
	i, err := choose(devs, "speaker", output)
	require.NoError(t, err)
	assert.Equal(t, 0, i)

	_, err = choose(devs[:1], "", input)
	assert.ErrorIs(t, err, ErrNoMicrophone)
	_, err = choose(nil, "x", input)
	assert.ErrorIs(t, err, ErrNoMicrophone)
	_, err = choose(devs[1:2], "", output)
	assert.ErrorContains(t, err, "no loudspeaker")
	i, err = choose(devs[:2], "", input) // no default: the first there is
	require.NoError(t, err)
	assert.Equal(t, 1, i)
}

func TestNamesEnds(t *testing.T) {
	devs := make([]Device, 20)
	which := make([]int, 20)
	assert.Contains(t, names(devs, which), `0 "", and 12 more`)
}
