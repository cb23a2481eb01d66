package main

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/dsp/pluck"
	"bordon/fixtures"
)

// With the pulse, the delay known: every kind of mistake on its beat, early and
// late in milliseconds, and the sounds tell how a turn went.
func TestSoundWayWithThePulse(t *testing.T) {
	l := sitDown(t)
	ms := measured(t, l.program, l.dir)
	t.Logf("the delay is %.1f ms", ms)
	from := l.g.now()
	l.begin("-k", "G", "-t", "104", "-l", walk, "--turns", "3", "--sounds")
	first := l.join(from, 104, 6)
	k := played(t, "G", walk, 104, 3,
		fixtures.Planted{Turn: 1, Beat: "8", What: fixtures.InScale, Note: "C3"},
		fixtures.Planted{Turn: 1, Beat: "10", What: fixtures.Late, Offset: 0.14},
		fixtures.Planted{Turn: 2, Beat: "7", What: fixtures.Early, Offset: -0.12},
		fixtures.Planted{Turn: 2, Beat: "8", What: fixtures.Missing},
		fixtures.Planted{Turn: 2, Beat: "9", What: fixtures.OutOfScale, Note: "F2"})
	l.g.play(k, first)
	screen := l.until("the take is over")
	t.Logf("the screen:\n%s", screen)
	shows(t, screen, walkBeats, k, 1, true)
	assert.Contains(t, screen, "of 12 notes right")
	l.end()
	kept, err := filepath.Glob(filepath.Join(l.dir, "bordon", "takes", "*", "take.json"))
	require.NoError(t, err)
	assert.Len(t, kept, 1)
}

// A wrong note stops the page at the end of its stretch. The wrong note again
// leaves it standing; the right one lets it go on with a count-in, on the next
// row. Then space stops it, and taps on the top do what they say.
func TestSoundWayHold(t *testing.T) {
	l := sitDown(t)
	from := l.g.now()
	l.begin("-k", "G", "-t", "104", "-l", walk, "--hold")
	wrong := played(t, "G", walk, 104, 1, fixtures.Planted{Turn: 1, Beat: "8", What: fixtures.OutOfScale, Note: "Bb2"})
	l.g.play(wrong, l.join(from, 104, 6))
	screen := l.until("play the right note")
	t.Logf("held:\n%s", screen)
	shows(t, screen, walkBeats, wrong, 1, false)
	said := strings.Join(strings.Fields(screen), " ")
	const why = "B flat is not in G major; the line goes down to A, the second degree, open fifth string."
	assert.Equal(t, 1, strings.Count(said, why), "it is said once")

	// p plays what was played, and then what was asked.
	at := l.g.now()
	l.keys("p")
	l.until("then what was asked")
	l.g.wait(8 * roomRate)
	assert.Greater(t, l.g.loud(at), float32(0.01), "the room hears it played back")
	assert.Contains(t, l.screen(), "turn 1", "what is played back is not taken for the player")

	l.g.note("C3")
	l.g.wait(2 * roomRate)
	assert.Contains(t, l.screen(), "play the right note", "a wrong note lets nobody on")
	from = l.g.now()
	l.g.note("A2")
	l.until("That is it")
	l.g.wait(roomRate / 2)
	right := played(t, "G", walk, 104, 1)
	l.g.play(right, l.join(from+int64(1.4*roomRate), 104, 6))
	l.until("turn 3")
	l.keys("Space")
	screen = l.until("The page has stopped")
	t.Logf("stopped:\n%s", screen)
	shows(t, screen, walkBeats, wrong, 1, false)
	shows(t, screen, walkBeats, right, 2, false)

	takes := func() []string {
		kept, err := filepath.Glob(filepath.Join(l.dir, "bordon", "takes", "*", "take.json"))
		require.NoError(t, err)
		return kept
	}
	require.Len(t, takes(), 2)
	l.g.wait(roomRate)
	l.g.golpes(4)
	l.until("The take is discarded")
	assert.Len(t, takes(), 1)
	l.g.wait(roomRate)
	l.g.golpes(2)
	l.until("get ready")
	l.end()
}

// Untimed, each note is waited for until it is right, with no pulse.
func TestSoundWayUntimed(t *testing.T) {
	long(t)
	l := sitDown(t)
	l.begin("-k", "G", "-l", walk, "--untimed", "--turns", "2")
	l.until("waiting for")
	quiet := l.g.now()
	say := func(note, there string) string {
		l.g.note(note)
		screen := l.until(there)
		l.g.wait(roomRate)
		return screen
	}
	l.g.wait(roomRate)
	assert.Zero(t, l.g.loud(quiet), "nothing is clapped")
	say("B2", "B2")
	screen := say("Bb2", "not in key")
	t.Logf("a wrong note:\n%s", screen)
	screen = say("C3", "wrong, in key")
	assert.NotContains(t, screen, "F#2  ")
	screen = say("A2", "3 tries")
	t.Logf("the right one:\n%s", screen)
	say("F#2", "F#2")
	say("G2", "turn 2")
	for _, n := range []string{"B2", "A2", "F#2", "G2"} {
		l.g.note(n)
		l.g.wait(3 * roomRate / 2)
	}
	screen = l.until("the take is over")
	t.Logf("the end:\n%s", screen)
	assert.Contains(t, screen, "7 of 8 notes right")
	assert.Contains(t, screen, "nothing is kept as a take")
	l.end()
}

// Some beats only: what lies outside them is not judged.
func TestSoundWaySomeBeats(t *testing.T) {
	long(t)
	l := sitDown(t)
	from := l.g.now()
	l.begin("-k", "G", "-t", "104", "-l", walk, "--beats", "7-8", "--turns", "2")
	k := played(t, "G", walk, 104, 2,
		fixtures.Planted{Turn: 1, Beat: "10", What: fixtures.OutOfScale},
		fixtures.Planted{Turn: 2, Beat: "8", What: fixtures.OutOfScale, Note: "Bb2"})
	l.g.play(k, l.join(from, 104, 6))
	screen := l.until("the take is over")
	t.Logf("the screen:\n%s", screen)
	shows(t, screen, []string{"7", "8"}, k, 1, false)
	assert.Contains(t, screen, "3 of 4 notes right")
	assert.NotContains(t, screen, "also heard", "what is played on other beats is nobody's extra note")
	l.end()
}

// Through keys: one is announced a turn ahead and opened before it comes, and
// the compás never breaks.
func TestSoundWayThroughKeys(t *testing.T) {
	long(t)
	l := sitDown(t)
	from := l.g.now()
	l.begin("--through", "G F", "-t", "104", "-l", "7:3 8:2 9:7 10:1", "--turns", "2")
	screen := l.until("The first key is G major")
	t.Logf("the opening:\n%s", screen)
	first := l.join(from, 104, 6)
	g := played(t, "G", "7:3 8:2 9:7 10:1", 104, 2, fixtures.Planted{Turn: 2, Beat: "8", What: fixtures.OutOfScale, Note: "Bb2"})
	f := played(t, "F", "7:3 8:2 9:7 10:1", 104, 2, fixtures.Planted{Turn: 1, Beat: "9", What: fixtures.Missing})
	l.g.play(g, first)
	turn := turnAt(104)
	l.g.play(f, first+3*turn)
	l.until("turn 2")
	screen = l.until("then comes F major")
	t.Logf("announced:\n%s", screen)
	screen = l.until("the take is over")
	t.Logf("the end:\n%s", screen)
	shows(t, screen, walkBeats, f, 1, false)
	assert.Contains(t, screen, "7 of 8 notes right")
	l.end()
	kept, err := filepath.Glob(filepath.Join(l.dir, "bordon", "takes", "*", "take.json"))
	require.NoError(t, err)
	require.Len(t, kept, 2)
	for i, key := range []string{"G", "F"} {
		shown := exec.Command(l.program, "takes", "show", filepath.Dir(kept[slices.IndexFunc(kept, func(s string) bool {
			return strings.HasSuffix(filepath.Dir(s), "-"+key)
		})]))
		shown.Env = own(l.dir)
		out, err := shown.Output()
		require.NoError(t, err)
		shows(t, string(out), walkBeats, []fixtures.Take{g, f}[i], 1, false)
	}
}

// Hear it first: the line is played in one turn, and the answer judged in the
// next.
func TestSoundWayHearFirst(t *testing.T) {
	long(t)
	l := sitDown(t)
	from := l.g.now()
	l.begin("-k", "G", "-t", "104", "-l", walk, "--hear-first", "--pulse", "accents", "--turns", "2")
	first := l.join(from, 104, 6)
	turn := turnAt(104)
	one := played(t, "G", walk, 104, 1, fixtures.Planted{Turn: 1, Beat: "9", What: fixtures.OutOfScale, Note: "F2"})
	two := played(t, "G", walk, 104, 1)
	l.g.play(one, first+turn)
	l.g.play(two, first+3*turn)
	l.until("Listen: this turn")
	screen := l.until("Your turn")
	t.Logf("to answer:\n%s", screen)
	screen = l.until("the take is over")
	t.Logf("the end:\n%s", screen)
	shows(t, screen, walkBeats, one, 2, false)
	shows(t, screen, walkBeats, two, 4, false)
	assert.Contains(t, screen, "7 of 8 notes right")
	l.end()
}

// A turn plan: what each turn is, again and again. Only the turns of the line
// are judged, and each of those.
func TestSoundWayTurnPlan(t *testing.T) {
	long(t)
	l := sitDown(t)
	from := l.g.now()
	l.begin("-k", "G", "-t", "120", "-l", walk, "--turn-plan", "strummed; 2 line; falseta", "--turns", "7")
	k, err := fixtures.Generate(fixtures.Spec{Name: "plan", Key: "G", Line: walk, Tempo: 120, FirstBeat: 0.2, Turns: 7, Strums: true,
		Texture: fixtures.OneByOne, Hand: fixtures.Steady, Guitar: pluck.Classic(), Seed: 12, Strummed: []int{1, 4, 5, 7},
		Mistakes: []fixtures.Planted{{Turn: 3, Beat: "8", What: fixtures.OutOfScale, Note: "Bb2"}}})
	require.NoError(t, err)
	l.g.play(k, l.join(from, 120, 6))
	screen := l.until("the take is over")
	t.Logf("the screen:\n%s", screen)
	k.Truth = slices.DeleteFunc(k.Truth, func(n fixtures.TruthNote) bool { return n.Turn != 2 && n.Turn != 3 && n.Turn != 6 })
	shows(t, screen, walkBeats, k, 1, false)
	read := pageOn(screen, walkBeats)
	for _, turn := range []string{"1", "4", "5"} {
		for _, b := range walkBeats {
			assert.Empty(t, read[turn+"/"+b].note, "turn %s is not judged", turn)
		}
	}
	// Turn 7 was to be the line: what its chords have for a bass is judged.
	assert.Contains(t, read["7/8"].beneath, "asked A2")
	assert.NotContains(t, screen, "strummed  ")
	l.end()
}

// Only listening: the line is heard in every turn, nothing judged or kept.
func TestSoundWayListening(t *testing.T) {
	long(t)
	l := sitDown(t)
	from := l.g.now()
	l.begin("-k", "G", "-t", "120", "-l", walk, "--listen-only", "--turns", "2")
	first := l.join(from, 120, 6)
	screen := l.until("Only listen")
	t.Logf("the screen:\n%s", screen)
	l.until("the take is over")
	// Beat 7 of both turns sounds longer than its clap, which is gone after
	// 120 ms; beat 5 has nothing but its clap.
	beat := turnAt(120) / 12
	for turn := range int64(2) {
		at := first + (12*turn+6)*beat + roomRate/5
		assert.Greater(t, l.g.between(at, at+roomRate/5), float32(1e-3))
		at = first + (12*turn+4)*beat + roomRate/5
		assert.Less(t, l.g.between(at, at+roomRate/5), float32(1e-3))
	}
	l.end()
	kept, err := filepath.Glob(filepath.Join(l.dir, "bordon", "takes", "*"))
	require.NoError(t, err)
	assert.Empty(t, kept)
}

// What stored takes show to be weak is practised, a tempo at a time.
func TestSoundWayPlan(t *testing.T) {
	long(t)
	l := sitDown(t)
	for i := range 3 {
		var planted []fixtures.Planted
		for turn := range 4 {
			planted = append(planted, fixtures.Planted{Turn: turn + 1, Beat: "8", What: fixtures.OutOfScale, Note: "Bb2"})
		}
		k := played(t, "G", walk, 104, 4, planted...)
		wav := filepath.Join(l.dir, fmt.Sprintf("weak-%d.wav", i))
		require.NoError(t, os.WriteFile(wav, rendered(t, k), 0o644))
		cmd := exec.Command(l.program, append(append([]string{"takes", "import"}, flagsOf(k)...), wav)...)
		cmd.Env = own(l.dir)
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	from := l.g.now()
	l.begin("--plan")
	screen := l.until("The first key is G major")
	t.Logf("the opening:\n%s", screen)
	k := played(t, "G", walk, 83, 2, fixtures.Planted{Turn: 2, Beat: "9", What: fixtures.OutOfScale, Note: "F2"})
	l.g.play(k, l.join(from, 83, 6))
	l.until("83 a minute")
	screen = l.until("turn 3")
	t.Logf("at the first tempo:\n%s", screen)
	shows(t, screen, walkBeats, k, 1, false)
	l.keys("n")
	l.until("94 a minute")
	l.end()
}

// How a stretch went is told for the ear: three low pips where nothing was
// played.
func TestSoundWayTold(t *testing.T) {
	long(t)
	l := sitDown(t)
	l.begin("-k", "G", "-t", "200", "-l", walk, "--turns", "1", "--pulse", "none", "--sounds")
	from := l.g.now()
	l.until("the take is over")
	l.g.wait(roomRate)
	pips, silence := 0, roomRate
	l.g.mu.Lock()
	defer l.g.mu.Unlock()
	for _, x := range l.g.heard[from:] {
		if math.Abs(float64(x)) < 1e-3 {
			silence++
			continue
		}
		if silence > roomRate/25 { // they are 70 ms apart
			pips++
		}
		silence = 0
	}
	assert.Equal(t, 3, pips)
}

// Keys that are mapped, such as those of a pedal, and another sentence.
func TestSoundWayKeysAndSentence(t *testing.T) {
	long(t)
	l := sitDown(t)
	l.begin("-s", "alegrías in G, at 120, no claps", "--keys", "start=pgdown,again=pgup")
	l.until("get ready")
	l.until("count-in")
	l.keys("PageDown")
	l.until("The page has stopped")
	l.keys("PageUp")
	l.until("get ready")
	l.keys("e")
	l.until("How to practise")
	l.keys("C-u")
	l.tmux("send-keys", "-l", "alegrías in F, at 96, untimed")
	l.keys("Enter")
	screen := l.until("waiting for")
	t.Logf("the screen:\n%s", screen)
	assert.Contains(t, screen, "F major")
	l.end()
}

// What a newcomer types to practise in F, and how long it takes from there to
// the first verdict.
func TestSoundWayInF(t *testing.T) {
	long(t)
	l := sitDown(t)
	l.begin("-s", "alegrías in F, untimed")
	l.until("waiting for A2")
	l.keys("q")
	l.until("status 0")
	again := func(say string) {
		l.terminal = openTerminal(t, 100, 40, l.program+" listen -s '"+say+"'", own(l.dir))
	}
	began := time.Now()
	again("alegrías in F, untimed")
	l.until("waiting for A2")
	l.g.note("A2")
	screen := l.until("waiting for G2")
	t.Logf("untimed, the first verdict came after %.1f s:\n%s", time.Since(began).Seconds(), screen)
	l.end()

	began = time.Now()
	from := l.g.now()
	again("alegrías in F")
	l.g.play(played(t, "F", "7:A2 8:G2 9:E2 10:F2", 104, 1), l.join(from, 104, 6))
	for range 1200 {
		if c := pageOn(l.screen(), walkBeats)["1/7"]; c.note == "A2" {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Logf("with the pulse, after %.1f s", time.Since(began).Seconds())
	assert.Equal(t, "A2", pageOn(l.screen(), walkBeats)["1/7"].note)
	l.end()
}
