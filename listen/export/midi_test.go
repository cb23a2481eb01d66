package export_test

import (
	"encoding/binary"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"bordon/fixtures/fluid"
	"bordon/listen"
	"bordon/listen/export"
	"bordon/listen/match"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mido reads a MIDI file (Debian's python3-mido) and tells every message with
// its time in seconds, by mido's own reckoning of tempos.
const mido = `
import json, sys, mido
f = mido.MidiFile(sys.argv[1])
tempos = []
tick = 0
for m in f.tracks[0]:
    tick += m.time
    if m.type == 'set_tempo': tempos.append((tick, m.tempo))
def seconds(tick):
    s, last, tempo = 0, 0, 500000
    for at, to in tempos:
        if at >= tick: break
        s += mido.tick2second(at - last, f.ticks_per_beat, tempo)
        last, tempo = at, to
    return s + mido.tick2second(tick - last, f.ticks_per_beat, tempo)
out = {'type': f.type, 'division': f.ticks_per_beat, 'length': f.length, 'tempos': len(tempos), 'tracks': []}
for t in f.tracks:
    tick, name, notes, on, meters, markers, keys = 0, '', [], {}, [], [], []
    for m in t:
        tick += m.time
        if m.type == 'track_name': name = m.name
        elif m.type == 'note_on' and m.velocity: on[m.note] = tick; notes.append({'at': seconds(tick), 'midi': m.note, 'loud': m.velocity})
        elif m.type == 'note_off':
            for n in notes:
                if n['midi'] == m.note and 'until' not in n: n['until'] = seconds(tick)
        elif m.type == 'time_signature': meters.append([m.numerator, m.denominator, tick])
        elif m.type == 'marker': markers.append({'at': seconds(tick), 'text': m.text})
        elif m.type == 'key_signature': keys.append(m.key)
    out['tracks'].append({'name': name, 'notes': notes, 'meters': meters, 'markers': markers, 'keys': keys})
print(json.dumps(out))
`

type midiFile struct {
	Type, Division, Tempos int
	Length                 float64
	Tracks                 []midiTrack
}

type midiTrack struct {
	Name  string
	Notes []struct {
		At, Until  float64
		MIDI, Loud int
	}
	Meters  [][3]int
	Markers []struct {
		At   float64
		Text string
	}
	Keys []string
}

func readMIDI(t *testing.T, p export.Piece) midiFile {
	t.Helper()
	var f midiFile
	read(t, "mido", mido, file(t, "take.mid", midiOf(t, p)), &f)
	return f
}

func TestMIDIHoldsTheLesson(t *testing.T) {
	p := pieceOf(t, lesson(t))
	f := readMIDI(t, p)
	assert.Equal(t, []int{1, 960}, []int{f.Type, f.Division})
	require.Len(t, f.Tracks, 3)
	told, heard, asked := f.Tracks[0], f.Tracks[1], f.Tracks[2]
	assert.Equal(t, []string{"alegrias, G major (2030-01-31T18-05-07-G)", "heard", "asked"}, []string{told.Name, heard.Name, asked.Name})
	assert.Equal(t, []string{"G"}, told.Keys)
	// Beat 1 falls at 4 s, which is 6.93 beats: a bar of seven leads in.
	assert.Equal(t, [][3]int{{7, 4, 0}, {12, 4, 7 * 960}}, told.Meters)

	var texts []string
	for _, m := range told.Markers {
		texts = append(texts, m.Text)
	}
	assert.Equal(t, []string{
		"turn 1, beat 10: late",
		"turn 2, beat 8: not in key, asked A2",
		"turn 2, beat 10: octave, asked G2",
		"turn 3, beat 7: wrong, asked B2, early",
		"turn 3, beat 9: ?",
		"extra: D3",
		"turn 4, beat 8: no bass, asked A2",
	}, texts)

	require.Len(t, asked.Notes, 16)
	require.Len(t, heard.Notes, 16, "15 notes of the line and an extra one")
	assert.Less(t, heard.Notes[10].Loud, heard.Notes[9].Loud, "the ear would not swear to turn 3, beat 9")
}

// Every note lies where it was heard and every beat where the grid has it: in
// constant tempo, in one that changes, in counts of unequal lengths, in sound
// that begins before and in the middle of a turn.
func TestMIDITellsTime(t *testing.T) {
	tests := []struct {
		name  string
		w     listen.TakeSettings
		turns int
		lead  [3]int
		whole [3]int
	}{
		{"constant", listen.TakeSettings{Key: "D", Tempo: 96, FirstBeat: 1.84}, 40, [3]int{3, 4, 0}, [3]int{12, 4, 3 * 960}},
		{"begins on beat 1", listen.TakeSettings{Key: "D", Tempo: 96}, 2, [3]int{12, 4, 0}, [3]int{}},
		{"begins in the middle of a turn", listen.TakeSettings{Key: "F", Tempo: 92, FirstBeat: -3}, 3, [3]int{7, 4, 0}, [3]int{12, 4, 7 * 960}},
		{"rises", listen.TakeSettings{Key: "G", Tempo: 92, FirstBeat: 2, Tempos: []listen.TempoChange{{Turn: 3, Tempo: 96}, {Turn: 5, Tempo: 100}}}, 6,
			[3]int{3, 4, 0}, [3]int{12, 4, 3 * 960}},
		{"clocks run apart", listen.TakeSettings{Key: "G", Tempo: 104, FirstBeat: 2, Tempos: drift(104, 30)}, 30, [3]int{3, 4, 0}, [3]int{12, 4, 3 * 960}},
		{"seguiriyas", listen.TakeSettings{Key: "por-medio", Form: "seguiriyas", Tempo: 140, FirstBeat: 1.5, Line: "1:4 2:3 3:2 3+1/3:1 4:1"}, 8,
			[3]int{5, 8, 0}, [3]int{12, 8, 5 * 480}},
		{"cejilla", listen.TakeSettings{Key: "G", Tempo: 108, FirstBeat: 1, Cejilla: 3}, 2, [3]int{2, 4, 0}, [3]int{12, 4, 2 * 960}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			made := performance(t, tt.w, tt.turns, planted{turn: 2, note: 0, ms: -31}, planted{turn: 2, note: 1, ms: 47})
			for i := range made.Check.Beats { // what lies before the first sample was not heard
				if made.Check.Beats[i].Time < 0 {
					made.Check.Beats[i].Heard.Time = 0
				}
			}
			f := readMIDI(t, pieceOf(t, stored(t, "take", made)))
			meters := [][3]int{tt.lead}
			if tt.whole[0] > 0 {
				meters = append(meters, tt.whole)
			}
			assert.Equal(t, meters, f.Tracks[0].Meters)
			require.Len(t, f.Tracks[1].Notes, len(made.Check.Beats))
			// Half a tick of rounding, the tenth of a millisecond that a beat may
			// lie beside its place, and as much that the take's own times are
			// rounded to.
			unit := 60 / tt.w.Tempo
			near := unit/960 + 0.0002
			for i, b := range made.Check.Beats {
				assert.InDelta(t, b.Heard.Time, f.Tracks[1].Notes[i].At, near, "heard, turn %d, beat %s", b.Turn, b.Beat)
				assert.InDelta(t, max(b.Time, 0), f.Tracks[2].Notes[i].At, near, "asked, turn %d, beat %s", b.Turn, b.Beat)
				assert.Equal(t, b.Heard.MIDI, f.Tracks[1].Notes[i].MIDI)
				assert.LessOrEqual(t, f.Tracks[1].Notes[i].Until-f.Tracks[1].Notes[i].At, 1.01*unit, "a unit at most")
				if i > 0 {
					assert.LessOrEqual(t, f.Tracks[1].Notes[i-1].Until, f.Tracks[1].Notes[i].At+1e-9, "until the next")
				}
			}
		})
	}
}

// drift are the small changes of a pulse that follows another clock.
func drift(tempo float64, turns int) (all []listen.TempoChange) {
	for turn := 2; turn <= turns; turn++ {
		all = append(all, listen.TempoChange{Turn: turn, Tempo: tempo * (1 + 50e-6*math.Sin(float64(turn)))})
	}
	return all
}

// A constant tempo is one tempo, not one for every beat.
func TestMIDIHasFewTempos(t *testing.T) {
	p := pieceOf(t, stored(t, "take", performance(t, listen.TakeSettings{Key: "G", Tempo: 104, FirstBeat: 4}, 40)))
	// 60 s / 104 are 576923.08 microseconds: 480 beats of the whole number run
	// 37 microseconds ahead, less than what a tempo is written anew for. The
	// lead has its own.
	assert.Equal(t, 2, readMIDI(t, p).Tempos)
}

// The delay of the room lies in the sound, and so in the file.
func TestMIDIBeginsWithTheSound(t *testing.T) {
	made := performance(t, listen.TakeSettings{Key: "G", Tempo: 104, FirstBeat: 4}, 2)
	for i := range made.Check.Beats {
		made.Check.Beats[i].Heard.Time += 0.15
	}
	delay := 150.0
	made.Delay = &delay
	f := readMIDI(t, pieceOf(t, stored(t, "take", made)))
	for i, b := range made.Check.Beats {
		assert.InDelta(t, b.Time+0.15, f.Tracks[1].Notes[i].At, 0.0009, "half a tick and roundings, as in TestMIDITellsTime")
		assert.InDelta(t, b.Time+0.15, f.Tracks[2].Notes[i].At, 0.0009, "a note on its beat sounds with what was asked")
	}
}

// What the player says stands in place of the ear's word.
func TestMIDITellsThePlayersWord(t *testing.T) {
	s := lesson(t)
	require.NoError(t, s.Overrule(2, "8", match.Right, "it was A", noon))
	require.NoError(t, s.Overrule(4, "7", match.Missing, "", noon))
	f := readMIDI(t, pieceOf(t, s))
	var texts []string
	for _, m := range f.Tracks[0].Markers {
		texts = append(texts, m.Text)
	}
	assert.Contains(t, texts, "turn 2, beat 8: you say: right")
	assert.Contains(t, texts, "turn 4, beat 7: no bass, asked B2, you say: missing")
	assert.Len(t, f.Tracks[1].Notes, 15)
}

// A strummed turn is told of once.
func TestMIDITellsAStrummedTurnOnce(t *testing.T) {
	var strummed []planted
	for i := range 4 {
		strummed = append(strummed, planted{turn: 2, note: i, pitch: match.Strummed})
	}
	f := readMIDI(t, pieceOf(t, stored(t, "take", performance(t, listen.TakeSettings{Key: "G", Tempo: 104, FirstBeat: 4}, 3, strummed...))))
	require.Len(t, f.Tracks[0].Markers, 1)
	assert.Equal(t, "turn 2, beat 7: strummed", f.Tracks[0].Markers[0].Text)
	assert.Len(t, f.Tracks[1].Notes, 8)
	assert.Len(t, f.Tracks[2].Notes, 12)
}

func TestMIDIOfALine(t *testing.T) {
	f := readMIDI(t, asked(t, "F", "alegrias", "7:3 8:2 9:7 10:1", 0))
	require.Len(t, f.Tracks, 2)
	var notes []int
	for _, n := range f.Tracks[1].Notes {
		notes = append(notes, n.MIDI)
	}
	assert.Equal(t, []int{45, 43, 40, 41}, notes) // A2 G2 E2 F2
	assert.Empty(t, f.Tracks[0].Markers)
}

// FluidSynth plays the file: every turn's first note, which comes out of
// silence, sounds where it was heard.
func TestFluidSynthPlaysIt(t *testing.T) {
	if err := (fluid.Instrument{}).Available(); err != nil {
		t.Skip(err)
	}
	made := performance(t, listen.TakeSettings{Key: "G", Tempo: 104, FirstBeat: 4, Tempos: []listen.TempoChange{{Turn: 3, Tempo: 112}}}, 4,
		planted{turn: 2, note: 0, ms: -74}, planted{turn: 4, note: 1, pitch: match.Missing})
	song := file(t, "take.mid", midiOf(t, pieceOf(t, stored(t, "take", made))))
	sound := filepath.Join(t.TempDir(), "take.wav")
	out, err := exec.Command("fluidsynth", "-ni", "-q", "-T", "wav", "-O", "s16", "-F", sound, "-r", "48000", "-g", "0.8", "-R", "0", "-C", "0", fluid.SoundFont, song).CombinedOutput()
	require.NoError(t, err, string(out))
	x := left(t, sound)
	for _, b := range made.Check.Beats {
		if b.Beat != "7" {
			continue
		}
		at := int(b.Heard.Time * rate)
		require.Greater(t, len(x), at+rate)
		loudest := 0.0
		for _, v := range x[at : at+rate/2] {
			loudest = max(loudest, math.Abs(v))
		}
		begins := at - rate/2
		for math.Abs(x[begins]) < loudest/10 {
			begins++
		}
		// A tenth of its height is reached within the rise of a low string,
		// after the SoundFont's own latency.
		assert.InDelta(t, b.Heard.Time+fluid.Latency, float64(begins)/rate, 0.012, "turn %d", b.Turn)
	}
}

// left is the left channel of a plain 16-bit stereo WAV file.
func left(t *testing.T, path string) []float64 {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Greater(t, len(b), 44)
	var x []float64
	for i := 44; i+4 <= len(b); i += 4 {
		x = append(x, float64(int16(binary.LittleEndian.Uint16(b[i:])))/32768)
	}
	return x
}

func TestTurnsAreBounded(t *testing.T) {
	made := performance(t, listen.TakeSettings{Key: "G", Tempo: 104, FirstBeat: 4}, 1)
	made.Check.Beats[3].Turn = export.MaxTurns + 1
	s := stored(t, "take", made)
	_, err := export.OfTake(s, "")
	assert.ErrorContains(t, err, "5001 turns cannot be written; export at most 5000")
}
