package listen

import (
	"testing"

	"bordon/dsp"
	"bordon/listen/match"
	"bordon/theory"

	"github.com/stretchr/testify/require"
)

// fakeEar says what it was given, each look with the sample that decided it.
type fakeEar struct {
	notes []dsp.Note // in order of Decided
	heard int64
	sum   float64 // of all samples
	out   []dsp.Note
}

func (f *fakeEar) Write(x []float32) []dsp.Note {
	f.out = f.out[:0]
	f.heard += int64(len(x))
	for _, v := range x {
		f.sum += float64(v)
	}
	for len(f.notes) > 0 && f.notes[0].Decided <= f.heard {
		f.out = append(f.out, f.notes[0])
		f.notes = f.notes[1:]
	}
	return f.out
}

func (f *fakeEar) Flush() []dsp.Note {
	f.out = f.out[:0]
	for _, n := range f.notes {
		if n.Onset < f.heard {
			n.Decided = min(n.Decided, f.heard)
			f.out = append(f.out, n)
		}
	}
	f.notes = nil
	return f.out
}

func (f *fakeEar) Tuning() (float64, bool) { return -3.14, f.heard > 0 }
func (f *fakeEar) Delay() int              { return testRate * 150 / 1000 }

const testRate = 48000

// heardNote is a sure look at a bass note, decided 90 ms after its onset.
func heardNote(id, onset int64, midi int) dsp.Note {
	n := dsp.Note{ID: id, Onset: onset, Decided: onset + testRate*90/1000, Last: true, Began: 0.98, Level: -20}
	for i := range n.Likelihood {
		n.Likelihood[i] = 0.03 / (dsp.Pitches - 1)
		n.Cents[i] = -4.04
	}
	n.Likelihood[midi-dsp.LowestMIDI] = 0.97
	return n
}

// scenario is the walk of alegrías in G at 120 beats a minute from the first
// second on: a beat is half a second, a turn six.
func scenario(t testing.TB) Settings {
	t.Helper()
	key, err := theory.ParseKey("G")
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	line, err := theory.ParseLine("7:3 8:2 9:7 10:1", key, form, theory.Standard)
	require.NoError(t, err)
	return Settings{
		Key: key, Form: form, Line: line, LineText: "7:3 8:2 9:7 10:1",
		Tempo: 120, FirstBeat: 1, A4: 440, Tolerance: match.Learning, DelayKnown: true,
		Reason: func(v match.Verdict, s Settings) string {
			if v.Pitch == match.Right {
				return ""
			}
			return string(v.Pitch) + " in " + s.Key.String()
		},
	}
}

// at is the sample of a beat of a turn of the scenario.
func at(turn int, beat float64) int64 {
	return int64((1 + (float64(turn-1)*12+beat-1)*0.5) * testRate)
}

// twoTurns plays the walk: right but for B flat on beat 8 of the second turn,
// 20 ms late on beat 9, nothing on beat 10, a C between the beats.
func twoTurns() []dsp.Note {
	return []dsp.Note{
		heardNote(0, at(1, 7), 47), heardNote(1, at(1, 8), 45), heardNote(2, at(1, 9), 42), heardNote(3, at(1, 10), 43),
		heardNote(4, at(2, 7), 47), heardNote(5, at(2, 8), 46), heardNote(6, at(2, 8.5), 48), heardNote(7, at(2, 9)+960, 42),
	}
}

// hearFake feeds silence of that length in chunks to a session with a fake ear.
func hearFake(t testing.TB, set Settings, notes []dsp.Note, total int64, chunk int) (*Session, []Event) {
	t.Helper()
	s, err := newSession(set, testRate, &fakeEar{notes: notes})
	require.NoError(t, err)
	var events []Event
	for left := int(total); left > 0; left -= chunk {
		events = append(events, s.Write(make([]float32, min(chunk, left)))...)
	}
	return s, append(events, s.Close()...)
}

func parse(t testing.TB, line string, set Settings) theory.Line {
	t.Helper()
	l, err := theory.ParseLine(line, set.Key, set.Form, theory.Standard)
	require.NoError(t, err)
	return l
}
