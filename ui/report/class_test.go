package report

import (
	"bytes"
	"strings"
	"testing"

	"bordon/listen"
	"bordon/listen/class"
	"bordon/ui/words"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// classOf is a class of invented students: one judged, one with mistakes, one
// that asks, one that failed, and one whose every name is an attack.
func classOf(t *testing.T) class.Sheet {
	t.Helper()
	check := demoTake(t).Take.Check
	row := func(file string, c listen.Check) class.Row {
		g := class.FromName(file)
		r := class.NewRow(&g)
		r.Judge(c, true)
		return r
	}
	right := check
	right.Beats = right.Beats[:4]
	right.Score = listen.Score{Judged: 4, Right: 4, RightOnTime: 4, Accuracy: ptr(1.0), AccuracyOnTime: ptr(1.0)}
	named := class.FromName("VID_20300131_180507.mp4")
	asks := class.NewRow(&named)
	for _, c := range []class.Column{class.Key, class.Tempo, class.FirstBeat} {
		asks.Ask(&named, c)
	}
	broken := class.FromName("pablo-G-104.m4a")
	failed := class.NewRow(&broken)
	failed.Error = "it is not a sound file; " + attack
	long := row("x.wav", check)
	long.Student, long.File, long.Line = strings.Repeat("a", 10000), strings.Repeat("b", 10000)+".wav", attack
	hostile := row("x.wav", check)
	hostile.Student, hostile.File, hostile.Form = attack+"\u202e\u200f\nx", "../"+attack+".wav", attack
	hostile.Key, hostile.Unread = attack, []string{attack}
	hostile.Worst = append([]class.Beat{{Beat: attack, Wrong: 1, Of: 4, Fault: attack}}, hostile.Worst...)
	hostile.Asks = []class.Ask{{What: attack, Says: []string{attack}}}
	return class.NewSheet([]class.Row{row("lucia-G-104.wav", check), row("ines-G-cejilla0-104.wav", right), asks, failed, long, hostile})
}

func ptr[T any](v T) *T { return &v }

func links(r class.Row) string {
	if r.Student == "lucia" || strings.Contains(r.File, "script") {
		return "javascript:alert(1)"
	}
	return "page.html"
}

// Nothing of a name runs, or is fetched, or is written as it was given.
func TestClassIsEscaped(t *testing.T) {
	s := classOf(t)
	var out bytes.Buffer
	require.NoError(t, Class(&out, words.English, s, links))
	html := out.String()
	for _, bad := range []string{"<script", "<img", "\u202e", "\u200f", "javascript:", "http:", "https:", "url("} {
		assert.False(t, strings.Contains(html, bad), bad)
	}
	assert.True(t, strings.Contains(html, "&lt;script&gt;alert(1)"))
	assert.True(t, strings.Contains(html, "14 of 16"), "the demo's score")
	assert.Less(t, len(html), 60000, "long names are cut short")

	stored := demoTake(t)
	for _, name := range []string{attack, "\u202eevil\n", strings.Repeat("a", 10000), ""} {
		out.Reset()
		require.NoError(t, Student(&out, words.English, stored, name, "../"+name+".wav"))
		html := out.String()
		assert.Equal(t, 2, strings.Count(html, "<script"), "the sound and what plays it")
		for _, bad := range []string{"<script>alert", "<img", "\u202e", "takes overrule", strings.Repeat("a", 200)} {
			assert.False(t, strings.Contains(html, bad), bad)
		}
		assert.True(t, strings.Contains(html, "ask before you keep it or send it"))
	}
}

func TestClassInABrowser(t *testing.T) {
	b := open(t)
	s := classOf(t)
	path := written(t, "index.html", func(out *bytes.Buffer) error {
		return Class(out, words.English, s, func(r class.Row) string { return map[bool]string{true: "page.html"}[r.Judged()] })
	})
	b.media(t, "screen", "light")
	for _, c := range []struct {
		name   string
		width  int64
		mobile bool
	}{{"class", 1280, false}, {"class-tablet", 800, false}, {"class-phone", 360, true}} {
		options := []chromedp.EmulateViewportOption{}
		if c.mobile {
			options = append(options, chromedp.EmulateMobile, chromedp.EmulateTouch)
		}
		b.do(t, chromedp.EmulateViewport(c.width, 800, options...), chromedp.Navigate(fileURL(path)))
		b.shot(t, c.name)
		assert.LessOrEqual(t, eval[int](t, b, "document.documentElement.scrollWidth"), int(c.width), c.name)
		assert.Equal(t, len(s.Rows), eval[int](t, b, "document.querySelectorAll('tbody tr').length"))
		// What is written in a cell is seen: nothing lies outside its row.
		assert.Empty(t, eval[[]string](t, b, `[...document.querySelectorAll("tbody bdi")].filter(function (x) {
			var r = x.getBoundingClientRect(); return r.right > innerWidth + 1 || r.left < 0; }).map(function (x) { return x.textContent.slice(0, 40); })`), c.name)
		axe(t, b, c.name)
	}
	b.media(t, "screen", "dark")
	b.do(t, chromedp.EmulateViewport(1280, 800), chromedp.Navigate(fileURL(path)))
	b.shot(t, "class-dark")
	axe(t, b, "class-dark")
	b.quiet(t)
}

func TestStudentInABrowser(t *testing.T) {
	b := open(t)
	stored := demoTake(t)
	path := written(t, "student.html", func(out *bytes.Buffer) error {
		return Student(out, words.English, stored, "Lucia "+attack, strings.Repeat("lucia", 2000)+".m4a")
	})
	b.media(t, "screen", "light")
	for _, width := range []int64{1280, 360} {
		b.do(t, chromedp.EmulateViewport(width, 800), chromedp.Navigate(fileURL(path)))
		b.shot(t, "student-"+map[int64]string{1280: "desktop", 360: "phone"}[width])
		assert.LessOrEqual(t, eval[int](t, b, "document.documentElement.scrollWidth"), int(width))
		axe(t, b, "student")
	}
	eval[any](t, b, listener)
	b.do(t, chromedp.Click(chromedp.CSS(`button[data-name="turn 2, beat 8"]`)))
	plays(t, b, "turn 2, beat 8: as played, as asked")
	oneSheet(t, b, "print-student")
	b.quiet(t)
}
