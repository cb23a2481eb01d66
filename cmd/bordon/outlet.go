package main

import (
	"fmt"
	"io"
	"strings"

	"bordon/listen"
	"bordon/listen/take"
	"bordon/ui"
	"bordon/ui/page"
)

// jsonOutlet writes the contract's event stream, each event on a line of its
// own as it comes.
type jsonOutlet struct {
	a      *app
	stream *listen.Stream
}

func (o *jsonOutlet) start(s *listen.Session, d listen.Devices) error {
	o.stream = listen.NewStream(o.a.stdout, s)
	return o.stream.Start(d)
}

func (o *jsonOutlet) event(e listen.Event) error { return o.stream.Event(e) }
func (o *jsonOutlet) meters(ui.Meters)           {}
func (o *jsonOutlet) say(s string)               { o.a.talk("%s", s) }

func (o *jsonOutlet) end(s *listen.Session, dir string) error {
	for _, said := range cutOff(s) {
		o.a.talk("%s", said)
	}
	return o.stream.End(dir)
}

// screenOutlet tells the live screen.
type screenOutlet struct {
	feed *ui.Feed
	last page.Page // as it stood at the end
	dir  string
	done bool
	kept *take.Stored // what is played is this take; nil where it may be kept as one
}

func (o *screenOutlet) start(*listen.Session, listen.Devices) error { return nil }

func (o *screenOutlet) event(e listen.Event) error {
	o.feed.Add(e)
	return nil
}

func (o *screenOutlet) meters(m ui.Meters) { o.feed.Set(m) }
func (o *screenOutlet) say(s string)       { o.feed.Say(s) }

func (o *screenOutlet) end(s *listen.Session, dir string) error {
	o.last, o.dir, o.done = pageOf(s), dir, true
	o.last.Summary = append(foundSaid(s), summary(s)...)
	o.keep(dir)
	return nil
}

// keep lets the player overrule what was said of the take.
func (o *screenOutlet) keep(dir string) {
	s := o.kept
	if s == nil && dir != "" {
		s, _ = take.Load(dir) // what cannot be read cannot be overruled
	}
	if s != nil {
		o.feed.Keep(overruled{s})
	}
}

// overruled is a take as the screen overrules its verdicts.
type overruled struct{ *take.Stored }

func (o overruled) Summary() []string { return page.Summary(language, o.Stored) }

// ruled is the page at the end, with what the player overruled on the screen.
func (o *screenOutlet) ruled() page.Page {
	dir := o.dir
	if o.kept != nil {
		dir = o.kept.Dir
	}
	if dir == "" {
		return o.last
	}
	s, err := take.Load(dir)
	if err != nil || len(s.Rulings()) == 0 {
		return o.last
	}
	p, err := page.OfTake(language, s)
	if err != nil {
		return o.last
	}
	p.Summary = language.Summary(s.Score().Match())
	return p
}

// linesOutlet tells of each verdict on a line, the count-in on stderr, and
// draws the page at the end.
type linesOutlet struct {
	a       *app
	countIn float64
	w       *page.Writer
	set     listen.Settings
	count   int
}

func (o *linesOutlet) start(s *listen.Session, d listen.Devices) error {
	o.set = s.Settings()
	o.w = page.NewWriter(language, o.set, s.Rate())
	o.w.CountFrom(o.countIn)
	if d.Input != "" {
		o.a.talk("%s", language.Listening(printable(d.Input)))
	}
	_, err := fmt.Fprintf(o.a.stdout, "%s\n", page.Title(o.w.Page()))
	return err
}

func (o *linesOutlet) meters(m ui.Meters) {
	if m.Following {
		return
	}
	o.w.Hear(m.Heard)
	p := o.w.Page()
	if p.Lead || p.CountIn == o.count {
		return
	}
	o.count = p.CountIn
	o.a.talk("%s", language.CountIn(o.count))
}

func (o *linesOutlet) say(s string) { o.a.talk("%s", s) }

func (o *linesOutlet) event(e listen.Event) error {
	if e.Kind == listen.NewTempo {
		o.w.Add(e)
	}
	if e.Kind != listen.Final {
		return nil
	}
	o.w.Add(e)
	var b strings.Builder
	v := e.Verdict
	b.WriteString(o.w.Line(v))
	b.WriteByte('\n')
	if page.IsMistake(v) {
		fmt.Fprintf(&b, "    %s\n", language.Reason(v, o.set))
	}
	_, err := io.WriteString(o.a.stdout, b.String())
	return err
}

func (o *linesOutlet) end(s *listen.Session, dir string) error {
	p := pageOf(s)
	p.Last, p.Summary = "", append(foundSaid(s), summary(s)...)
	if _, err := fmt.Fprintf(o.a.stdout, "\n%s", page.Text(p, 0)); err != nil {
		return err
	}
	if dir != "" {
		_, err := fmt.Fprintf(o.a.stdout, "  %s\n", language.Kept(printable(dir)))
		return err
	}
	return nil
}
