package report

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"image"
	_ "image/png"
	"math"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"bordon/listen/take"
	"bordon/ui/words"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	write = flag.Bool("write", false, "write the picture of the report anew")
	shots = flag.String("shots", "", "folder for pictures of the reports")
)

// browser is one page of a real browser, Debian's chromium, that counts what it
// complains of and what it asks the network for.
type browser struct {
	ctx      context.Context
	mu       sync.Mutex
	said     []string
	requests []string
}

func open(t *testing.T) *browser {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("chromium is not installed")
	}
	if testing.Short() {
		t.Skip("it starts a browser")
	}
	options := []chromedp.ExecAllocatorOption{chromedp.ExecPath(program), chromedp.Headless, chromedp.NoFirstRun, chromedp.DisableGPU,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("hide-scrollbars", true), chromedp.Flag("force-color-profile", "srgb")}
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 5*time.Minute) // a browser that hangs, not a measure
	t.Cleanup(cancel)
	b := &browser{ctx: ctx}
	_, err = chromedp.Call(ctx, network.Enable, network.EnableParams{})
	require.NoError(t, err)
	require.NoError(t, chromedp.Listen(ctx, func(ev any) {
		if e, ok := ev.(*network.EventRequestWillBeSent); ok {
			b.mu.Lock()
			b.requests = append(b.requests, e.Request.URL)
			b.mu.Unlock()
		}
	}))
	messages := chromedp.Console(ctx)
	go func() {
		for m := range messages {
			b.mu.Lock()
			b.said = append(b.said, fmt.Sprintf("%+v", m))
			b.mu.Unlock()
		}
	}()
	return b
}

func (b *browser) do(t *testing.T, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	require.NoError(t, chromedp.Do(b.ctx, steps...))
}

func eval[T any](t *testing.T, b *browser, script string) T {
	t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	require.NoError(t, err, script)
	return v
}

func (b *browser) media(t *testing.T, media, scheme string) {
	t.Helper()
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media,
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	require.NoError(t, err)
}

// quiet holds that the browser complained of nothing and asked for nothing but
// the file and what is written in it.
func (b *browser) quiet(t *testing.T) {
	t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	assert.Empty(t, b.said, "the console")
	for _, r := range b.requests {
		assert.True(t, strings.HasPrefix(r, "file://") && strings.HasSuffix(r, ".html") || strings.HasPrefix(r, "data:"), r)
	}
}

func (b *browser) shot(t *testing.T, name string) []byte {
	t.Helper()
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	require.NoError(t, err)
	if *shots != "" {
		require.NoError(t, os.WriteFile(filepath.Join(*shots, name+".png"), png, 0o644))
	}
	return png
}

func fileURL(path string) string { return (&url.URL{Scheme: "file", Path: path}).String() }

func written(t *testing.T, name string, write func(*bytes.Buffer) error) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, write(&out))
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, out.Bytes(), 0o644))
	return path
}

// listener tells what was started, and how loud it is.
const listener = `window.started = []; (function () {
  var start = AudioBufferSourceNode.prototype.start;
  AudioBufferSourceNode.prototype.start = function (when, from, length) {
    var peak = 0, x = this.buffer.getChannelData(0), r = this.buffer.sampleRate;
    for (var i = Math.floor(from * r); i < Math.min((from + length) * r, x.length); i++) { peak = Math.max(peak, Math.abs(x[i])); }
    window.started.push({when: when, from: from, length: length, peak: peak, state: this.context.state});
    return start.apply(this, arguments);
  };
})()`

type started struct {
	When, From, Length, Peak float64
	State                    string
}

func TestReportInABrowser(t *testing.T) {
	b := open(t)
	s := demoTake(t)
	path, err := Write(words.English, s)
	require.NoError(t, err)
	b.media(t, "screen", "light")
	b.do(t, chromedp.EmulateViewport(900, 700), chromedp.Navigate(fileURL(path)))
	assert.Equal(t, "Take "+s.ID, eval[string](t, b, "document.title"))

	t.Run("looks as it was looked at", func(t *testing.T) { alike(t, b.shot(t, "screen"), "testdata/take.png") })
	t.Run("a click plays", func(t *testing.T) {
		eval[any](t, b, listener)
		b.do(t, chromedp.Click(chromedp.CSS(`button[data-name="turn 2, beat 8"]`)))
		plays(t, b, "turn 2, beat 8: as played, as asked")
		// Escape ends it.
		b.do(t, chromedp.KeyEvent(kb.Escape))
		assert.Equal(t, 0, eval[int](t, b, `document.querySelectorAll("[aria-pressed=true]").length`))
	})
	t.Run("Enter plays, without a mouse", func(t *testing.T) {
		eval[any](t, b, "window.started = []; document.activeElement.blur()")
		found := false
		for range 40 { // by the keyboard alone
			b.do(t, chromedp.KeyEvent(kb.Tab))
			if eval[string](t, b, `document.activeElement.dataset.name || ""`) == "turn 4, beat 8" {
				found = true
				break
			}
		}
		require.True(t, found)
		b.do(t, chromedp.KeyEvent(kb.Enter))
		plays(t, b, "turn 4, beat 8: as played, as asked")
		b.do(t, chromedp.KeyEvent(kb.Escape))
	})
	t.Run("axe finds nothing", func(t *testing.T) {
		axe(t, b, "light")
		b.media(t, "screen", "dark")
		b.shot(t, "dark")
		axe(t, b, "dark")
		b.media(t, "screen", "light")
	})
	t.Run("on a phone", func(t *testing.T) {
		b.do(t, chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile, chromedp.EmulateTouch))
		b.shot(t, "phone")
		assert.LessOrEqual(t, eval[int](t, b, "document.documentElement.scrollWidth"), 360, "nothing is cut off at the side")
		assert.GreaterOrEqual(t, eval[float64](t, b, `Math.min(...[...document.querySelectorAll("svg text")].map(x => x.getBBox().x))`), 0.0, "nor any label of a drawing")
		axe(t, b, "phone")
	})
	t.Run("prints on one sheet", func(t *testing.T) { oneSheet(t, b, "print") })
	b.quiet(t)
}

// A take of any length prints on one sheet.
func TestLongReportsPrintOnOneSheet(t *testing.T) {
	b := open(t)
	for _, c := range []struct {
		turns int
		wrong bool
	}{{12, true}, {40, false}, {120, true}} {
		s := manyTurns(t, c.turns, c.wrong)
		s.Player.Note = strings.Repeat("new strings, and tired. ", 200)
		if c.turns == 120 {
			for turn := range 20 {
				s.Player.Rulings = append(s.Player.Rulings, take.Ruling{Turn: turn + 1, Beat: "8", Pitch: "right", Ear: "out-of-scale", Why: "it was A"})
			}
		}
		path := written(t, "report.html", func(out *bytes.Buffer) error { return Take(out, words.English, s) })
		b.do(t, chromedp.Navigate(fileURL(path)))
		oneSheet(t, b, fmt.Sprintf("print-%d", c.turns))
	}
	b.quiet(t)
}

func TestProgressInABrowser(t *testing.T) {
	b := open(t)
	var entries []take.Entry
	at := time.Date(2030, 1, 7, 18, 0, 0, 0, time.UTC)
	for i := range 40 {
		e := take.Entry{Started: at.AddDate(0, 0, i).Format(time.RFC3339), Key: []string{"D", "G", "F"}[i%3], Form: "alegrias", Line: "7:3 8:2 9:7 10:1", Tempo: 104}
		for j, beat := range []string{"7", "8", "9", "10"} {
			c := take.Count{Beat: beat, Right: 8}
			if i%3 == 2 && j == 1 {
				c.Right, c.OutOfScale = 4, 4
			}
			e.Beats = append(e.Beats, c)
		}
		entries = append(entries, e)
	}
	path := written(t, "progress.html", func(out *bytes.Buffer) error { return Progress(out, words.English, take.ProgressOf(entries)) })
	b.media(t, "screen", "light")
	b.do(t, chromedp.EmulateViewport(900, 700), chromedp.Navigate(fileURL(path)))
	b.shot(t, "progress")
	assert.Equal(t, 3, eval[int](t, b, `document.querySelectorAll("table").length`))
	axe(t, b, "progress")
	b.do(t, chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile))
	assert.LessOrEqual(t, eval[int](t, b, "document.documentElement.scrollWidth"), 360)
	b.quiet(t)
}

// plays waits for the sentence, and holds that the recording sounds and then
// what was asked.
func plays(t *testing.T, b *browser, says string) {
	t.Helper()
	_, err := chromedp.Run(b.ctx, chromedp.Poll[bool](`document.getElementById("said").textContent === `+fmt.Sprintf("%q", says)+` && window.started.length > 1`))
	require.NoError(t, err)
	got := eval[[]started](t, b, "window.started")
	require.Len(t, got, 2)
	for _, s := range got {
		assert.Equal(t, "running", s.State)
		assert.Greater(t, s.Peak, 0.02, "it is heard")
		assert.Greater(t, s.Length, 0.8)
	}
	assert.GreaterOrEqual(t, got[1].When, got[0].When+got[0].Length, "one after the other")
}

// oneSheet holds that the page prints on one sheet of A4. A PDF names each of
// its pages once by /Type /Page (ISO 32000).
func oneSheet(t *testing.T, b *browser, name string) {
	t.Helper()
	b.media(t, "", "light")
	pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
	require.NoError(t, err)
	if *shots != "" {
		require.NoError(t, os.WriteFile(filepath.Join(*shots, name+".pdf"), pdf, 0o644))
	}
	pages := bytes.Count(pdf, []byte("/Type /Page\n")) + bytes.Count(pdf, []byte("/Type /Page "))
	assert.Equal(t, 1, pages, name)
}

// axe holds that axe-core (npm) finds nothing against those who cannot see,
// point or tell colours apart.
func axe(t *testing.T, b *browser, where string) {
	t.Helper()
	src, err := os.ReadFile(axePath())
	if err != nil {
		t.Logf("axe-core is not there (.ci/need test fetches it): %s is not looked at", where)
		return
	}
	eval[any](t, b, string(src)+"; true")
	got := eval[string](t, b, `axe.run().then(function (r) { return JSON.stringify({rules: r.passes.length, found: r.violations.map(function (v) {
	  return v.id + ": " + v.help + " " + v.nodes.map(function (n) { return n.html.slice(0, 120); }).join(" | "); })}); })`)
	var r struct {
		Rules int
		Found []string
	}
	require.NoError(t, json.Unmarshal([]byte(got), &r))
	assert.Greater(t, r.Rules, 15, "it looked")
	assert.Empty(t, r.Found, where)
}

func axePath() string {
	cache := os.Getenv("XDG_CACHE_HOME")
	if cache == "" {
		home, _ := os.UserHomeDir()
		cache = filepath.Join(home, ".cache")
	}
	return filepath.Join(cache, "bordon", "axe", "axe.min.js")
}

// alike compares a picture with one that was looked at. Letters are drawn a
// little differently everywhere, so the lightness of squares of 30 points is
// compared, and a few may differ.
func alike(t *testing.T, png []byte, golden string) {
	t.Helper()
	if *write {
		require.NoError(t, os.MkdirAll(filepath.Dir(golden), 0o755))
		require.NoError(t, os.WriteFile(golden, png, 0o644))
		return
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	a, _, err := image.Decode(bytes.NewReader(png))
	require.NoError(t, err)
	z, _, err := image.Decode(bytes.NewReader(want))
	require.NoError(t, err)
	require.Equal(t, z.Bounds().Dx(), a.Bounds().Dx())
	// Another font may break a line elsewhere.
	require.InDelta(t, z.Bounds().Dy(), a.Bounds().Dy(), 90, "three lines")
	const square = 30
	n, off := 0, 0
	for y := 0; y+square <= min(a.Bounds().Dy(), z.Bounds().Dy()); y += square {
		for x := 0; x+square <= a.Bounds().Dx(); x += square {
			n++
			if math.Abs(lightness(a, x, y, square)-lightness(z, x, y, square)) > 0.15 {
				off++
			}
		}
	}
	assert.LessOrEqual(t, off, n/20, "%d of %d squares look otherwise", off, n)
}

func lightness(m image.Image, x, y, size int) float64 {
	sum := 0.0
	for i := range size {
		for j := range size {
			r, g, b, _ := m.At(x+i, y+j).RGBA()
			sum += float64(r+g+b) / 3 / 0xffff
		}
	}
	return sum / float64(size*size)
}
