package decode

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
)

var errNotSound = errors.New("it is not a sound file; WAV and FLAC can be read, and what phones record through ffmpeg")

// sniffLen is how much of the beginning tells one format from another.
const sniffLen = 16

// sniff opens f with the decoder that its first bytes ask for.
func sniff(ctx context.Context, f *os.File, size int64, path string) (decoder, error) {
	head := make([]byte, sniffLen)
	n, err := f.ReadAt(head, 0)
	if err != nil && err != io.EOF {
		return nil, err
	}
	head = head[:n]
	start := int64(0)
	if tag := id3Length(head); tag > 0 && tag < size {
		// An ID3v2 tag stands before MP3, seldom before FLAC.
		next := make([]byte, 4)
		if n, _ := f.ReadAt(next, tag); isFLAC(next[:n]) {
			head, start = next, tag
		}
	}
	switch {
	case isWAV(head):
		dec, err := newWAV(f, size)
		if errors.Is(err, errCompressedWAV) {
			return openFFmpeg(ctx, path, "WAV with compressed sound")
		}
		if err != nil {
			return nil, err
		}
		return dec, nil
	case isFLAC(head):
		dec, err := newFLAC(io.NewSectionReader(f, start, size-start), size-start)
		if err != nil {
			return nil, err
		}
		return dec, nil
	}
	if name := foreign(head); name != "" {
		return openFFmpeg(ctx, path, name)
	}
	return nil, errNotSound
}

func isWAV(head []byte) bool {
	return len(head) >= 12 && string(head[:4]) == "RIFF" && string(head[8:12]) == "WAVE"
}

func isFLAC(head []byte) bool { return len(head) >= 4 && string(head[:4]) == "fLaC" }

// id3Length returns the length in bytes of the ID3v2 tag that head begins
// with, 0 if there is none. Its size is four bytes of seven bits each
// (ID3v2.3, section 3.1).
func id3Length(head []byte) int64 {
	if len(head) < 10 || string(head[:3]) != "ID3" {
		return 0
	}
	n := int64(0)
	for _, b := range head[6:10] {
		n = n<<7 | int64(b&0x7F)
	}
	return n + 10
}

// foreign names the format of a file that ffmpeg is to read, "" if the
// beginning is of nothing known. The list is closed on purpose: ffmpeg would
// also take playlists and scripts that make it open other files.
func foreign(head []byte) string {
	for _, m := range [...]struct {
		at    int
		magic string
		name  string
	}{
		{4, "ftyp", "MP4 or M4A"},
		{4, "moov", "QuickTime"},
		{4, "mdat", "QuickTime"},
		{4, "wide", "QuickTime"},
		{0, "OggS", "Ogg"},
		{0, "ID3", "MP3"},
		{0, "\x1A\x45\xDF\xA3", "Matroska or WebM"},
		{0, "FORM", "AIFF"},
		{0, "caff", "Core Audio"},
		{0, "#!AMR", "AMR"},
		{0, "\x30\x26\xB2\x75\x8E\x66\xCF\x11", "Windows Media"},
		{0, "RIFX", "big-endian WAV"},
		{0, "RF64", "RF64"},
		{0, "BW64", "BW64"},
		{0, "riff\x2E\x91\xCF\x11", "Wave64"},
		{0, "wvpk", "WavPack"},
		{0, ".snd", "AU"},
	} {
		if len(head) >= m.at+len(m.magic) && bytes.HasPrefix(head[m.at:], []byte(m.magic)) {
			return m.name
		}
	}
	switch {
	case len(head) >= 12 && string(head[:4]) == "RIFF" && string(head[8:12]) == "AVI ":
		return "AVI"
	case isMPEGAudio(head):
		return "MP3 or AAC"
	}
	return ""
}

// isMPEGAudio reports whether head begins with the header of an MPEG audio
// frame (ISO/IEC 11172-3, 2.4.1.3) or of an ADTS frame of AAC (ISO/IEC
// 13818-7, 6.2): eleven or twelve set bits, and no reserved field after them.
func isMPEGAudio(head []byte) bool {
	if len(head) < 4 || head[0] != 0xFF || head[1]&0xE0 != 0xE0 {
		return false
	}
	if head[1]&0xF6 == 0xF0 { // ADTS: the layer bits are 0
		return head[2]>>2&0xF < 13 // sampling frequency index
	}
	version, layer := head[1]>>3&3, head[1]>>1&3
	bitrate, rate := head[2]>>4, head[2]>>2&3
	// Layer I (3) is out of use, and begins like text in UTF-16.
	return version != 1 && layer != 0 && layer != 3 && bitrate != 15 && rate != 3
}
