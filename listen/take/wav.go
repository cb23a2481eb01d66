package take

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
)

// RIFF/WAVE as in "Multimedia Programming Interface and Data Specifications
// 1.0" (IBM and Microsoft, 1991): RIFF, a fmt chunk of PCM, the data chunk.

const (
	headerSize     = 44
	bytesPerSample = 3
	riffSizeAt     = 4
	dataSizeAt     = 40

	fullScale = 1 << 23 // steps from 0 to full scale
)

// header is the beginning of a mono 24-bit file, its sizes 0.
func header(rate int) (h [headerSize]byte) {
	le := binary.LittleEndian
	copy(h[0:], "RIFF")
	copy(h[8:], "WAVEfmt ")
	le.PutUint32(h[16:], 16)
	le.PutUint16(h[20:], 1) // PCM
	le.PutUint16(h[22:], 1) // channels
	le.PutUint32(h[24:], uint32(rate))
	le.PutUint32(h[28:], uint32(rate)*bytesPerSample)
	le.PutUint16(h[32:], bytesPerSample)
	le.PutUint16(h[34:], bytesPerSample*8)
	copy(h[36:], "data")
	return h
}

// patch writes the sizes that announce n bytes of samples and, behind them,
// tail bytes of other chunks.
func patch(w io.WriterAt, n, tail int64) error {
	var b [4]byte
	binary.LittleEndian.PutUint32(b[:], uint32(headerSize-8+n+n%2+tail))
	if _, err := w.WriteAt(b[:], riffSizeAt); err != nil {
		return err
	}
	binary.LittleEndian.PutUint32(b[:], uint32(n))
	_, err := w.WriteAt(b[:], dataSizeAt)
	return err
}

// step is the 24-bit integer nearest to v, clamped, 0 for NaN. float64 holds
// every product exactly, so rounding happens once.
func step(v float32) int32 {
	x := math.RoundToEven(float64(v) * fullScale)
	switch {
	case x >= fullScale-1:
		return fullScale - 1
	case x <= -fullScale:
		return -fullScale
	case x != x:
		return 0
	}
	return int32(x)
}

// Quantise rounds samples in place to 24 bits, full scale being -1 to 1. What
// is beyond is clamped, what is no number becomes 0.
func Quantise(samples []float32) {
	for i, v := range samples {
		samples[i] = float32(step(v)) / fullScale
	}
}

// encode writes samples to dst as little-endian 24-bit integers and returns
// the part of dst that they fill.
func encode(dst []byte, samples []float32) []byte {
	for i, v := range samples {
		s := step(v)
		d := dst[i*bytesPerSample:]
		d[0], d[1], d[2] = byte(s), byte(s>>8), byte(s>>16)
	}
	return dst[:len(samples)*bytesPerSample]
}

// openWAV opens a take's WAV file, flag being os.O_RDONLY or os.O_RDWR, and
// returns how many bytes of samples its header announces. It refuses what a Recorder did not write: a
// file with anything else before its samples.
func openWAV(path string, flag int) (f *os.File, n int64, err error) {
	if err := plain(path); err != nil {
		return nil, 0, err
	}
	if f, err = os.OpenFile(path, flag, 0); err != nil {
		return nil, 0, fmt.Errorf("cannot open the recording: %w", err)
	}
	var h [headerSize]byte
	if _, err = f.ReadAt(h[:], 0); err == nil || errors.Is(err, io.EOF) {
		want := header(int(binary.LittleEndian.Uint32(h[24:])))
		copy(want[riffSizeAt:], h[riffSizeAt:riffSizeAt+4])
		copy(want[dataSizeAt:], h[dataSizeAt:dataSizeAt+4])
		if err != nil || h != want {
			err = fmt.Errorf("%q was not recorded here; it is left as it is", path)
		}
	}
	if err != nil {
		f.Close()
		return nil, 0, err
	}
	return f, int64(binary.LittleEndian.Uint32(h[dataSizeAt:])), nil
}

// decodeInto is the inverse of encode: it fills dst with the samples in b.
func decodeInto(dst []float32, b []byte) {
	for i := range dst {
		s := b[i*bytesPerSample:]
		dst[i] = float32(int32(s[0])|int32(s[1])<<8|int32(int8(s[2]))<<16) / fullScale
	}
}
