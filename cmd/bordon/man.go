package main

import (
	"fmt"
	"io"
	"runtime/debug"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"bordon/ui/words"
)

// How wide what stands in columns may be on the manual page, which sets it in,
// and prose in its source, which has escapes beside the words.
const (
	manWidth    = 72
	sourceWidth = 50
)

func (a *app) manCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "man",
		Short: "Write the manual page",
		Long: `Write the manual page of Bordon, in the language that is spoken, as man and
mandoc read it. Its date is that of SOURCE_DATE_EPOCH, or of what was built.`,
		Example: `  bordon man > bordon.1
  bordon man --language es | man -l -    # reads it here`,
		Args:   noArguments,
		Hidden: true, // whoever installs Bordon has it
		RunE: func(cmd *cobra.Command, _ []string) error {
			date, err := a.dateBuilt()
			if err != nil {
				return err
			}
			_, err = io.WriteString(a.stdout, manual(cmd.Root(), date))
			return fail(err)
		},
	}
}

// dateBuilt is the day that the manual page is of, as ISO 8601 writes it: that
// of SOURCE_DATE_EPOCH (reproducible-builds.org), else of the commit built.
func (a *app) dateBuilt() (string, error) {
	if a.getenv != nil {
		if s := a.getenv("SOURCE_DATE_EPOCH"); s != "" {
			n, err := strconv.ParseInt(s, 10, 40)
			if err != nil || n < 0 {
				return "", fmt.Errorf("SOURCE_DATE_EPOCH is %q; it wants seconds since 1970", s)
			}
			return time.Unix(n, 0).UTC().Format(time.DateOnly), nil
		}
	}
	if built, ok := debug.ReadBuildInfo(); ok {
		for _, s := range built.Settings {
			if s.Key == "vcs.time" {
				day, _, _ := strings.Cut(s.Value, "T")
				return day, nil
			}
		}
	}
	return "1970-01-01", nil
}

// manual is the manual page of root and all its commands, in the macros of
// man(7).
func manual(root *cobra.Command, date string) string {
	w := language.Man()
	var p roff
	p.line(`.TH BORDON 1 "` + date + `" "bordon ` + escaped(root.Version) + `" "` + escaped(w.Section) + `"`)
	p.line(".ad l")
	p.line(".nh")
	p.head("SH", w.Name)
	p.prose("bordon - " + strings.ToLower(root.Short[:1]) + root.Short[1:])
	p.head("SH", w.Synopsis)
	p.line(`.B bordon`)
	p.line(escaped(fmt.Sprintf("[%s] [%s]", w.Command, w.Usage)))
	p.head("SH", w.About)
	p.text(root.Long)
	p.head("SH", w.GlobalOptions)
	p.flags(root.LocalFlags())
	p.head("SH", w.Commands)
	p.commands(root)
	for _, s := range [][2]string{{w.Lines, w.LinesText}, {w.Forms, w.FormsText}, {w.Verdicts, w.VerdictsText},
		{w.Status, w.StatusText}, {w.Environment, w.EnvironmentText}, {w.Files, w.FilesText}} {
		p.head("SH", s[0])
		p.text(s[1])
	}
	p.head("SH", w.Examples)
	p.shown(strings.Split(foldExamples(root.Example, manWidth), "\n"))
	p.head("SH", w.Cautions)
	p.text(strings.Join(language.Cautions(), "\n\n"))
	p.head("SH", w.Licence)
	p.text(w.LicenceText)
	return p.String()
}

// roff is a page in the macros of man(7).
type roff struct{ strings.Builder }

func (p *roff) line(s string) { p.WriteString(s + "\n") }

// head is a heading: "SH" or "SS".
func (p *roff) head(macro, text string) {
	if macro == "SH" {
		text = strings.ToUpper(text)
	}
	p.line("." + macro + ` "` + escaped(text) + `"`)
}

// commands are those below cmd, each with its help.
func (p *roff) commands(cmd *cobra.Command) {
	for _, c := range cmd.Commands() {
		if !c.IsAvailableCommand() || c.Name() == "help" || c.Name() == "completion" {
			continue
		}
		c.InitDefaultHelpFlag()
		p.head("SS", form(c.UseLine()))
		long := c.Long
		if long == "" {
			long = c.Short + "."
		}
		p.text(long)
		p.flags(c.LocalFlags())
		if c.HasExample() {
			p.line(".PP")
			p.shown(strings.Split(foldExamples(c.Example, manWidth), "\n"))
		}
		p.commands(c)
	}
}

// flags are told one under the other, but --help.
func (p *roff) flags(fs *pflag.FlagSet) {
	for _, f := range flagList(fs) {
		name := strings.TrimSpace(f.name)
		if name == "-h, --help" {
			continue
		}
		p.line(".TP")
		p.line(`\fB` + escaped(name) + `\fR`)
		p.prose(f.does)
	}
}

// text is prose, and what stands in columns as it stands.
func (p *roff) text(text string) {
	for i, para := range words.Paragraphs(text) {
		if i > 0 {
			p.line(".PP")
		}
		if !para.Prose {
			p.shown(strings.Split(words.Fold(strings.Join(para.Lines, "\n"), manWidth), "\n"))
			continue
		}
		p.prose(strings.Join(para.Lines, " "))
	}
}

// prose is text that is filled.
func (p *roff) prose(text string) {
	for l := range strings.Lines(words.Fold(text, sourceWidth) + "\n") {
		p.WriteString(escaped(l))
	}
}

// shown are lines that stay as they are.
func (p *roff) shown(lines []string) {
	p.line(".nf")
	for _, l := range lines {
		p.line(escaped(l))
	}
	p.line(".fi")
}

// escaped is text in which roff sees nothing of its own: no escape, no macro at
// the beginning of a line, and signs that stay what they are.
func escaped(s string) string {
	s = strings.NewReplacer(`\`, `\e`, `-`, `\-`, `'`, `\(aq`, `"`, `\(dq`, "`", `\(ga`, `^`, `\(ha`, `~`, `\(ti`).Replace(s)
	if strings.HasPrefix(s, ".") {
		return `\&` + s
	}
	return s
}
