package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"time"

	"bordon/dsp"
)

// Examples that are too many for memory lie in files, each of so many takes: the
// number of examples, 8 bytes, the labels of all, then the evidence of all at
// each of the inFiles looks in turn. Numbers are little-endian.
const (
	shardTakes = 500
	labelLen   = 24
	exampleLen = labelLen + len(inFiles)*dsp.EvidenceLen
)

// inFiles are the looks by which verdicts are made.
var inFiles = [...]int{short, long}

// shard renders takes to files in a folder.
func shard(folder string, seed uint64, takes int, c cast, workers int, log io.Writer) error {
	begin := time.Now()
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	for from := 0; from < takes; from += shardTakes {
		examples, t, err := gather(seed, from, min(shardTakes, takes-from), c, workers)
		if err != nil {
			return err
		}
		path := filepath.Join(folder, fmt.Sprintf("%d-%06d.examples", seed, from))
		if err := writeShard(path, examples); err != nil {
			return fmt.Errorf("write examples: %w", err)
		}
		fmt.Fprintf(log, "takes from %d: %d examples, the gate missed %d of %d bass notes; %.0f s\n", from, len(examples), t.unheard, t.bass, time.Since(begin).Seconds())
	}
	return nil
}

// writeShard writes beside the file and then names it, so that whoever reads
// finds whole ones alone.
func writeShard(path string, examples []*example) error {
	b := make([]byte, 0, 8+len(examples)*exampleLen)
	b = binary.LittleEndian.AppendUint64(b, uint64(len(examples)))
	for _, ex := range examples {
		b = ex.appendLabel(b)
	}
	for _, look := range inFiles {
		for _, ex := range examples {
			for _, v := range ex.looks[look] {
				b = append(b, byte(v))
			}
		}
	}
	if err := os.WriteFile(path+".part", b, 0o644); err != nil {
		return err
	}
	return os.Rename(path+".part", path)
}

// appendLabel appends what is true of an example: sounding, late, weight, the
// bounds of the bass, the class, whether it is a strum (1) and known (2).
func (e *example) appendLabel(b []byte) []byte {
	le := binary.LittleEndian
	flags := byte(0)
	if e.strum {
		flags |= 1
	}
	if e.known {
		flags |= 2
	}
	b = le.AppendUint64(b, e.sounding)
	b = le.AppendUint32(b, math.Float32bits(e.late))
	b = le.AppendUint32(b, math.Float32bits(e.weight))
	return append(b, byte(e.lowest), byte(e.highest), byte(e.class), flags, 0, 0, 0, 0)
}

// readShard reads the labels and the evidence at one look.
func readShard(path string, look int) (labels, evidence []byte, n int, err error) {
	at := slices.Index(inFiles[:], look)
	if at < 0 {
		return nil, nil, 0, errors.New("read examples: files hold the short and the long look alone")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, 0, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, nil, 0, err
	}
	var head [8]byte
	if _, err := io.ReadFull(f, head[:]); err != nil {
		return nil, nil, 0, fmt.Errorf("read examples of %q: %w", path, err)
	}
	n = int(binary.LittleEndian.Uint64(head[:]))
	if n < 0 || n > int(info.Size())/exampleLen || int64(8+n*exampleLen) != info.Size() {
		return nil, nil, 0, fmt.Errorf("read examples of %q: %d bytes don't hold %d of them", path, info.Size(), n)
	}
	labels, evidence = make([]byte, n*labelLen), make([]byte, n*dsp.EvidenceLen)
	if _, err := io.ReadFull(f, labels); err != nil {
		return nil, nil, 0, fmt.Errorf("read examples of %q: %w", path, err)
	}
	if _, err := f.ReadAt(evidence, int64(8+n*labelLen+at*len(evidence))); err != nil {
		return nil, nil, 0, fmt.Errorf("read examples of %q: %w", path, err)
	}
	return labels, evidence, n, nil
}
