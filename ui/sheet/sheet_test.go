package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bordon/theory"
	"bordon/ui/words"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var write = flag.Bool("write", false, "write the picture of the sheet anew")

const walk = "7:3 8:2 9:7 10:1"

// sheetOf is a sheet of a line in keys, each perhaps with a cejilla: "G/3".
func sheetOf(t testing.TB, form, line string, keys ...string) Sheet {
	t.Helper()
	f, err := theory.LookupForm(form)
	require.NoError(t, err)
	s := Sheet{Form: f, Named: line}
	for _, text := range keys {
		name, fret, _ := strings.Cut(text, "/")
		p := Part{}
		p.Cejilla, _ = strconv.Atoi(fret)
		key := f.KeyIn(keyOf(t, name))
		if line == "" {
			p.Line, err = theory.DefaultLine(key, f, theory.Standard)
		} else {
			p.Line, err = theory.ParseLine(line, key, f, theory.Standard)
		}
		require.NoError(t, err)
		s.Parts = append(s.Parts, p)
	}
	return s
}

func pagesOf(t testing.TB, s Sheet) []string {
	t.Helper()
	pages, err := s.Pages()
	require.NoError(t, err)
	var all []string
	for _, p := range pages {
		var b bytes.Buffer
		require.NoError(t, p.WriteSVG(&b, s.Title()))
		all = append(all, b.String())
	}
	return all
}

// wellFormed holds that encoding/xml reads it, that nothing in it runs or is
// fetched, and that every sign that is used is there once.
func wellFormed(t testing.TB, svg string) (texts []string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	defined, used := map[string]int{}, map[string]bool{}
	inText := false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			require.Contains(t, []string{"svg", "title", "defs", "g", "path", "rect", "circle", "use", "text"}, e.Name.Local)
			inText = e.Name.Local == "text"
			for _, a := range e.Attr {
				require.False(t, strings.HasPrefix(a.Name.Local, "on"), a.Name.Local)
				switch a.Name.Local {
				case "id":
					defined[a.Value]++
				case "href":
					require.True(t, strings.HasPrefix(a.Value, "#"), a.Value)
					used[a.Value[1:]] = true
				}
			}
		case xml.CharData:
			if inText {
				texts = append(texts, string(e))
			}
		case xml.EndElement:
			inText = false
		}
	}
	for id, n := range defined {
		assert.Equal(t, 1, n, id)
		assert.True(t, used[id], "%s is not needed", id)
	}
	assert.Len(t, defined, len(used))
	return texts
}

func TestSheetIsAsItWasLookedAt(t *testing.T) {
	const golden = "testdata/alegrias.svg"
	s := sheetOf(t, "alegrias", walk, "G/3", "F")
	svg := pagesOf(t, s)[0]
	assert.Equal(t, svg, pagesOf(t, s)[0], "it is the same each time")
	if *write {
		require.NoError(t, os.WriteFile(golden, []byte(svg), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), svg)
}

// What stands on the sheet, in its order.
func TestWhatIsWritten(t *testing.T) {
	texts := wellFormed(t, pagesOf(t, sheetOf(t, "alegrias", walk, "G/3"))[0])
	all := strings.Join(texts, " ")
	for _, part := range []string{
		"alegrías line 7:3 8:2 9:7 10:1 G major cejilla 3, sounds B flat major al 3 por sol",
		"G D7 G 1 one 2 two 3 THREE 4 four 5 five 6 SIX 7 seven 8 EIGHT 9 nine 10 TEN 11 one 12 TWO",
		"2 B 3 0 A 2 2 F♯ 7 3 G 1", // frets, names and degrees
	} {
		assert.Contains(t, all, part)
	}
	spanish, err := words.In("es")
	require.NoError(t, err)
	s := sheetOf(t, "alegrias", walk, "F")
	s.Words = spanish
	all = strings.Join(wellFormed(t, pagesOf(t, s)[0]), " ")
	for _, part := range []string{
		"Fa mayor", "Fa Do7 Fa 1 un 2 dos 3 TRES 4 cuatro 5 cinco 6 SEIS 7 siete 8 OCHO 9 nueve 10 DIEZ 11 un 12 DOS",
		"0 La 3 3 Sol 2 0 Mi 7 1 Fa 1", "una octava más alta",
	} {
		assert.Contains(t, all, part)
	}
	all = strings.Join(wellFormed(t, pagesOf(t, sheetOf(t, "alegrias/escobilla", walk, "D"))[0]), " ")
	assert.Contains(t, all, "1 ONE 2 two 3 three 4 ONE 5 two 6 three 7 ONE")
	all = strings.Join(wellFormed(t, pagesOf(t, sheetOf(t, "solea", "", "por-medio"))[0]), " ")
	assert.Contains(t, all, "por medio")
	assert.Contains(t, all, "A B♭ A 1 one")
	assert.NotContains(t, all, "open strings from")
	low := sheetOf(t, "alegrias", walk, "D")
	low.Parts[0].Line, err = theory.ParseLine(walk, low.Parts[0].Line.Key, low.Form, theory.SixthInD)
	require.NoError(t, err)
	all = strings.Join(wellFormed(t, pagesOf(t, low)[0]), " ")
	assert.Contains(t, all, "open strings from the sixth on: D2 A2 D3 G3 B3 E4")
	all = strings.Join(wellFormed(t, pagesOf(t, sheetOf(t, "alegrias", "7:scale 8:4|6 9:chord 10:1", "G"))[0]), " ")
	assert.Contains(t, all, "any key")
	assert.Contains(t, all, "any chord")
	assert.Contains(t, all, "3 C 4 0 E 6", "both alternatives")
}

var use = regexp.MustCompile(`<use href="#(\w+)" transform="translate\(([-0-9.]+) ([-0-9.]+)\)`)

// signsOf are where a sign stands on a page, in the group that it is in.
func signsOf(t testing.TB, svg, name string) (at [][2]float64) {
	t.Helper()
	for _, m := range use.FindAllStringSubmatch(svg, -1) {
		if m[1] != name {
			continue
		}
		x, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(m[3], 64)
		require.NoError(t, err)
		at = append(at, [2]float64{x, y})
	}
	return at
}

// Read back from the picture: the walk in G is written B3 A3 F#3 G3, the clef's
// line is G4 (common practice, no source), and a place is half a space.
func TestHeadsAreOnTheirLines(t *testing.T) {
	svg := pagesOf(t, sheetOf(t, "alegrias", walk, "G"))[0]
	clef, heads, rests := signsOf(t, svg, "gClef8vb"), signsOf(t, svg, "noteheadBlack"), signsOf(t, svg, "restQuarter")
	require.Len(t, clef, 1)
	require.Len(t, heads, 4)
	assert.Len(t, rests, 8)
	for i, below := range []float64{5, 6, 8, 7} { // steps under G4
		assert.InDelta(t, clef[0][1]+below*space/2, heads[i][1], 0.011, "a hundredth is rounded off")
	}
	for i := 1; i < 4; i++ {
		assert.InDelta(t, heads[1][0]-heads[0][0], heads[i][0]-heads[i-1][0], 0.02, "beats are as far from each other")
	}
	assert.Empty(t, signsOf(t, svg, "accidentalNatural"))
	assert.Len(t, signsOf(t, svg, "accidentalSharp"), 1, "the signature's; F sharp needs none")
	assert.Len(t, signsOf(t, svg, "guitarString5"), 2)
	assert.Len(t, signsOf(t, svg, "guitarString6"), 2)

	svg = pagesOf(t, sheetOf(t, "alegrias", "7:Bb2 8:B2 9:B2 10:G2", "G"))[0]
	assert.Len(t, signsOf(t, svg, "accidentalFlat"), 1)
	assert.Len(t, signsOf(t, svg, "accidentalNatural"), 1, "it holds for the bar")
}

// The counts of seguiriyas are 2, 2, 3, 3 and 2 eighths long (BRIDGES 2004),
// and so are their columns.
func TestUnequalCounts(t *testing.T) {
	s := sheetOf(t, "seguiriyas", "", "por-medio")
	rows, err := rowsOf(s.Parts[0].Line, places(s.Parts[0].Line), s.left(), 1)
	require.NoError(t, err)
	require.Len(t, rows, 1)
	r := rows[0]
	eighth := (r.at[1] - r.at[0]) / 2
	for i, want := range []float64{0, 2, 4, 7, 10} {
		assert.InDelta(t, r.at[0]+want*eighth, r.at[i], 1e-9)
	}
	svg := pagesOf(t, s)[0]
	assert.Len(t, signsOf(t, svg, "augmentationDot"), 2, "two dotted quarters")
	assert.Contains(t, strings.Join(wellFormed(t, svg), " "), "1 ONE 2 TWO 3 THREE 4 FOUR 5 FIVE")
}

// Where the count begins with 12, that beat is of the turn before.
func TestCountedFrom12(t *testing.T) {
	s := sheetOf(t, "bulerias", "7:3 8:2 9:7 10:1 12:5", "A")
	s.CountFrom = 12
	texts := strings.Join(wellFormed(t, pagesOf(t, s)[0]), " ")
	assert.Contains(t, texts, "12 TWO 1 one 2 two 3 THREE")
	rows, err := rowsOf(s.Parts[0].Line, places(s.Parts[0].Line), s.left(), 12)
	require.NoError(t, err)
	require.Len(t, rows, 2)
	played := func(r row) (beats []int) {
		for _, b := range r.beats {
			if b.rhythm.events[0].item != rest {
				beats = append(beats, b.number)
			}
		}
		return beats
	}
	assert.Equal(t, []int{7, 8, 9, 10}, played(rows[0]))
	assert.Equal(t, []int{12}, played(rows[1]))
	assert.Equal(t, 12, rows[1].beats[0].number)
	s.CountFrom = 13
	_, err = s.Pages()
	assert.EqualError(t, err, "bulerías is not counted from 13; its beats are 1 to 12")
}

// Keys are never cut: each stands whole on a page, and as many as fit.
func TestBreaksFallBetweenKeys(t *testing.T) {
	names := strings.Fields("D G F Bb Eb A E C Ab Db")
	pages := pagesOf(t, sheetOf(t, "alegrias", walk, names...))
	assert.Len(t, pages, 4, "three on a page")
	keys := 0
	for i, svg := range pages {
		texts := wellFormed(t, svg)
		all := strings.Join(texts, " ")
		n := strings.Count(all, " major")
		assert.Equal(t, n, len(signsOf(t, svg, "gClef8vb")), "a staff for each key of the page")
		assert.Equal(t, 4*n, len(signsOf(t, svg, "noteheadBlack")))
		assert.Contains(t, all, fmt.Sprintf("%d of 4", i+1))
		keys += n
	}
	assert.Equal(t, len(names), keys)
}

// A form of 64 beats and a line of many turns go over as many rows and pages as
// they need, and nothing lies over the edge.
func TestLongLines(t *testing.T) {
	long := sheetOf(t, "free:64", "1:1 64:1", "G")
	rows, err := rowsOf(long.Parts[0].Line, places(long.Parts[0].Line), long.left(), 1)
	require.NoError(t, err)
	assert.Len(t, rows, 5)
	beats := 0
	for i, r := range rows {
		beats += len(r.beats)
		assert.LessOrEqual(t, r.right, pageWidth+1e-9)
		assert.Equal(t, i == 4, r.ends)
	}
	assert.Equal(t, 64, beats)
	var text []string
	for turn := 1; turn <= 64; turn++ {
		text = append(text, fmt.Sprintf("%d/7:B2 %d/10:G2", turn, turn))
	}
	pages := pagesOf(t, sheetOf(t, "alegrias", strings.Join(text, " "), "G"))
	clefs := 0
	for _, svg := range pages {
		clefs += len(signsOf(t, svg, "gClef8vb"))
	}
	assert.Equal(t, 64, clefs)
	assert.Greater(t, len(pages), 10)
}

func TestWhatCannotBeWritten(t *testing.T) {
	_, err := Sheet{}.Pages()
	assert.ErrorContains(t, err, "a sheet needs a key")
	s := sheetOf(t, "alegrias", walk, "G")
	s.Parts = append(s.Parts, Part{})
	_, err = s.Pages()
	assert.ErrorContains(t, err, "the line is empty")
	for range MaxParts {
		s.Parts = append(s.Parts, s.Parts[0])
	}
	_, err = s.Pages()
	assert.ErrorContains(t, err, "name 48 at most")
	_, err = sheetOf(t, "alegrias", "7+1/95:B2 7+1/2:A2 10:G2", "G").Pages()
	assert.EqualError(t, err, "the sheet in G: beat 7+1/95 has more notes than a sheet can show; divide it by fewer")
}

// hostile are names that want to be something else than text.
var hostile = []string{
	`<script>alert(1)</script>`, `"><svg onload="alert(1)">`, `]]>&lt;&#0;</text>`, "a\x00b\x1bc\u202ed\u2028e\ufffe\xff",
	strings.Repeat("W", 5000), strings.Repeat("\ufdfd", 50), strings.Repeat("é́", 400), "-->", "javascript:1", "",
}

func TestHostileNames(t *testing.T) {
	for _, name := range hostile {
		s := sheetOf(t, "alegrias", walk, "G")
		s.Named, s.Form.Title = name, name
		s.Form.Counted = make([]string, 12)
		for i := range s.Form.Counted {
			s.Form.Counted[i] = name
		}
		s.Parts[0].Line.Form = s.Form
		wellFormed(t, pagesOf(t, s)[0])
		pages, err := s.Pages()
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, s.WriteHTML(&b, pages))
		for _, bad := range []string{"<script", "onload=\"", "\u202e", "\x1b"} {
			assert.NotContains(t, b.String(), bad)
		}
		assert.Equal(t, 3, strings.Count(b.String(), "<svg")+strings.Count(b.String(), "<title"), "signs, page, title")
		assert.Less(t, b.Len(), 100_000)
	}
}

func TestCreditAndLicense(t *testing.T) {
	s := sheetOf(t, "alegrias", walk, "G")
	pages, err := s.Pages()
	require.NoError(t, err)
	var page bytes.Buffer
	require.NoError(t, s.WriteHTML(&page, pages))
	for _, text := range []string{page.String(), pagesOf(t, s)[0]} {
		assert.Contains(t, text, "outlines of Bravura, Copyright © 2019, Steinberg Media Technologies GmbH, SIL Open Font License 1.1")
	}
	assert.Contains(t, License, "SIL OPEN FONT LICENSE Version 1.1")
	assert.NotContains(t, page.String(), "://", "it fetches nothing")
}

// Whatever the line, there is a sheet that XML can hold, or one sentence.
func FuzzSheet(f *testing.F) {
	for _, seed := range []string{walk, "7:scale 8:4|6 9:chord 10:1", "1+1/3:E2 1+1/2:F#3 2/5+3/4:C4|D4|Eb4", "5:G##2 6:Abb3"} {
		f.Add(seed, "por-medio", uint8(3), "a name")
	}
	f.Fuzz(func(t *testing.T, text, keyName string, pick uint8, name string) {
		key, err := theory.ParseKey(keyName)
		if err != nil {
			return
		}
		forms := theory.Forms()
		form := forms[int(pick)%len(forms)]
		line, err := theory.ParseLine(text, key, form, theory.Standard)
		if err != nil {
			return
		}
		s := Sheet{Form: form, Named: name, Parts: []Part{{Line: line, Cejilla: int(pick) % 12}}, CountFrom: int(pick) % (form.Beats + 1)}
		pages, err := s.Pages()
		if err != nil {
			return
		}
		for _, p := range pages {
			var b bytes.Buffer
			require.NoError(t, p.WriteSVG(&b, s.Title()))
			require.NotContains(t, b.String(), "NaN")
			require.NotContains(t, b.String(), "Inf")
			wellFormed(t, b.String())
		}
	})
}
