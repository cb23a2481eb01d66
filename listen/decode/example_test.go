package decode_test

import (
	"context"
	"fmt"
	"io"
	"log"
	"os"
	"path/filepath"

	"bordon/listen/decode"
)

func ExampleOpen() {
	ctx := context.Background()
	dir, err := os.MkdirTemp("", "bordon")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	// Two samples of a recorder that was killed: the sizes in its header are 0.
	path := filepath.Join(dir, "take.wav")
	wav := "RIFF\x00\x00\x00\x00WAVEfmt \x10\x00\x00\x00\x01\x00\x01\x00\x80\xBB\x00\x00\x00\x77\x01\x00\x02\x00\x10\x00" +
		"data\x00\x00\x00\x00\x00\x40\x00\xC0"
	if err := os.WriteFile(path, []byte(wav), 0o644); err != nil {
		log.Fatal(err)
	}

	r, err := decode.Open(ctx, path)
	if err != nil {
		log.Fatal(err)
	}
	defer r.Close()
	fmt.Println(r.Format(), r.Rate(), r.Length())
	samples := make([]float32, 512)
	for {
		n, _, err := r.Read(ctx, samples)
		fmt.Println(samples[:n])
		if err == io.EOF {
			break
		}
		if err != nil {
			log.Fatal(err)
		}
	}
	// Output:
	// WAV, 16-bit 48000 2
	// [0.5 -0.5]
	// []
}
