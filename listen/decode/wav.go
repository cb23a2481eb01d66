package decode

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// RIFF/WAVE as in "Multimedia Programming Interface and Data Specifications
// 1.0" (IBM and Microsoft, 1991) and, for WAVE_FORMAT_EXTENSIBLE, "Multiple
// Channel Audio Data and WAVE Files" (Microsoft, 2001).

// Format tags of the fmt chunk.
const (
	tagPCM        = 0x0001
	tagFloat      = 0x0003
	tagExtensible = 0xFFFE
)

// guidTail is what follows the format tag in an extensible format's GUID.
const guidTail = "\x00\x00\x00\x00\x10\x00\x80\x00\x00\xAA\x00\x38\x9B\x71"

// maxChunks bounds the walk through a hostile file: no recorder writes a
// hundredth of it.
const maxChunks = 4096

// wavBlock is how many sample frames are read from the file at a time.
const wavBlock = 4096

// errCompressedWAV marks a WAV of a format tag that is not read here.
var errCompressedWAV = errors.New("it is a WAV with compressed sound")

// wav reads the sample data of a RIFF/WAVE file.
type wav struct {
	r    io.ReaderAt
	in   info
	at   int64 // offset in the file of the next byte of sample data
	end  int64 // offset behind the last whole frame
	cut  bool
	size int // bytes of one sample of one channel
	conv conversion
	buf  []byte
	side []float32 // the second channel of what is read at a time
}

// conversion fills dst with the samples that begin at every stride-th byte of b.
type conversion func(dst []float32, b []byte, stride int)

// newWAV reads the header of the WAV in r, size bytes long. It reads no
// sample data.
func newWAV(r io.ReaderAt, size int64) (*wav, error) {
	w := &wav{r: r}
	var head [12]byte
	if _, err := r.ReadAt(head[:], 0); err != nil || !isWAV(head[:]) {
		return nil, errNotSound
	}
	riff := binary.LittleEndian.Uint32(head[4:])
	at := int64(len(head))
	for range maxChunks {
		var ch [8]byte
		if _, err := r.ReadAt(ch[:], at); err != nil {
			if err == io.EOF {
				break
			}
			return nil, err
		}
		at += int64(len(ch))
		id, n := string(ch[:4]), binary.LittleEndian.Uint32(ch[4:])
		switch id {
		case "fmt ":
			if w.conv != nil {
				return nil, errors.New("its header describes the samples twice; export it again")
			}
			if err := w.readFormat(at, n, size); err != nil {
				return nil, err
			}
		case "data":
			if w.conv == nil {
				return nil, errors.New("its header does not describe the samples before they begin; export it again")
			}
			w.setData(at, n, riff, size)
			return w, nil
		}
		at += int64(n) + int64(n&1) // chunks are padded to even lengths
		if at > size {
			break
		}
	}
	if w.conv == nil {
		return nil, errors.New("its header does not describe the samples; export it again")
	}
	return nil, errors.New("its header announces no samples; export it again")
}

// readFormat reads the fmt chunk of n bytes at offset at.
func (w *wav) readFormat(at int64, n uint32, size int64) error {
	if n < 16 || at+int64(n) > size {
		return fmt.Errorf("its header gives the format %d bytes where 16 to 40 are right", n)
	}
	var buf [40]byte
	b := buf[:min(int(n), len(buf))]
	if _, err := w.r.ReadAt(b, at); err != nil && err != io.EOF {
		return err
	}
	le := binary.LittleEndian
	tag, channels, rate := le.Uint16(b), le.Uint16(b[2:]), le.Uint32(b[4:])
	byteRate, align, bits := le.Uint32(b[8:]), le.Uint16(b[12:]), le.Uint16(b[14:])
	if tag == tagExtensible {
		if len(b) < 40 {
			return fmt.Errorf("its header gives an extensible format %d bytes where 40 are right", n)
		}
		if valid := le.Uint16(b[18:]); valid > bits {
			return fmt.Errorf("its header says that %d of %d bits are used", valid, bits)
		}
		if string(b[26:40]) != guidTail {
			return errCompressedWAV
		}
		tag = le.Uint16(b[24:])
	}
	if tag != tagPCM && tag != tagFloat {
		return errCompressedWAV
	}
	conv, kind := sampleFormat(tag, bits)
	if conv == nil {
		return fmt.Errorf("it has %s samples; 8, 16, 24 and 32-bit integers and 32-bit floats can be read", kind)
	}
	if rate > MaxRate { // before it is an int
		return fmt.Errorf("it has %d samples a second; %d to %d can be read", rate, MinRate, MaxRate)
	}
	w.in = info{format: "WAV, " + kind, rate: int(rate), channels: int(channels)}
	if err := checkInfo(info{rate: w.in.rate, channels: w.in.channels, length: -1}); err != nil {
		return err
	}
	w.size, w.conv = int(bits/8), conv
	if int(align) != w.size*w.in.channels {
		return fmt.Errorf("its header says %d bytes for a sample of all channels, and describes %d", align, w.size*w.in.channels)
	}
	// Some recorders leave the byte rate at 0; any other contradiction would
	// leave the pitch of the file in doubt.
	if byteRate != 0 && int64(byteRate) != int64(rate)*int64(align) {
		return fmt.Errorf("its header says %d samples a second in one place and %.0f in another", rate, float64(byteRate)/float64(align))
	}
	return nil
}

// sampleFormat returns how to read samples, nil if that is unknown, and
// the name of the format. Samples with fewer valid bits than their container
// stand at its upper end, so the container's width is all that matters.
func sampleFormat(tag, bits uint16) (conv conversion, kind string) {
	if tag == tagFloat {
		if bits == 32 {
			conv = func(dst []float32, b []byte, stride int) {
				for i := range dst {
					dst[i] = math.Float32frombits(binary.LittleEndian.Uint32(b[i*stride:]))
				}
			}
		}
		return conv, fmt.Sprintf("%d-bit float", bits)
	}
	switch bits {
	case 8: // the only unsigned one
		conv = func(dst []float32, b []byte, stride int) {
			for i := range dst {
				dst[i] = float32(int(b[i*stride])-128) / (1 << 7)
			}
		}
	case 16:
		conv = func(dst []float32, b []byte, stride int) {
			for i := range dst {
				dst[i] = float32(int16(binary.LittleEndian.Uint16(b[i*stride:]))) / (1 << 15)
			}
		}
	case 24:
		conv = func(dst []float32, b []byte, stride int) {
			for i := range dst {
				s := b[i*stride:]
				dst[i] = float32(int32(s[0])|int32(s[1])<<8|int32(int8(s[2]))<<16) / (1 << 23)
			}
		}
	case 32:
		conv = func(dst []float32, b []byte, stride int) {
			for i := range dst {
				dst[i] = float32(int32(binary.LittleEndian.Uint32(b[i*stride:]))) / (1 << 31)
			}
		}
	}
	return conv, fmt.Sprintf("%d-bit", bits)
}

// setData places the sample data at offset at, n bytes long as its chunk
// says, in a file of size bytes. The RIFF chunk's own size is believed in one
// case only: to tell an empty recording from one whose recorder was killed.
func (w *wav) setData(at int64, n, riff uint32, size int64) {
	there, want := size-at, int64(n)
	unfinished := false
	switch n {
	case 0xFFFFFFFF, // written to a pipe, or killed before the size was known
		0x7FFFF000: // the same, as sox marks it
		unfinished = true
	case 0:
		unfinished = int64(riff)+8 < size || riff == 0xFFFFFFFF
	}
	if unfinished {
		want = there
	}
	frame := int64(w.size * w.in.channels)
	whole := min(want, there)
	whole -= whole % frame
	w.cut = want > there || !unfinished && want%frame != 0
	w.at, w.end = at, at+whole
	w.in.length = whole / frame
	w.buf = make([]byte, int(min(wavBlock*frame, whole)))
	if w.in.channels == 2 {
		w.side = make([]float32, len(w.buf)/int(frame))
	}
}

func (w *wav) info() info      { return w.in }
func (w *wav) truncated() bool { return w.cut }
func (w *wav) close() error    { return nil }

func (w *wav) read(_ context.Context, dst []float32) (int, error) {
	frame := w.size * w.in.channels
	b := w.buf[:min(int64(len(w.buf)), int64(len(dst))*int64(frame), w.end-w.at)]
	if len(b) == 0 {
		return 0, io.EOF
	}
	got, err := w.r.ReadAt(b, w.at)
	if err == io.EOF && got < len(b) {
		// The file became shorter while it was read.
		got -= got % frame
		w.cut, w.end = true, w.at+int64(got)
	} else if err == io.EOF {
		err = nil
	}
	w.at += int64(got)
	n := got / frame
	w.conv(dst[:n], b, frame)
	if w.in.channels == 2 && n > 0 {
		w.conv(w.side[:n], b[w.size:], frame)
		for i, v := range w.side[:n] {
			dst[i] = (dst[i] + v) / 2
		}
	}
	return n, err
}
