package main

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"bordon/listen"
	"bordon/listen/take"
	"bordon/theory"
)

func (a *app) takesCommand() *cobra.Command {
	var f listFlags
	cmd := &cobra.Command{
		Use:   "takes",
		Short: "Look back at what was played: list, open, compare and learn from takes",
		Long: `Look back at what was played. A take is called by its name as the list writes
it, by the beginning of one, by "last", or by the path of its folder.

Without a word behind it, takes lists them all.`,
		Example: `  bordon takes
  bordon takes list -k G --since 2030-01-01 --sort right
  bordon takes show last
  bordon takes progress`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("there is no command %q; takes --help lists those there are", args[0])
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return a.listTakes(cmd, &f) },
	}
	f.add(cmd)
	cmd.AddCommand(a.takesListCommand(), a.takesShowCommand(), a.takesAgainCommand(), a.takesCheckCommand(), a.takesCompareCommand(),
		a.takesNoteCommand(), a.takesOverruleCommand(), a.takesCasesCommand(), a.takesDeleteCommand(), a.takesImportCommand(),
		a.takesReportCommand(), a.takesExportCommand(), a.takesProgressCommand())
	return cmd
}

// listFlags choose and order takes.
type listFlags struct {
	key, form, line, tempo, since, until, sort, format string
	cejilla                                            int
	reverse                                            bool
}

var sorts = []string{"date", "key", "form", "line", "tempo", "turns", "right"}

func (f *listFlags) add(cmd *cobra.Command) {
	fs := cmd.Flags()
	fs.StringVarP(&f.key, "key", "k", "", "only takes in this key, as fingered")
	fs.StringVar(&f.form, "form", "", "only takes of this form")
	fs.StringVarP(&f.line, "line", "l", "", "only takes whose line has this in it")
	fs.StringVarP(&f.tempo, "tempo", "t", "", "only takes at this tempo, such as 104 or 90-110")
	f.cejilla = -1
	fs.Var(&whole{to: &f.cejilla, such: "a fret, such as 3"}, "cejilla", "only takes with the cejilla at this fret (-1: any)")
	fs.StringVar(&f.since, "since", "", "only takes of this day or later, such as 2030-01-31")
	fs.StringVar(&f.until, "until", "", "only takes of this day or earlier")
	f.sort, f.format = sorts[0], formats[0]
	fs.Var(&word{to: &f.sort, words: sorts}, "sort", "order of the list")
	fs.BoolVar(&f.reverse, "reverse", false, "the other way round")
	fs.Var(&word{to: &f.format, words: formats}, "format", "how to tell it")
	complete(cmd, "key", keyValues())
	complete(cmd, "form", formValues())
	complete(cmd, "sort", sorts)
	complete(cmd, "format", formats)
	for _, name := range []string{"line", "tempo", "cejilla", "since", "until"} {
		complete(cmd, name, nil)
	}
}

// filter reads the flags that choose.
func (f *listFlags) filter() (take.Filter, error) {
	c := take.Filter{Line: f.line, Cejilla: f.cejilla}
	if f.key != "" {
		key, err := theory.ParseKey(f.key)
		if err != nil {
			return c, err
		}
		c.Key = key.String()
	}
	if f.form != "" {
		c.Form = f.form // it may be the player's own
		if form, err := theory.LookupForm(f.form); err == nil {
			c.Form = form.Name
		}
	}
	for _, d := range []struct {
		flag, text string
		to         *time.Time
		more       int
	}{{"since", f.since, &c.Since, 0}, {"until", f.until, &c.Until, 1}} {
		if d.text == "" {
			continue
		}
		t, err := time.ParseInLocation("2006-01-02", d.text, time.Local)
		if err != nil {
			return c, fmt.Errorf("--%s wants a day such as 2030-01-31, and %q is none", d.flag, d.text)
		}
		*d.to = t.AddDate(0, 0, d.more)
	}
	if f.tempo != "" {
		slow, fast, between := strings.Cut(f.tempo, "-")
		if !between {
			fast = slow
		}
		var err1, err2 error
		c.Slowest, err1 = strconv.ParseFloat(slow, 64)
		c.Fastest, err2 = strconv.ParseFloat(fast, 64)
		if err1 != nil || err2 != nil || !(c.Slowest > 0 && c.Slowest <= c.Fastest) {
			return c, fmt.Errorf("--tempo wants beats a minute such as 104, or from a slow to a fast one such as 90-110, and %q is neither", f.tempo)
		}
	}
	return c, nil
}

func (a *app) takesListCommand() *cobra.Command {
	var f listFlags
	cmd := &cobra.Command{
		Use:   "list",
		Short: "List takes",
		Long:  `List takes, the oldest first. What the player overruled counts in the score.`,
		Example: `  bordon takes list
  bordon takes list -k G -t 90-110 --sort right --reverse
  bordon takes list --since 2030-01-01 --format json`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return a.listTakes(cmd, &f) },
	}
	f.add(cmd)
	return cmd
}

// history repairs what was cut short and lists all takes.
func (a *app) history(cmd *cobra.Command) ([]take.Entry, error) {
	a.repairTakes(cmd.Context())
	entries, problems, err := take.History(a.takes)
	for _, p := range problems {
		a.talk("bordon: %s", inWords(p))
	}
	return entries, err
}

// listed is a take as takes list writes it.
type listed struct {
	ID      string       `json:"id"`
	Dir     string       `json:"dir"`
	Started string       `json:"started"`
	Key     string       `json:"key"`
	Form    string       `json:"form"`
	Line    string       `json:"line"`
	Tempo   float64      `json:"tempo_bpm"`
	Turns   int          `json:"turns"`
	Score   listen.Score `json:"score"`
}

func (a *app) listTakes(cmd *cobra.Command, f *listFlags) error {
	choose, err := f.filter()
	if err != nil {
		return err
	}
	all, err := a.history(cmd)
	if err != nil {
		return fail(err)
	}
	entries := choose.Chosen(all)
	sortEntries(entries, f.sort)
	if f.reverse {
		slices.Reverse(entries)
	}
	if f.format == "json" {
		out := make([]listed, 0, len(entries))
		for _, e := range entries {
			out = append(out, listed{e.ID, a.takeDir(e.ID), e.Started, e.Key, e.Form, e.Line, e.Tempo, e.Turns, e.Score})
		}
		return fail(encode(a.stdout, out))
	}
	switch {
	case len(all) == 0:
		a.talk("%s", language.NoTakes())
		return nil
	case len(entries) == 0:
		a.talk("%s", language.NoTakesChosen())
		return nil
	}
	w := tabwriter.NewWriter(a.stdout, 0, 0, 3, ' ', 0)
	fmt.Fprintln(w, strings.Join(language.TakeHeads(), "\t"))
	for _, e := range entries {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%d\t%s\n", printable(e.ID), printable(language.KeyAt(e.Key, e.Cejilla)), printable(e.Form),
			printable(e.Line), language.Sprintf("%g", e.Tempo), e.Turns,
			language.RightOf(e.Score.Right, e.Score.Judged-e.Score.Unsure))
	}
	return fail(w.Flush())
}

// takeDir is the folder of a take of that name.
func (a *app) takeDir(id string) string {
	root := a.takes
	if root == "" {
		root = take.Root()
	}
	return filepath.Join(root, id)
}

func sortEntries(entries []take.Entry, by string) {
	accuracy := func(e *take.Entry) float64 {
		if e.Score.Accuracy == nil {
			return -1
		}
		return *e.Score.Accuracy
	}
	order := map[string]func(a, b *take.Entry) int{
		"key":   func(a, b *take.Entry) int { return cmp.Compare(a.Key, b.Key) },
		"form":  func(a, b *take.Entry) int { return cmp.Compare(a.Form, b.Form) },
		"line":  func(a, b *take.Entry) int { return cmp.Compare(a.Line, b.Line) },
		"tempo": func(a, b *take.Entry) int { return cmp.Compare(a.Tempo, b.Tempo) },
		"turns": func(a, b *take.Entry) int { return cmp.Compare(a.Turns, b.Turns) },
		"right": func(a, b *take.Entry) int { return cmp.Compare(accuracy(a), accuracy(b)) },
		"date":  func(a, b *take.Entry) int { return a.When().Compare(b.When()) },
	}[by]
	slices.SortStableFunc(entries, func(a, b take.Entry) int { return cmp.Or(order(&a, &b), cmp.Compare(a.ID, b.ID)) })
}

// one finds the take that an argument names.
func (a *app) one(cmd *cobra.Command, name string) (*take.Stored, error) {
	a.repairTakes(cmd.Context())
	return take.Pick(a.takes, name)
}

// takeNames gives the names of takes to the shells.
func (a *app) takeNames(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	ids, err := take.IDs(a.takes)
	if err != nil {
		return nil, cobra.ShellCompDirectiveError
	}
	slices.Reverse(ids)
	return append([]string{take.Last}, ids...), cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveKeepOrder
}

// takeArguments asks for at least and at most so many arguments, the first of
// them takes.
func takeArguments(least, most int, such string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return errors.New("there is too little said; such as " + cmd.CommandPath() + " " + such)
		case most >= 0 && len(args) > most:
			return errors.New("there is too much said; such as " + cmd.CommandPath() + " " + such)
		}
		return nil
	}
}
