package audio_test

import (
	"context"
	"errors"
	"fmt"

	"bordon/listen/audio"
)

// Listening until the device goes away. There is no output to compare: what is
// heard depends on the room.
func ExampleOpenCapture() {
	ctx := context.Background()
	mic, err := audio.OpenCapture(ctx, audio.Options{Device: "usb"})
	if errors.Is(err, audio.ErrNoMicrophone) {
		fmt.Println("nothing to listen with")
		return
	}
	if err != nil {
		fmt.Println(err)
		return
	}
	defer mic.Close()
	samples := make([]float32, 512)
	for {
		n, lost, err := mic.Read(ctx, samples)
		if errors.Is(err, audio.ErrStalled) {
			return // close, and open again
		}
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(n, "samples,", lost, "lost before them")
	}
}
