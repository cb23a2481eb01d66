package words_test

import (
	"fmt"
	"strings"
	"testing"

	"bordon/dsp"
	"bordon/listen"
	"bordon/listen/grid"
	"bordon/listen/match"
	"bordon/theory"
	"bordon/ui/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const rate = 48000

func settings(t testing.TB, key, line string, cejilla int) listen.Settings {
	t.Helper()
	k, err := theory.ParseKey(key)
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	l, err := theory.ParseLine(line, k, form, theory.Standard)
	require.NoError(t, err)
	return listen.Settings{
		Key: k, Form: form, Line: l, LineText: line, Tempo: 120, FirstBeat: 0, Cejilla: cejilla, A4: 440,
		Tolerance: match.Learning, DelayKnown: true, Reason: words.English.Reason,
	}
}

// verdicts of a turn in which these fingered notes are played on the line's
// beats, 0 for none, by the judge itself: sentences are made of what it says.
func verdicts(t testing.TB, set listen.Settings, fingered ...int) []match.Verdict {
	t.Helper()
	g, err := grid.NewFixed(rate, set.Tempo, set.FirstBeat)
	require.NoError(t, err)
	m, err := match.New(match.Config{
		Rate: rate, Line: set.Line, Cejilla: set.Cejilla, Grid: g,
		Tolerance: set.Tolerance, DelayKnown: true, EarDelay: 7200,
	})
	require.NoError(t, err)
	final := make([]match.Verdict, len(set.Line.Items))
	keep := func(events []match.Event) {
		for _, e := range events {
			if e.Kind != match.Judged || e.Verdict.Provisional || e.Verdict.Turn != 1 {
				continue
			}
			v := e.Verdict
			if v.Heard != nil {
				h := *v.Heard
				v.Heard = &h
			}
			for i := range set.Line.Items {
				if set.Line.Items[i].Position == v.Item.Position {
					final[i] = v
				}
			}
		}
	}
	for i, midi := range fingered {
		if midi == 0 {
			continue
		}
		n := dsp.Note{ID: int64(i), Onset: g.Sample(set.Line.Items[i].Position.Offset(12)), Last: true, Began: 0.99}
		n.Decided = n.Onset + 4320
		n.Likelihood[midi+set.Cejilla-dsp.LowestMIDI] = 1
		keep(m.Note(&n))
	}
	keep(m.End(g.Sample(13)))
	return final
}

func TestReason(t *testing.T) {
	const walk = "7:B2 8:A2 9:F#2 10:G2"
	tests := []struct {
		name, key, line string
		cejilla         int
		played          []int
		beat            int // index of the verdict
		want            string
	}{
		// The design's own sentence.
		{"foreign", "G", walk, 0, []int{47, 46, 42, 43}, 1,
			"B flat is not in G major; the line goes down to A, the second degree, open fifth string."},
		{"the same with a cejilla, as fingered", "G", walk, 3, []int{47, 46, 42, 43}, 1,
			"B flat is not in G major; the line goes down to A, the second degree, open fifth string."},
		{"right", "G", walk, 0, []int{47, 45, 42, 43}, 1, ""},
		{"the note before", "G", walk, 0, []int{47, 47, 42, 43}, 1,
			"B is still the note of the beat before; the line goes down to A, the second degree, open fifth string."},
		{"the next note", "G", walk, 0, []int{47, 42, 42, 43}, 1,
			"F sharp is the note of beat 9; the line goes down to A, the second degree, open fifth string."},
		{"next string", "G", walk, 0, []int{47, 50, 42, 43}, 1,
			"D lies at the same fret of the fourth string; the line goes down to A, the second degree, open fifth string."},
		{"a fret too high in the key", "G", walk, 0, []int{48, 45, 42, 43}, 0,
			"C is one fret too high; the line begins on B, the third degree, second fret of the fifth string."},
		{"another degree", "G", walk, 0, []int{47, 45, 48, 43}, 2,
			"C is in the key, but the fourth degree; the line goes down to F sharp, the seventh degree, second fret of the sixth string."},
		{"foreign and far", "G", walk, 0, []int{47, 45, 42, 49}, 3,
			"C sharp is not in G major; the line lands on G, the tonic, third fret of the sixth string."},
		{"next string, fretted", "G", walk, 0, []int{47, 45, 42, 48}, 3,
			"C lies at the same fret of the fifth string; the line lands on G, the tonic, third fret of the sixth string."},
		{"foreign and still there", "G", walk, 0, []int{46, 46, 42, 43}, 1,
			"B flat is not in G major and is still the note of the beat before; the line goes down to A, the second degree, open fifth string."},
		{"an octave up", "G", walk, 0, []int{47, 57, 42, 43}, 1,
			"The A came an octave too high; the line goes down to A, the second degree, open fifth string."},
		{"an octave down", "D", "7:F#3 8:E3 9:C#3 10:D3", 0, []int{42, 52, 49, 50}, 0,
			"The F sharp came an octave too low; the line begins on F sharp, the third degree, fourth fret of the fourth string."},
		{"missing", "G", walk, 0, []int{47, 45, 0, 43}, 2,
			"No bass note was heard; the line goes down to F sharp, the seventh degree, second fret of the sixth string."},
		{"up", "E", "7:G#2 8:F#2 9:A2 10:E2", 0, []int{44, 42, 0, 40}, 2,
			"No bass note was heard; the line goes up to A, the fourth degree, open fifth string."},
		{"por medio", "por-medio", "7:D3 8:C3 9:Bb2 10:A2", 0, []int{50, 48, 47, 45}, 2,
			"B is not in A Phrygian; the line goes down to B flat, the second degree, first fret of the fifth string."},
		{"alternatives", "G", "7:B2 8:C3|E3 10:G2", 0, []int{47, 49, 43}, 1,
			"C sharp is not in G major; the line asks for C, the fourth degree, third fret of the fifth string, or E, the sixth degree, second fret of the fourth string."},
		{"any note of the scale", "G", "7:B2 8:scale 10:G2", 0, []int{47, 49, 43}, 1,
			"C sharp is not in G major; the line asks for any note of G major; the nearest is C, the fourth degree, third fret of the fifth string."},
		{"a tone of the chord", "G", "7:B2 8:chord 10:G2", 0, []int{47, 47, 43}, 1,
			"B is still the note of the beat before; the line asks for a tone of the chord, D, F sharp, A or C; the nearest is C, the fourth degree, third fret of the fifth string."},
		{"the same note asked for again", "G", "7:B2 8:B2 10:G2", 0, []int{47, 46, 43}, 1,
			"B flat is not in G major; the line stays on B, the third degree, second fret of the fifth string."},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			set := settings(t, tt.key, tt.line, tt.cejilla)
			v := verdicts(t, set, tt.played...)[tt.beat]
			require.NotEmpty(t, v.Pitch)
			assert.Equal(t, tt.want, words.English.Reason(v, set))
		})
	}
}

func TestReasonOfWhatIsNotJudged(t *testing.T) {
	set := settings(t, "G", "7:B2 8:A2 9:F#2 10:G2", 0)
	v := verdicts(t, set, 47, 45, 42, 43)[1]
	v.Pitch = match.Unsure
	assert.Equal(t, "Something sounded that cannot be sworn to, so it counts neither for nor against; "+
		"the line goes down to A, the second degree, open fifth string.", words.English.Reason(v, set))
	v.Lost = true
	assert.Equal(t, "Sound was lost here, so it counts neither for nor against; "+
		"the line goes down to A, the second degree, open fifth string.", words.English.Reason(v, set))
	v.Pitch, v.Heard = match.Strummed, nil
	assert.Equal(t, "The turn was strummed without a thumb line, so it is not judged.", words.English.Reason(v, set))
	v.Pitch = match.InScale // cannot be: nothing was heard
	assert.Empty(t, words.English.Reason(v, set))
}

// Every sentence on every note in every key of the scenario is whole: nothing
// is left to fill in, it ends as a sentence, and it stands on one line.
func TestReasonsAreSentences(t *testing.T) {
	for _, key := range []string{"D", "G", "F", "Bb", "por-medio", "E", "F#m", "minera"} {
		k, err := theory.ParseKey(key)
		require.NoError(t, err)
		form, _ := theory.LookupForm("alegrias")
		line, err := theory.DefaultLine(k, form, theory.Standard)
		require.NoError(t, err)
		set := settings(t, key, line.String(), 0)
		for midi := 40; midi <= 60; midi++ {
			for _, v := range verdicts(t, set, midi, midi, 0, midi) {
				s := words.English.Reason(v, set)
				if v.Pitch == match.Right {
					assert.Empty(t, s)
					continue
				}
				assert.NotContains(t, s, "{")
				assert.True(t, strings.HasSuffix(s, "."), s)
				assert.Equal(t, 1, strings.Count(s, "."), s)
				assert.Equal(t, strings.ToUpper(s[:1]), s[:1], s)
			}
		}
	}
}

func ExampleLanguage_Note() {
	for _, s := range []string{"Bb", "F#", "C", "F##", "Ebb"} {
		n, _ := theory.ParseName(s)
		fmt.Println(words.English.Note(n))
	}
	// Output:
	// B flat
	// F sharp
	// C
	// F double sharp
	// E double flat
}

func TestNamesOfThings(t *testing.T) {
	l := words.English
	for key, want := range map[string]string{"Bb": "B flat major", "F#m": "F sharp minor", "por-arriba": "E Phrygian"} {
		k, err := theory.ParseKey(key)
		require.NoError(t, err)
		assert.Equal(t, want, l.Key(k))
	}
	for degree, want := range map[string]string{
		"1": "the tonic", "5": "the fifth degree", "b3": "the lowered third degree", "#4": "the raised fourth degree",
		"#1": "the raised first degree", "9": "9", "": "", "b": "b",
	} {
		assert.Equal(t, want, l.Degree(degree))
	}
	for place, want := range map[theory.Place][2]string{
		{String: 5, Fret: 0}:  {"open fifth string", "(5) open"},
		{String: 6, Fret: 2}:  {"second fret of the sixth string", "(6) 2"},
		{String: 1, Fret: 19}: {"nineteenth fret of the first string", "(1) 19"},
	} {
		assert.Equal(t, want, [2]string{l.Place(place), l.Mark(place)})
	}
	assert.Empty(t, l.Place(theory.Place{String: 7}))
	assert.Empty(t, l.Place(theory.Place{String: 1, Fret: 99}))
}

func TestLabels(t *testing.T) {
	// The table of verdicts in the design.
	for word, want := range map[match.Word]string{
		match.Right: "", match.InScale: "wrong, in key", match.OutOfScale: "not in key",
		match.Missing: "no bass", match.Unsure: "?", match.Strummed: "strummed", match.Octave: "an octave up",
	} {
		assert.Equal(t, want, words.English.Label(match.Verdict{Pitch: word}))
	}
	v := match.Verdict{Pitch: match.Octave, ExpectedMIDI: 54, Heard: &match.Heard{MIDI: 42}}
	assert.Equal(t, "an octave down", words.English.Label(v))
}

func TestTiming(t *testing.T) {
	for _, tt := range []struct {
		timing match.Timing
		ms     float64
		want   string
	}{
		{match.Late, 74.4, "74 ms late"}, {match.Early, -90.6, "91 ms early"}, {match.OnTime, 12, "on time"}, {"", 0, ""},
	} {
		v := match.Verdict{Timing: tt.timing, Offset: int64(tt.ms * rate / 1000)}
		assert.Equal(t, tt.want, words.English.Timing(v, rate))
	}
}

func TestSummary(t *testing.T) {
	ratio := func(x float64) *float64 { return &x }
	tests := []struct {
		name string
		s    match.Score
		want []string
	}{
		{"nothing", match.Score{}, []string{"Nothing was judged: no turn of the line lies wholly in the sound."}},
		{"strummed", match.Score{Strummed: 4}, []string{"Nothing was judged: the turns were strummed, without a thumb line."}},
		{"all right", match.Score{Judged: 16, Right: 16, RightOnTime: 15, Accuracy: ratio(1), AccuracyOnTime: ratio(15.0 / 16), Timed: 16, OffsetMean: 4, OffsetSD: 12},
			[]string{"16 of 16 notes right (100 %), 15 of them on time."}},
		{"some wrong", match.Score{Judged: 16, Right: 11, RightOnTime: 11, InScale: 1, OutOfScale: 2, Missing: 1, Unsure: 1, Extra: 2, Strummed: 4,
			Accuracy: ratio(11.0 / 15), AccuracyOnTime: ratio(11.0 / 15), Timed: 14, OffsetSD: 10},
			[]string{"11 of 15 notes right (73 %), 11 of them on time.",
				"1 wrong but in key, 2 not in key, 1 beat without bass, 2 extra notes, 1 that could not be told and 4 beats in strummed turns, not judged."}},
		{"delay not known", match.Score{Judged: 4, Right: 4, Accuracy: ratio(1)}, []string{"4 of 4 notes right (100 %)."}},
		{"all unsure", match.Score{Judged: 1, Unsure: 1}, []string{"1 that could not be told."}},
		{"a constant lag", match.Score{Judged: 4, Right: 4, RightOnTime: 4, Accuracy: ratio(1), AccuracyOnTime: ratio(1), Timed: 4, OffsetMean: 38.6, OffsetSD: 11},
			[]string{"4 of 4 notes right (100 %), 4 of them on time.", "The whole take lies 39 ms behind the beat."}},
		{"a constant lead", match.Score{Judged: 4, Missing: 4, Accuracy: ratio(0), AccuracyOnTime: ratio(0), Timed: 4, OffsetMean: -25, OffsetSD: 11},
			[]string{"0 of 4 notes right (0 %).", "4 beats without bass.", "The whole take lies 25 ms ahead of the beat."}},
		{"a spread is no lag", match.Score{Judged: 4, Right: 4, Accuracy: ratio(1), Timed: 4, OffsetMean: 25, OffsetSD: 60},
			[]string{"4 of 4 notes right (100 %)."}},
		{"three notes make no habit", match.Score{Judged: 3, Right: 3, Accuracy: ratio(1), Timed: 3, OffsetMean: 25, OffsetSD: 1},
			[]string{"3 of 3 notes right (100 %)."}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, words.English.Summary(tt.s))
		})
	}
}

func TestCautions(t *testing.T) {
	all := strings.Join(words.English.Cautions(), "\n")
	// What the design asks for.
	for _, part := range []string{"start quiet", "limited", "WHO-ITU H.870", "loudspeaker reaches the microphone", "Warm up",
		"stretches", "twenty minutes", "pain, numbness or tingling", "doctor or physiotherapist", "ask before"} {
		assert.Contains(t, all, part)
	}
	assert.Contains(t, words.English.Rest(), "rest your hands")
}
