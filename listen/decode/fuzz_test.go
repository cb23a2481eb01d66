package decode

import (
	"bytes"
	"context"
	"encoding/binary"
	"io"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// readSome reads dec for at most limit samples and checks what every decoder
// promises. It returns how many samples came.
func readSome(t *testing.T, dec decoder, limit int) int {
	total := 0
	dst := make([]float32, 777)
	for total < limit {
		n, err := dec.read(context.Background(), dst)
		require.LessOrEqual(t, n, len(dst))
		total += n
		if err != nil {
			require.NotEmpty(t, err.Error())
			require.NotContains(t, err.Error(), "\n")
			break
		}
		require.NotZero(t, n, "no samples and no error")
	}
	return total
}

// Run with -fuzzminimizetime 1x: minimising these inputs takes all the time
// there is.
func FuzzWAV(f *testing.F) {
	f.Add(pcm(48000, 1, -2, 3).bytes())
	ext := pcm(44100, 5, 6)
	ext.extensible, ext.validBits, ext.before = true, 16, chunk("LIST", []byte("abc"))
	f.Add(ext.bytes())
	fl := pcm(96000, 0, 0x7F80, 0, 0x3F80)
	fl.tag, fl.bits = tagFloat, 32
	f.Add(fl.bytes())
	f.Add([]byte("RIFF\xFF\xFF\xFF\xFFWAVEdata"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) >= 12 { // anything else is refused at once
			copy(b, "RIFF")
			copy(b[8:], "WAVE")
		}
		w, err := newWAV(bytes.NewReader(b), int64(len(b)))
		if err != nil {
			require.NotContains(t, err.Error(), "\n")
			return
		}
		require.LessOrEqual(t, len(w.buf), len(b), "memory that the file does not justify")
		n := readSome(t, w, math.MaxInt)
		require.Equal(t, w.info().length, int64(n))
		require.LessOrEqual(t, n, len(b))
	})
}

func FuzzFLAC(f *testing.F) {
	f.Add(flacBytes(f, 48000, 1, 16, 16, 20, ramp(20)))
	f.Add(flacBytes(f, 44100, 2, 24, 16, 0, ramp(32)))
	f.Add(predicted(f))
	f.Fuzz(func(t *testing.T, b []byte) {
		b = repairFLAC(b)
		d, err := newFLAC(bytes.NewReader(b), int64(len(b)))
		if err != nil {
			require.NotContains(t, err.Error(), "\n")
			return
		}
		n := readSome(t, d, 1<<18)
		require.LessOrEqual(t, n, (len(b)/flacMinFrame+1)*flacMaxBlock, "samples out of nothing")
	})
}

// predicted is a FLAC of one frame written by hand, its checksums left out: 16
// samples of 16 bits under the first-order fixed predictor, one Rice partition
// of parameter 0, every residual 0.
func predicted(t testing.TB) []byte {
	return append(flacBytes(t, 48000, 1, 16, 16, 0, nil),
		0xFF, 0xF8, 0x6A, 0x08, 0, 15, 0, // header
		0x12, 0, 1, 0, 0x3F, 0xFF, 0x80, // subframe
		0, 0)
}

// repairFLAC gives b the signature, a stream header of plausible length, and
// the two checksums of everything that looks like a frame, so that mutations
// reach the decoder behind them.
func repairFLAC(b []byte) []byte {
	b = bytes.Clone(b)
	if len(b) < 42 {
		return b
	}
	copy(b, "fLaC\x80\x00\x00\x22") // STREAMINFO, the last block, 34 bytes
	var at []int
	for i := 42; i+6 < len(b); i++ {
		if b[i] == 0xFF && b[i+1]&0xFE == 0xF8 {
			at = append(at, i)
		}
	}
	for k, i := range at {
		end := len(b)
		if k+1 < len(at) {
			end = at[k+1]
		}
		if n := flacFrameHeader(b[i:end]); n > 0 && i+n+2 < end {
			b[i+n-1] = crc8(b[i : i+n-1])
			binary.BigEndian.PutUint16(b[end-2:], crc16(b[i:end-2]))
		}
	}
	return b
}

// flacFrameHeader returns the length of the frame header that b begins with,
// its checksum included (RFC 9639, 9.1), 0 if b is too short.
func flacFrameHeader(b []byte) int {
	if len(b) < 5 {
		return 0
	}
	n := 5 // sync code, sizes, channels, and the first byte of the number
	if b[2]>>4 == 6 {
		n++
	} else if b[2]>>4 == 7 {
		n += 2
	}
	switch b[2] & 15 {
	case 12:
		n++
	case 13, 14:
		n += 2
	}
	for m := b[4]; m >= 0xC0 && m != 0xFF; m <<= 1 { // as many bytes as set bits
		n++
	}
	if n++; n > len(b) {
		return 0
	}
	return n
}

// crc8 has the polynomial x^8+x^2+x+1, crc16 x^16+x^15+x^2+1 (RFC 9639, 9.1.8
// and 9.3).
func crc8(b []byte) (c byte) {
	for _, v := range b {
		c ^= v
		for range 8 {
			hi := c & 0x80
			c <<= 1
			if hi != 0 {
				c ^= 0x07
			}
		}
	}
	return c
}

func crc16(b []byte) (c uint16) {
	for _, v := range b {
		c ^= uint16(v) << 8
		for range 8 {
			hi := c & 0x8000
			c <<= 1
			if hi != 0 {
				c ^= 0x8005
			}
		}
	}
	return c
}

// The repair must make what it promises, or the fuzzing stays at the door.
func TestRepairFLAC(t *testing.T) {
	whole := flacBytes(t, 48000, 1, 16, 16, 20, ramp(20))
	require.Equal(t, whole[42:], repairFLAC(whole)[42:], "nothing to repair")
	broken := bytes.Clone(whole)
	broken[len(broken)-1] ^= 1
	broken[42+6] ^= 1
	d, err := newFLAC(bytes.NewReader(repairFLAC(broken)), int64(len(broken)))
	require.NoError(t, err)
	require.Equal(t, 20, readSome(t, d, math.MaxInt))

	b := predicted(t)
	d, err = newFLAC(bytes.NewReader(repairFLAC(b)), int64(len(b)))
	require.NoError(t, err)
	require.Equal(t, 16, readSome(t, d, math.MaxInt))

	_, err = d.read(context.Background(), make([]float32, 1))
	require.Equal(t, io.EOF, err)
}
