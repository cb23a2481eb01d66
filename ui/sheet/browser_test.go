package sheet

import (
	"bytes"
	"context"
	"flag"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"bordon/ui/words"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var shots = flag.String("shots", "", "folder for the printed sheets")

func openBrowser(t *testing.T) context.Context {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("chromium is not installed")
	}
	if testing.Short() {
		t.Skip("it starts a browser")
	}
	options := []chromedp.ExecAllocatorOption{chromedp.ExecPath(program), chromedp.Headless, chromedp.NoFirstRun, chromedp.DisableGPU,
		chromedp.Flag("disable-background-networking", true)}
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 5*time.Minute) // a browser that hangs, not a measure
	t.Cleanup(cancel)
	return ctx
}

// outside tells of what is drawn beyond the edge of its page, and of texts that
// lie on each other; measures are in millimetres.
const outside = `(function () {
  var found = [];
  document.querySelectorAll("svg.sheet").forEach(function (page, n) {
    var texts = [], whole = page.getBoundingClientRect(), style = getComputedStyle(page);
    var left = whole.left + parseFloat(style.paddingLeft), top = whole.top + parseFloat(style.paddingTop);
    var scale = 186 / (whole.width - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight));
    page.querySelectorAll("text, path, rect, circle, use").forEach(function (e) {
      var r = e.getBoundingClientRect();
      var b = {l: (r.left - left) * scale, t: (r.top - top) * scale, r: (r.right - left) * scale, b: (r.bottom - top) * scale, what: e.textContent || e.outerHTML.slice(0, 90)};
      if (b.l < -0.6 || b.t < -0.6 || b.r > 186.6 || b.b > 252.6) { found.push(["page " + (n + 1), "outside", b.what, b.l, b.t, b.r, b.b].join(" ")); }
      if (e.tagName === "text") { texts.push(b); }
    });
    texts.forEach(function (a, i) {
      texts.slice(i + 1).forEach(function (z) {
        // A line of text is higher than its letters: a third of it may overlap.
        var x = Math.min(a.r, z.r) - Math.max(a.l, z.l), y = Math.min(a.b, z.b) - Math.max(a.t, z.t);
        if (x > 0.1 && y > Math.min(a.b - a.t, z.b - z.t) / 3) { found.push(["page " + (n + 1), a.what, "lies on", z.what].join(" ")); }
      });
    });
  });
  return found;
})()`

// Every page prints on one sheet of A4 and of US Letter, and nothing is cut or
// lies on anything else.
func TestSheetsPrint(t *testing.T) {
	ctx := openBrowser(t)
	spanish, err := words.In("es")
	require.NoError(t, err)
	inSpanish := sheetOf(t, "bulerias/en-siete", "7:3 8:2 9:7 10:1", "Db/3", "Bb")
	inSpanish.Words = spanish
	wide := sheetOf(t, "alegrias", walk, "G")
	wide.Named, wide.Form.Title = "WWWWWWWWWW WWWWWWWWWWWWWWWW WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW", "MMMMMMMMMMMMMMMMMMMMMMMMMMM"
	wide.Parts[0].Line.Form.Counted = []string{"WWWWWWWWW", "b", "c", "ᚠᚢᚦᚨᚱᚲᚷᚹᚺᚾ", "e", "f", "g", "h", "i", "j", "k", "WWWWWWWWW"}
	for name, c := range map[string]struct {
		sheet Sheet
		pages int
	}{
		"lesson":      {sheetOf(t, "alegrias", walk, "D", "G", "G/3", "F"), 2},
		"por-medio":   {sheetOf(t, "solea", "", "por-medio", "taranta/2"), 1},
		"seguiriyas":  {sheetOf(t, "seguiriyas", "", "por-medio", "por-arriba", "A"), 1},
		"spanish":     {inSpanish, 1},
		"silencio":    {sheetOf(t, "alegrias/silencio", "", "E", "Eb", "C#"), 1},
		"wide":        {wide, 1},
		"free":        {sheetOf(t, "free:64", "1:1 64:1", "C#"), 2},
		"one beat":    {sheetOf(t, "free:1", "1:1", "G"), 1},
		"parts":       {sheetOf(t, "alegrias", "1:scale 2:chord 3:4|6 4:G#2 4+1/2:G2 5:G#2|A2|B2|C3|D3 6:B2 6+1/3:C3 6+2/3:D3 7+1/4:E3 7+3/4:F3 8:A4 9:E2 9+1/2:F2 9+3/4:F#2 10:G2 10+1/5:A2 10+3/5:B2 11+7/8:G5 2/12:3", "G"), 2},
		"twelve keys": {sheetOf(t, "tangos", "", "C", "G", "D", "A", "E", "B", "F", "Bb", "Eb", "Ab", "Db", "Gb"), 4},
	} {
		t.Run(name, func(t *testing.T) {
			pages, err := c.sheet.Pages()
			require.NoError(t, err)
			assert.Equal(t, c.pages, len(pages))
			var b bytes.Buffer
			require.NoError(t, c.sheet.WriteHTML(&b, pages))
			path := filepath.Join(t.TempDir(), "sheet.html")
			require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
			require.NoError(t, chromedp.Do(ctx, chromedp.Navigate((&url.URL{Scheme: "file", Path: path}).String())))
			found, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](outside))
			require.NoError(t, err)
			assert.Empty(t, found)
			for _, paper := range []struct {
				name string
				size chromedp.PaperSize
			}{{"a4", chromedp.PaperA4}, {"letter", chromedp.PaperLetter}} {
				pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPaper(paper.size), chromedp.PDFPreferCSSPageSize()))
				require.NoError(t, err)
				if *shots != "" {
					require.NoError(t, os.WriteFile(filepath.Join(*shots, name+"-"+paper.name+".pdf"), pdf, 0o644))
				}
				// A PDF names each of its pages once by /Type /Page (ISO 32000).
				n := bytes.Count(pdf, []byte("/Type /Page\n")) + bytes.Count(pdf, []byte("/Type /Page "))
				assert.Equal(t, c.pages, n, paper.name)
			}
		})
	}
}

// What is drawn is there for those who hear a page read, and axe-core (npm)
// finds nothing against them.
func TestSheetIsToldToo(t *testing.T) {
	s := sheetOf(t, "alegrias", "7:B2 8:4|6 9:scale 10:G2", "G/3")
	assert.Equal(t, "G major; cejilla 3, sounds B flat major; 7 B2 (5) 2; 8 C3 (5) 3 / E2 (6) open; 9 any key; 10 G2 (6) 3", s.told(s.Parts[0]))
	cache := os.Getenv("XDG_CACHE_HOME")
	if cache == "" {
		home, _ := os.UserHomeDir()
		cache = filepath.Join(home, ".cache")
	}
	src, err := os.ReadFile(filepath.Join(cache, "bordon", "axe", "axe.min.js"))
	if err != nil {
		t.Skip("axe-core is not there; fixtures/axe.sh fetches it")
	}
	ctx := openBrowser(t)
	pages, err := s.Pages()
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, s.WriteHTML(&b, pages))
	path := filepath.Join(t.TempDir(), "sheet.html")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate((&url.URL{Scheme: "file", Path: path}).String())))
	_, err = chromedp.Run(ctx, chromedp.Evaluate[bool](string(src)+"; true"))
	require.NoError(t, err)
	found, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](`axe.run().then(function (r) {
	  return ["rules " + r.passes.length].concat(r.violations.map(function (v) { return v.id + ": " + v.help; })); })`, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	require.Len(t, found, 1, "%v", found)
	rules, err := strconv.Atoi(strings.TrimPrefix(found[0], "rules "))
	require.NoError(t, err)
	assert.Greater(t, rules, 10, "it looked")
}

// Texts are no wider than they are taken to be, in the widest of the usual
// faces.
func TestTextsFit(t *testing.T) {
	ctx := openBrowser(t)
	if exec.Command("fc-list", "DejaVu Serif").Run() != nil {
		t.Skip("there is no fc-list to ask for the face")
	}
	for _, s := range []string{"alegrías", "THREE", "cuatro", "The quick brown fox jumps over the lazy dog, 0123456789", "F♯m7♭5 B♭", "ÁÉÍÓÚÑ áéíóúñü – …", "WMWM"} {
		script := `(function (s) { document.body.innerHTML = '<svg><text font-size="100" font-weight="bold" font-family="DejaVu Serif"></text></svg>';
		  var e = document.querySelector("text"); e.textContent = s; return e.getComputedTextLength(); })(` + strconv.Quote(s) + `)`
		got, err := chromedp.Run(ctx, chromedp.Evaluate[float64](script))
		require.NoError(t, err)
		require.Positive(t, got)
		assert.LessOrEqual(t, got, width(s, 100)+1, "%q: a hundredth of a letter is rounded off", s)
	}
}
