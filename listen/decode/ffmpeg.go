package decode

import (
	"bufio"
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode"
)

// ffmpegGrace is how long a killed ffmpeg may hold its pipes open.
const ffmpegGrace = 2 * time.Second

// ffmpegShort is by how much less than the announced duration may be decoded
// before the file counts as truncated, in seconds: encoder delay and padding
// are well below it (AAC 0.05 s, Opus and MP3 less).
const ffmpegShort = 0.2

// ffmpegFile reads the first sound track of a file through ffmpeg.
type ffmpegFile struct {
	path     string
	in       info
	ended    func() error // why ffmpeg was ended from outside, nil if it was not
	duration float64      // seconds of sound that the container announces, 0 if it does not
	cmd      *exec.Cmd
	cancel   context.CancelFunc
	out      *bufio.Reader
	errText  tail
	buf      []byte
	have     int // bytes of an incomplete frame at the start of buf
	got      int64
	cut      bool
	wait     func() error // of cmd, once
}

// openFFmpeg starts ffmpeg on the file at path, which looks like the named
// format, and waits for its first samples. ctx ends ffmpeg.
func openFFmpeg(ctx context.Context, path, format string) (decoder, error) {
	ffmpeg, err := exec.LookPath("ffmpeg")
	ffprobe, err2 := exec.LookPath("ffprobe")
	if err != nil || err2 != nil {
		return nil, fmt.Errorf("it is %s, which is read through the programs ffmpeg and ffprobe, and they are not installed; install ffmpeg, or export the file as WAV or FLAC", format)
	}
	f := &ffmpegFile{path: path, ended: ctx.Err}
	if err := f.probe(ctx, ffprobe); err != nil {
		return nil, err
	}
	f.in.format = format + ", through ffmpeg"
	f.in.length = -1
	if err := checkInfo(f.in); err != nil {
		return nil, err
	}
	ctx, f.cancel = context.WithCancel(ctx)
	f.cmd = exec.CommandContext(ctx, ffmpeg, "-nostdin", "-protocol_whitelist", "file,pipe",
		"-i", "file:"+path, "-map", "0:a:0", "-vn", "-f", "f32le", "-")
	f.cmd.Env = append(os.Environ(), "AV_LOG_FORCE_NOCOLOR=1")
	f.cmd.Stderr = &f.errText
	f.cmd.WaitDelay = ffmpegGrace
	pipe, err := f.cmd.StdoutPipe()
	if err == nil {
		err = f.cmd.Start()
	}
	if err != nil {
		f.cancel()
		return nil, fmt.Errorf("starting ffmpeg failed: %w", err)
	}
	f.wait = sync.OnceValue(f.cmd.Wait)
	f.out = bufio.NewReaderSize(pipe, 1<<16)
	f.buf = make([]byte, wavBlock*4*f.in.channels)
	if _, err := f.out.Peek(4 * f.in.channels); err != nil {
		err := f.end(ctx)
		f.close()
		if err == io.EOF {
			err = errNoSamples
		}
		return nil, err
	}
	return f, nil
}

// probe asks ffprobe for rate, channels and duration of the first sound track.
func (f *ffmpegFile) probe(ctx context.Context, ffprobe string) error {
	cmd := exec.CommandContext(ctx, ffprobe, "-v", "error", "-protocol_whitelist", "file,pipe",
		"-select_streams", "a:0", "-show_entries", "stream=sample_rate,channels,duration",
		"-of", "json", "-i", "file:"+f.path)
	var out capped
	cmd.Stdout, cmd.Stderr = &out, &f.errText
	cmd.Env = append(os.Environ(), "AV_LOG_FORCE_NOCOLOR=1")
	cmd.WaitDelay = ffmpegGrace
	if err := cmd.Run(); err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return f.sentence(err)
	}
	f.errText = tail{}
	var is struct {
		Streams []struct {
			Rate     string `json:"sample_rate"`
			Channels int
			Duration string
		}
	}
	if err := json.Unmarshal(out.b, &is); err != nil {
		return fmt.Errorf("ffprobe gave an answer that cannot be understood: %w", err)
	}
	if len(is.Streams) == 0 {
		return errors.New("there is no sound in it")
	}
	s := is.Streams[0]
	f.in.channels = s.Channels
	f.in.rate, _ = strconv.Atoi(s.Rate)                // 0 is refused like every other wrong rate
	f.duration, _ = strconv.ParseFloat(s.Duration, 64) // not every container knows it
	return nil
}

func (f *ffmpegFile) info() info      { return f.in }
func (f *ffmpegFile) truncated() bool { return f.cut }

func (f *ffmpegFile) read(ctx context.Context, dst []float32) (int, error) {
	defer context.AfterFunc(ctx, f.cancel)()
	frame := 4 * f.in.channels
	b := f.buf[:min(len(f.buf), len(dst)*frame)]
	for {
		n, err := f.out.Read(b[f.have:])
		f.have += n
		if f.have < frame && err == nil {
			continue
		}
		frames := f.have / frame
		for i := range frames {
			s := b[i*frame:]
			dst[i] = float32le(s)
			if f.in.channels == 2 {
				dst[i] = (dst[i] + float32le(s[4:])) / 2
			}
		}
		f.have = copy(f.buf, b[frames*frame:f.have])
		f.got += int64(frames)
		if frames > 0 {
			return frames, nil // an error comes again with the next read
		}
		return 0, f.end(ctx)
	}
}

func float32le(b []byte) float32 { return math.Float32frombits(binary.LittleEndian.Uint32(b)) }

// end waits for ffmpeg, whose output has ended, and says why it has: io.EOF
// if all was well.
func (f *ffmpegFile) end(ctx context.Context) error {
	err := f.wait()
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if f.ended() != nil {
		return f.ended()
	}
	if err != nil {
		return f.sentence(err)
	}
	f.cut = float64(f.got)/float64(f.in.rate) < f.duration-ffmpegShort
	return io.EOF
}

// sentence makes one of the last thing that ffmpeg or ffprobe said.
func (f *ffmpegFile) sentence(err error) error {
	lines := strings.FieldsFunc(string(f.errText.b), func(r rune) bool { return r == '\n' || r == '\r' })
	for i := len(lines) - 1; i >= 0; i-- {
		line := strings.TrimSpace(strings.Map(func(r rune) rune {
			if unicode.IsPrint(r) {
				return r
			}
			return -1
		}, strings.TrimPrefix(lines[i], "file:"+f.path+": ")))
		if line != "" && line != "Conversion failed!" {
			return fmt.Errorf("ffmpeg cannot decode it: %s; export it again as WAV or FLAC", line)
		}
	}
	return fmt.Errorf("ffmpeg cannot decode it: %w; export it again as WAV or FLAC", err)
}

func (f *ffmpegFile) close() error {
	f.cancel()
	f.wait() // it was killed: how it ended says nothing
	return nil
}

// tail keeps the last tailSize bytes of what is written to it.
type tail struct{ b []byte }

const tailSize = 4096

func (t *tail) Write(p []byte) (int, error) {
	t.b = append(t.b, p[max(0, len(p)-tailSize):]...)
	t.b = append(t.b[:0], t.b[max(0, len(t.b)-tailSize):]...)
	return len(p), nil
}

// capped keeps the first cappedSize bytes of what is written to it.
type capped struct{ b []byte }

const cappedSize = 1 << 16

func (c *capped) Write(p []byte) (int, error) {
	c.b = append(c.b, p[:min(len(p), cappedSize-len(c.b))]...)
	return len(p), nil
}
