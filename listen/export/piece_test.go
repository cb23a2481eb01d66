package export_test

import (
	"cmp"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bordon/listen"
	"bordon/listen/export"
	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/theory"

	"github.com/stretchr/testify/require"
)

const rate = 48000

var noon = time.Date(2030, 2, 1, 12, 0, 0, 0, time.UTC)

// plain words, so that nothing here depends on a language.
var plainWords = export.Words{
	Heard: "heard", Asked: "asked", Extra: "extra",
	Cejilla: func(fret int) string { return "cejilla " + string(rune('0'+fret)) },
	Place:   func(turn int, beat string) string { return "turn " + string(rune('0'+turn)) + ", beat " + beat },
	Label: func(v match.Verdict) string {
		return map[match.Word]string{match.Octave: "octave", match.InScale: "wrong", match.OutOfScale: "not in key",
			match.Missing: "no bass", match.Unsure: "?", match.Strummed: "strummed"}[v.Pitch]
	},
	Timing:   func(v match.Verdict, rate int) string { return string(v.Timing) },
	Note:     theory.Note.String,
	Chord:    theory.Chord.String,
	AskedFor: func(note string) string { return "asked " + note },
	Ruled:    func(w match.Word) string { return "you say: " + string(w) },
}

// planted is what is not right in a performance: a note of a turn by its place
// in the line, from 0.
type planted struct {
	turn, note int
	pitch      match.Word // "" leaves the note right
	midi       int        // that was heard in its place; 0 the asked one
	ms         float64    // early or late
}

// performance describes a take in which everything is right but what is
// planted. It is made from the settings alone, so that every time in it is
// known. An unnamed form, tempo, line and first beat are the scenario's.
func performance(t *testing.T, w listen.TakeSettings, turns int, all ...planted) listen.Take {
	t.Helper()
	if w.Form == "" {
		w.Form = "alegrias"
	}
	if w.Line == "" {
		w.Line = "7:3 8:2 9:7 10:1"
	}
	w.A4, w.Tolerance, w.Rate = 440, "learning", rate
	key, form, line, err := w.Music()
	require.NoError(t, err)
	set := listen.Settings{Key: key, Form: form, Line: line, Tempo: w.Tempo, FirstBeat: w.FirstBeat, Tempos: w.Tempos, Cejilla: w.Cejilla,
		A4: 440, Tolerance: match.Learning}
	g, err := set.Grid(rate)
	require.NoError(t, err)
	delay := 0.0
	made := listen.Take{Schema: listen.TakeSchema, Started: "2030-01-31T18:05:07+01:00", Settings: w, Delay: &delay, Gaps: []listen.TakeGap{},
		Check: listen.Check{Schema: listen.CheckSchema, File: "take.wav", Beats: []listen.Beat{}, Extra: listen.Extras{}}}
	for turn := 1; turn <= turns; turn += max(line.Turns, 1) {
		for i, it := range line.Items {
			now := turn + it.Position.Turn - 1
			at := g.Sample(float64((turn-1)*form.Beats) + it.Position.Offset(form.Beats))
			midi := it.Choices[0].Note.MIDI() + w.Cejilla
			seconds := float64(at) / rate
			b := listen.Beat{Turn: now, Beat: it.Position.String(), Time: seconds, Pitch: match.Right, Decided: seconds + 0.1,
				Expected: listen.Expected{MIDI: midi, Name: key.Transpose(w.Cejilla).Spell(midi).String(), Degree: key.Degree(midi - w.Cejilla)}}
			heard := listen.Note{MIDI: midi, Time: seconds, Confidence: 0.97}
			ms, timing := 0.0, match.OnTime
			for _, p := range all {
				if p.turn == now && p.note == i {
					ms = p.ms
					if p.pitch != "" {
						b.Pitch = p.pitch
					}
					if p.midi != 0 {
						heard.MIDI = p.midi
					}
				}
			}
			heard.Time += ms / 1000
			switch {
			case ms < -60:
				timing = match.Early
			case ms > 60:
				timing = match.Late
			}
			if b.Pitch != match.Missing && b.Pitch != match.Strummed {
				b.Heard = &heard
			}
			if b.Pitch.Sworn() {
				b.Timing, b.Offset = &timing, &ms
			}
			if b.Pitch != match.Right {
				b.Reason = "Not what the line asks for."
			}
			made.Check.Beats = append(made.Check.Beats, b)
			made.Length = math.Max(made.Length, seconds+2)
		}
	}
	return made
}

// stored puts a take on disk and reads it again.
func stored(t *testing.T, name string, made listen.Take) *take.Stored {
	t.Helper()
	dir := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.Mkdir(dir, 0o755))
	require.NoError(t, take.WriteJSON(filepath.Join(dir, take.JSONName), made))
	s, err := take.Load(dir)
	require.NoError(t, err)
	return s
}

// lesson is the scenario's take in G with a mistake of every kind.
func lesson(t *testing.T) *take.Stored {
	t.Helper()
	made := performance(t, listen.TakeSettings{Key: "G", Tempo: 104, FirstBeat: 4}, 4,
		planted{turn: 1, note: 3, ms: 84},                                  // late
		planted{turn: 2, note: 1, pitch: match.OutOfScale, midi: 46},       // B flat for A
		planted{turn: 2, note: 3, pitch: match.Octave, midi: 55},           // G3 for G2
		planted{turn: 3, note: 0, pitch: match.InScale, midi: 48, ms: -74}, // C for B, early
		planted{turn: 3, note: 2, pitch: match.Unsure, midi: 43},           // perhaps G
		planted{turn: 4, note: 1, pitch: match.Missing})
	at := made.Check.Beats[12].Time
	made.Check.Extra = listen.Extras{{Time: at + 0.3, MIDI: 50, Name: "D3", Confidence: 0.9}} // half a beat after turn 4's 7
	return stored(t, "2030-01-31T18-05-07-G", made)
}

func pieceOf(t *testing.T, s *take.Stored) export.Piece {
	t.Helper()
	p, err := export.OfTake(s, "alegrías, G major")
	require.NoError(t, err)
	return p
}

// asked is a line that nobody has played.
func asked(t *testing.T, key, form, line string, cejilla int) export.Piece {
	t.Helper()
	k, err := theory.ParseKey(key)
	require.NoError(t, err)
	f, err := theory.LookupForm(form)
	require.NoError(t, err)
	l, err := theory.ParseLine(line, k, f, theory.Standard)
	require.NoError(t, err)
	p, err := export.OfLine(listen.Settings{Key: k, Form: f, Line: l, Tempo: cmp.Or(f.Tempo, 100), Cejilla: cejilla, A4: 440, Tolerance: match.Learning}, "a line")
	require.NoError(t, err)
	return p
}
