package take

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
)

// Cue is a place in a take's sound with what there is to say of it. Editors of
// sound show it as a marker.
type Cue struct {
	Sample int64
	Label  string // a few words
	Note   string // a sentence; "" for none
}

// The bounds of what is written: beyond them a cue is left out, or cut.
const (
	maxCues    = 100000
	maxCueText = 1000 // bytes
)

// chunks are the cue chunk and the list of their labels (adtl), as in
// "Multimedia Programming Interface and Data Specifications 1.0" (IBM and
// Microsoft, 1991), chapter 3; nil for no cues. Positions count samples from
// the first of the data chunk. Text is written in the letters that every
// reader of the format has, those of ASCII.
func chunks(cues []Cue) []byte {
	if len(cues) == 0 {
		return nil
	}
	cues = slices.Clone(cues[:min(len(cues), maxCues)])
	slices.SortStableFunc(cues, func(a, b Cue) int { return int(max(min(a.Sample-b.Sample, 1), -1)) })
	le := binary.LittleEndian
	points := le.AppendUint32(nil, uint32(len(cues)))
	list := []byte("adtl")
	for i, c := range cues {
		id, at := uint32(i+1), uint32(max(min(c.Sample, maxData/bytesPerSample), 0))
		points = le.AppendUint32(points, id)
		points = le.AppendUint32(points, at) // place in the order of play
		points = append(points, "data"...)
		points = le.AppendUint32(points, 0) // data is no list of chunks
		points = le.AppendUint32(points, 0)
		points = le.AppendUint32(points, at)
		list = appendChunk(list, "labl", text(id, c.Label))
		if c.Note != "" {
			list = appendChunk(list, "note", text(id, c.Note))
		}
	}
	return appendChunk(appendChunk(nil, "cue ", points), "LIST", list)
}

// text is the body of a labl or note chunk: whose it is, and a string that
// ends in a zero byte.
func text(id uint32, s string) []byte {
	s = ASCII(s)
	return append(append(binary.LittleEndian.AppendUint32(nil, id), s[:min(len(s), maxCueText)]...), 0)
}

func appendChunk(dst []byte, id string, body []byte) []byte {
	dst = append(dst, id...)
	dst = binary.LittleEndian.AppendUint32(dst, uint32(len(body)))
	dst = append(dst, body...)
	if len(body)%2 == 1 { // chunks have even lengths
		dst = append(dst, 0)
	}
	return dst
}

var plainLetters = strings.NewReplacer("á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ñ", "n", "ü", "u",
	"Á", "A", "É", "E", "Í", "I", "Ó", "O", "Ú", "U", "Ñ", "N", "Ü", "U", "♯", "#", "♭", "b", "–", "-", "’", "'")

// ASCII is text without control characters in the letters of ASCII, for formats
// whose readers know no others: letters lose their accents, what has no such
// letter becomes a question mark.
func ASCII(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r < 0x20 || r == 0x7f:
			return ' '
		case r > 0x7f:
			return '?'
		}
		return r
	}, plainLetters.Replace(s))
}

// setTail puts chunks behind n bytes of sample data, in place of what stands
// there. However it ends, the sound stays readable: until the last step the
// header announces nothing behind it.
func setTail(f file, n int64, tail []byte) error {
	end := headerSize + n + n%2
	if int64(len(tail)) > maxData+headerSize-end {
		tail = nil // the format has no room for it
	}
	err := patch(f, n, 0)
	if err == nil {
		err = f.Sync()
	}
	if err == nil {
		err = f.Truncate(end)
	}
	if err == nil && len(tail) > 0 {
		_, err = f.WriteAt(tail, end)
	}
	if err == nil {
		err = patch(f, n, int64(len(tail)))
	}
	if err == nil {
		err = f.Sync()
	}
	return err
}

// SetCues puts cues into the WAV file of a take in place of those there.
func (s *Stored) SetCues(cues []Cue) (err error) {
	f, n, err := openWAV(s.WAV(), os.O_RDWR)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if err := setTail(f, n, chunks(cues)); err != nil {
		return fmt.Errorf("cannot write the cue points of %q: %w", s.WAV(), err)
	}
	return nil
}

// Cues reads the cue points of a WAV file with their labels and notes, in
// order of their numbers; nil where there are none.
func Cues(r io.ReaderAt, size int64) ([]Cue, error) {
	le := binary.LittleEndian
	var head [12]byte
	if _, err := r.ReadAt(head[:], 0); err != nil || string(head[:4]) != "RIFF" || string(head[8:]) != "WAVE" {
		return nil, errors.New("cannot read cue points: it is no WAV file")
	}
	ids := map[uint32]int{}
	var cues []Cue
	var lists [][]byte
	for at := int64(12); at+8 <= size; {
		var h [8]byte
		if _, err := r.ReadAt(h[:], at); err != nil {
			return nil, fmt.Errorf("cannot read cue points: %w", err)
		}
		id, n := string(h[:4]), int64(le.Uint32(h[4:]))
		at += 8
		if (id == "cue " || id == "LIST") && n <= min(size-at, 64<<20) {
			b := make([]byte, n)
			if _, err := r.ReadAt(b, at); err != nil {
				return nil, fmt.Errorf("cannot read cue points: %w", err)
			}
			if id == "LIST" {
				lists = append(lists, b)
			} else if len(b) >= 4 {
				for b = b[4:]; len(b) >= 24 && len(cues) < maxCues; b = b[24:] {
					ids[le.Uint32(b)] = len(cues)
					cues = append(cues, Cue{Sample: int64(le.Uint32(b[20:]))})
				}
			}
		}
		at += n + n&1
	}
	for _, b := range lists {
		if len(b) < 4 || string(b[:4]) != "adtl" {
			continue
		}
		for b = b[4:]; len(b) >= 8; {
			n := int(min(int64(le.Uint32(b[4:])), int64(len(b)-8)))
			body := b[8 : 8+n]
			if n >= 4 {
				said, _, _ := strings.Cut(string(body[4:]), "\x00")
				if i, ok := ids[le.Uint32(body)]; ok {
					switch string(b[:4]) {
					case "labl":
						cues[i].Label = said
					case "note":
						cues[i].Note = said
					}
				}
			}
			b = b[min(8+n+n&1, len(b)):]
		}
	}
	return cues, nil
}
