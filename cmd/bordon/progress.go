package main

import (
	"os"

	"github.com/mattn/go-isatty"
	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
	"golang.org/x/term"
)

// progress is a bar on standard error, for a terminal alone.
type progress struct {
	all *mpb.Progress
	bar *mpb.Bar
}

const perFile = 1000 // steps of the bar

func (a *app) progress(files int) *progress {
	if !isTerminal(a.stderr) {
		return &progress{}
	}
	p := &progress{all: mpb.New(mpb.WithOutput(a.stderr), mpb.WithWidth(40))}
	p.bar = p.all.AddBar(int64(files)*perFile, mpb.BarRemoveOnComplete(),
		mpb.PrependDecorators(decor.Name(language.Judging()+" ")),
		mpb.AppendDecorators(decor.Percentage()))
	return p
}

// file returns what one file tells its progress to, in samples; a total that
// is not known is -1.
func (p *progress) file() func(done, total int64) {
	said := int64(0)
	return func(done, total int64) {
		if p.bar == nil || total <= 0 {
			return
		}
		if now := min(done*perFile/total, perFile); now > said {
			p.bar.IncrInt64(now - said)
			said = now
		}
	}
}

func (p *progress) end() {
	if p.bar != nil {
		p.bar.SetTotal(-1, true)
		p.all.Wait()
	}
}

// isTerminal reports whether w or r is one.
func isTerminal(stream any) bool {
	f, ok := stream.(*os.File)
	return ok && (isatty.IsTerminal(f.Fd()) || isatty.IsCygwinTerminal(f.Fd()))
}

// width of standard output in characters, 0 where it is no terminal.
func (a *app) width() int {
	if !isTerminal(a.stdout) {
		return 0
	}
	width, _, err := term.GetSize(int(a.stdout.(*os.File).Fd()))
	if err != nil {
		return 0
	}
	return width
}
