package keys

import (
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"bordon/theory"
	"bordon/ui/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func opening(t *testing.T, keyName, homeName string) Opening {
	t.Helper()
	key, err := theory.ParseKey(keyName)
	require.NoError(t, err)
	home, err := theory.ParseKey(homeName)
	require.NoError(t, err)
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	o, err := Open(words.English, key, home, form, theory.Standard)
	require.NoError(t, err)
	return o
}

func TestOpening(t *testing.T) {
	want := ` F major   alegrías   home D major
  notes     F  G  A  Bb  C  D  E          1 flat

  C7                                    F
       open 1   2   3   4                    open 1   2   3   4
  (6)  x    .   .   .   .               (6)       1   .   .   .    F
  (5)       .   .   3   .    C          (5)       .   .   3   .    C
  (4)       .   2   .   .    E          (4)       .   .   4   .    F
  (3)       .   .   4   .    Bb         (3)       .   2   .   .    A
  (2)       1   .   .   .    C          (2)       1   .   .   .    C
  (1)  0    .   .   .   .    E          (1)       1   .   .   .    F

  best walk 7             8             9             10
            A2   3        G2   2        E2   7        F2   1
            (5) open      (6) 3         (6) open      (6) 1
  By step around the landing, and it lands by a semitone; only A is not of its
  chord; the hand stays on the chord, 2 strings open.
  In D major the best walk is 5 6 7 1; here 3 2 7 1 lies better. 1 of 4 notes
  stay on their string; open strings: 2 before, 2 now. It asks less of the hand.
  New notes: F, B flat and C. No longer: F sharp, B and C sharp. Open strings
  gained: none. Open strings lost: (2) B.
`
	assert.Equal(t, want, Text(opening(t, "F", "D").Draw(80)))
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, drawn, _ := strings.Cut(want, "flat\n\n")
	drawn, _, _ = strings.Cut(drawn, "  By step")
	assert.Contains(t, string(readme), drawn, "the README shows it as it is")
	alone := Text(opening(t, "D", "D").Draw(80))
	assert.NotContains(t, alone, "home")
	assert.NotContains(t, alone, "Open strings")
}

// However narrow the screen, nothing of a key is cut off.
func TestOpeningFitsItsWidth(t *testing.T) {
	o := opening(t, "F", "D")
	var err error
	o.Asked, err = theory.ParseLine("7:A2 8:G2 9:E2 10:C3", o.Key, o.Form, theory.Standard)
	require.NoError(t, err)
	words := func(width int) map[string]int {
		count := map[string]int{}
		for _, l := range o.Draw(width) {
			require.LessOrEqual(t, len([]rune(l.String())), width, "%q", l)
			for _, w := range strings.Fields(l.String()) {
				count[w]++
			}
		}
		return count
	}
	wide := words(80)
	assert.Contains(t, Text(o.Draw(80)), "asked 7:A2  8:G2  9:E2  10:C3")
	for width := leastWidth; width <= 120; width++ {
		assert.Equal(t, wide, words(width), "%d wide", width)
	}
	o.Asked = o.Best.Line()
	assert.NotContains(t, Text(o.Draw(80)), "asked", "the best walk is told anyway")
}

// What is drawn is the shape: the frets are read back from the text, for either
// hand.
func TestDrawnShapesReadBack(t *testing.T) {
	for _, name := range []string{"C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F", "F#m", "Cm", "por-arriba", "por-medio", "taranta", "minera"} {
		o := opening(t, name, "D")
		for _, s := range []theory.Shape{o.Dominant, o.Tonic} {
			for _, left := range []bool{false, true} {
				lines := drawShape(words.English, s, left)
				require.Len(t, lines, 7)
				numbers := lines[0][0].Text
				for i, l := range lines[1:] {
					str, text := 6-i, l[0].Text
					assert.Contains(t, text, "("+strconv.Itoa(str)+")")
					fret, finger := s.Place(str)
					if fret < 1 {
						nut := map[int]string{theory.Muted: "x", 0: "0"}[fret]
						assert.Contains(t, strings.Fields(text), nut, "%s %v", name, s)
						continue
					}
					at := strings.Index(text, " "+strconv.Itoa(finger)+" ")
					require.GreaterOrEqual(t, at, 0, "%s %v string %d: %q", name, s, str, text)
					assert.Equal(t, strconv.Itoa(fret), strings.TrimSpace(numbers[at:at+3]), "%s %v string %d", name, s, str)
				}
			}
		}
	}
}

func TestWalksFitTheirWidth(t *testing.T) {
	o := opening(t, "G", "D")
	walks, err := theory.Find(o.Key, o.Form, theory.Standard, 5)
	require.NoError(t, err)
	for _, l := range Walks(words.English, walks, 64) {
		assert.LessOrEqual(t, utf8.RuneCountInString(l.String()), 64)
	}
	ranks := strings.Fields(strings.Join(strings.Fields(Text(Walks(words.English, walks, 200))), " "))
	assert.True(t, slices.Contains(ranks, "5"))
	assert.Empty(t, Walks(words.English, nil, 80))
}
