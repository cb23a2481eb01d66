package take_test

import (
	"fmt"
	"log"
	"os"
	"path/filepath"
	"time"

	"bordon/listen/take"
)

func ExampleRecord() {
	root, err := os.MkdirTemp("", "takes")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(root)
	started := time.Date(2025, 3, 9, 18, 5, 7, 0, time.UTC)
	rec, err := take.Record(root, started, "Bb", 48000)
	if err != nil {
		log.Fatal(err)
	}
	heard := []float32{0.5, 2, -2}
	rec.Quantise(heard) // before anything listens to it
	if err := rec.Write(heard); err != nil {
		log.Fatal(err)
	}
	if err := rec.Close(); err != nil {
		log.Fatal(err)
	}
	fmt.Println(filepath.Base(rec.Dir()), rec.Samples(), heard)
	// Output: 2025-03-09T18-05-07-Bb 3 [0.5 0.9999999 -1]
}
