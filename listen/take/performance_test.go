package take

import (
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"bordon/fixtures"
	"bordon/listen"
	"bordon/listen/match"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the tests record: two quick turns of the scenario's walk in G, with a
// note that is not in the key, at the lowest rate there is.
const testRate = 8000

var performance = sync.OnceValues(func() ([]float32, error) {
	t, err := fixtures.Generate(fixtures.Spec{
		Name: "quick", Key: "G", Line: "7:3 8:2 9:7 10:1", Tempo: 200, FirstBeat: 0.3, Turns: 2, Hand: fixtures.Steady, Seed: 7,
		Guitar:   fixtures.Specs()[0].Guitar,
		Mistakes: []fixtures.Planted{{Turn: 1, Beat: "8", What: fixtures.OutOfScale, Note: "Bb2"}},
	})
	if err != nil {
		return nil, err
	}
	x, err := t.Render(testRate)
	Quantise(x)
	return x, err
})

func played(t testing.TB) []float32 {
	t.Helper()
	x, err := performance()
	require.NoError(t, err)
	return x
}

// testSettings have a delay that no tenth of a millisecond is, and a tempo that
// follows a clock.
func testSettings(t testing.TB) listen.Settings {
	t.Helper()
	key, err := theory.ParseKey("G")
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	line, err := theory.ParseLine("7:3 8:2 9:7 10:1", key, form, theory.Standard)
	require.NoError(t, err)
	return listen.Settings{
		Key: key, Form: form, Line: line, LineText: "7:3 8:2 9:7 10:1", Tempo: 200, FirstBeat: 0.3 + 1./3000,
		A4: 440, Tolerance: match.Learning, Delay: 3.14159, DelayKnown: true, Reason: testWords.Reason,
		Tempos: []listen.TempoChange{{Turn: 2, Tempo: 200.123456}},
	}
}

var testWords = Words{
	Reason: func(v match.Verdict, _ listen.Settings) string {
		if v.Pitch == match.Right {
			return ""
		}
		return "It was " + string(v.Pitch) + "."
	},
	Cues: func(s *listen.Session) []Cue {
		var cues []Cue
		for _, v := range s.Verdicts() {
			at := v.Time
			if v.Heard != nil {
				at = v.Heard.Onset
			}
			cues = append(cues, Cue{Sample: at, Label: v.Item.Position.String() + " " + string(v.Pitch), Note: "turn"})
		}
		return cues
	},
}

// chunked gives samples in uneven pieces, and loses some before the piece of
// that number.
type chunked struct {
	samples []float32
	reads   int
	lose    int
	onRead  func(at int)
	at      int
}

func (c *chunked) Rate() int { return testRate }

func (c *chunked) Read(_ context.Context, dst []float32) (n int, lost int64, err error) {
	c.reads++
	if c.onRead != nil {
		c.onRead(c.at)
	}
	if c.reads == c.lose {
		lost = 1234
		c.at += int(lost)
	}
	n = copy(dst[:min(len(dst), 100+c.reads%57)], c.samples[c.at:])
	c.at += n
	if c.at == len(c.samples) {
		err = io.EOF
	}
	return n, lost, err
}

// record records samples as the program does.
func record(t testing.TB, root string, src listen.Source) (*listen.Session, string) {
	t.Helper()
	s, err := listen.NewSession(testSettings(t), testRate)
	require.NoError(t, err)
	rec, err := Record(root, started, "G", testRate)
	require.NoError(t, err)
	require.NoError(t, rec.WriteJSON(s.Take(started, listen.Devices{}, WAVName)))
	require.NoError(t, listen.Run(context.Background(), src, rec, s, nil))
	require.NoError(t, rec.Finish(s.Take(started, listen.Devices{Input: "room"}, WAVName), testWords.Cues(s)))
	return s, rec.Dir()
}

// judged is what is said of samples that are heard from a file.
func judged(t testing.TB, samples []float32) listen.Check {
	t.Helper()
	s, err := listen.NewSession(testSettings(t), testRate)
	require.NoError(t, err)
	s.Write(samples)
	s.Close()
	return s.Check(WAVName)
}

// opens holds a take against the samples that were played: it has at least as
// many of them as that, and the verdicts of those it has.
func opens(t testing.TB, dir string, least int) (samples int) {
	t.Helper()
	s, err := Load(dir)
	require.NoError(t, err)
	require.NoFileExists(t, filepath.Join(dir, markerName))
	all := played(t)
	var got []float32
	if s.Take.Length > 0 {
		x, r := readBack(t.(*testing.T), s.WAV())
		require.False(t, r.Truncated())
		got = x
	}
	require.GreaterOrEqual(t, len(got), least)
	require.LessOrEqual(t, len(got), len(all))
	if len(got) > 0 {
		require.Equal(t, all[:len(got)], got)
	}
	require.InDelta(t, float64(len(got))/testRate, s.Take.Length, 1e-4, "kept to a tenth of a millisecond")
	want := judged(t, got)
	require.Equal(t, want, s.Take.Check)
	f, err := os.Open(s.WAV())
	require.NoError(t, err)
	defer f.Close()
	st, err := f.Stat()
	require.NoError(t, err)
	cues, err := Cues(f, st.Size())
	require.NoError(t, err)
	require.Len(t, cues, len(want.Beats), "a cue point for each verdict")
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, 2, "nothing stays behind")
	return len(got)
}

// What was said live is said again of the file, to the sample, with the stored
// delay and where samples were lost.
func TestJudgedAgainTheSame(t *testing.T) {
	x := played(t)
	live, dir := record(t, t.TempDir(), &chunked{samples: x, lose: 150})
	require.Len(t, live.Gaps(), 1)
	require.Len(t, live.Verdicts(), 8)
	s, err := Load(dir)
	require.NoError(t, err)
	again, err := s.Judge(context.Background(), testWords)
	require.NoError(t, err)
	assert.Equal(t, live.Verdicts(), again.Verdicts())
	assert.Equal(t, live.Extras(), again.Extras())
	assert.Equal(t, live.Check(WAVName), again.Check(WAVName))
	assert.Equal(t, live.Check(WAVName), s.Take.Check, "and the description says it")
	require.Len(t, s.Take.Gaps, 1)
	assert.Equal(t, int64(1234), s.Take.Gaps[0].Lost)
	differs, err := s.Recheck(context.Background(), testWords)
	require.NoError(t, err)
	assert.False(t, differs)
	assert.Nil(t, s.Newer)
}

// A newer ear's verdicts stand beside the old ones.
func TestANewerEarIsKeptBeside(t *testing.T) {
	_, dir := record(t, t.TempDir(), &chunked{samples: played(t)})
	s, err := Load(dir)
	require.NoError(t, err)
	// As an older ear had judged it.
	old := s.Take
	require.Equal(t, match.OutOfScale, old.Check.Beats[1].Pitch)
	old.Check.Beats[1].Pitch = match.InScale
	require.NoError(t, WriteJSON(filepath.Join(dir, JSONName), old))
	s, err = Load(dir)
	require.NoError(t, err)
	require.NoError(t, s.Overrule(1, "9", match.Missing, "", started))
	for range 2 {
		differs, err := s.Recheck(context.Background(), testWords)
		require.NoError(t, err)
		assert.True(t, differs)
		s, err = Load(dir)
		require.NoError(t, err)
		assert.Equal(t, match.InScale, s.Take.Check.Beats[1].Pitch, "what was said stays")
		require.NotNil(t, s.Newer)
		assert.Equal(t, match.OutOfScale, s.Newer.Beats[1].Pitch)
		assert.Equal(t, [][2]int{{1, 1}}, Differs(s.Take.Check, *s.Newer))
		assert.Equal(t, match.Missing, s.Beats()[2].Pitch, "the player's word survives")
	}
	// The ear says again what it had said.
	old.Check.Beats[1].Pitch = match.OutOfScale
	require.NoError(t, WriteJSON(filepath.Join(dir, JSONName), old))
	s, err = Load(dir)
	require.NoError(t, err)
	differs, err := s.Recheck(context.Background(), testWords)
	require.NoError(t, err)
	assert.False(t, differs)
	assert.NoFileExists(t, filepath.Join(dir, NewerName))
}

func TestCuesAreTold(t *testing.T) {
	_, dir := record(t, t.TempDir(), &chunked{samples: played(t)})
	opens(t, dir, len(played(t)))
	s, err := Load(dir)
	require.NoError(t, err)
	require.NoError(t, s.SetCues([]Cue{{Sample: 9, Label: "soleá"}, {Sample: 3, Label: "odd", Note: "even\n" + strings.Repeat("x", 2000)}}))
	f, err := os.Open(s.WAV())
	require.NoError(t, err)
	defer f.Close()
	st, err := f.Stat()
	require.NoError(t, err)
	cues, err := Cues(f, st.Size())
	require.NoError(t, err)
	require.Len(t, cues, 2)
	assert.Equal(t, Cue{Sample: 9, Label: "solea"}, cues[1])
	assert.Equal(t, int64(3), cues[0].Sample)
	assert.True(t, strings.HasPrefix(cues[0].Note, "even x"))
	assert.Len(t, cues[0].Note, maxCueText)
	require.NoError(t, s.SetCues(nil))
	got, r := readBack(t, s.WAV())
	assert.Equal(t, played(t), got)
	assert.False(t, r.Truncated())
}

// libsndfile's sndfile-info (Debian's sndfile-programs) and Python's chunk
// module read the cue points as they are meant.
func TestReferenceProgramsReadTheCues(t *testing.T) {
	_, dir := record(t, t.TempDir(), &chunked{samples: played(t)})
	s, err := Load(dir)
	require.NoError(t, err)
	require.NoError(t, s.SetCues([]Cue{{Sample: 12345, Label: "2/8 not in key", Note: "asked A2"}, {Sample: 100, Label: "1/7 B2"}}))
	t.Run("libsndfile", func(t *testing.T) {
		if _, err := exec.LookPath("sndfile-info"); err != nil {
			t.Skip("sndfile-info is not installed")
		}
		full, err := exec.Command("sndfile-info", s.WAV()).CombinedOutput()
		require.NoError(t, err, string(full))
		for _, want := range []string{"cue  : 52", "LIST", "adtl", "labl", "2/8 not in key", "1/7 B2"} {
			assert.Contains(t, string(full), want)
		}
		assert.NotContains(t, string(full), "***", "it finds nothing wrong")
	})
	t.Run("Python", func(t *testing.T) {
		const python = "/usr/bin/python3" // Debian's own
		if _, err := os.Stat(python); err != nil {
			t.Skip("Debian's python3 is not installed")
		}
		out, err := exec.Command(python, "-W", "ignore", "-c", `
import sys, struct, chunk
f = open(sys.argv[1], "rb")
riff = chunk.Chunk(f, bigendian=False)
assert riff.getname() == b"RIFF" and riff.read(4) == b"WAVE"
while True:
    try: c = chunk.Chunk(riff, bigendian=False)
    except EOFError: break
    if c.getname() == b"cue ":
        n, = struct.unpack("<I", c.read(4))
        for i in range(n): print("cue", *struct.unpack("<II4sIII", c.read(24)))
    elif c.getname() == b"LIST":
        print(c.read(4))
        while True:
            try: s = chunk.Chunk(c, bigendian=False)
            except EOFError: break
            print(s.getname(), struct.unpack("<I", s.read(4))[0], s.read())
            s.skip()
    else: c.skip()
    if c.getname() in (b"cue ", b"LIST"): c.skip()
`, s.WAV()).CombinedOutput()
		require.NoError(t, err, string(out))
		assert.Equal(t, `cue 1 100 b'data' 0 0 100
cue 2 12345 b'data' 0 0 12345
b'adtl'
b'labl' 1 b'1/7 B2\x00'
b'labl' 2 b'2/8 not in key\x00'
b'note' 2 b'asked A2\x00'
`, string(out))
	})
}
