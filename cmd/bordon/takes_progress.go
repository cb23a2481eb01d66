package main

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"bordon/listen/take"
	"bordon/ui/report"
)

func (a *app) takesReportCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "report TAKE",
		Short: "Write a take's report beside it: one HTML file to look at, hear, print or send",
		Long: `Write report.html beside the take and print its path. It is one file that needs no
network: the page, the timing of each beat, the tuning over time, the score and
the reasons; a click on a note plays it from the recording, then what was asked.
The file holds parts of the recording: ask before you send a student's.`,
		Example:           `  bordon takes report last`,
		Args:              takeArguments(1, 1, "last"),
		ValidArgsFunction: a.takeNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.one(cmd, args[0])
			if err != nil {
				return fail(err)
			}
			path, err := report.Write(language, s)
			if err == nil {
				_, err = fmt.Fprintln(a.stdout, printable(path))
			}
			return fail(err)
		},
	}
}

func (a *app) takesProgressCommand() *cobra.Command {
	var f listFlags
	var html string
	cmd := &cobra.Command{
		Use:   "progress",
		Short: "Show the progress over takes: weak beats, and what to practise",
		Long: `Show how each beat goes in each key over time, the weakest spots, and a practice
plan made of them. Nothing is concluded from too few notes: it says how many
takes more it needs. The player's rulings count.`,
		Example: `  bordon takes progress
  bordon takes progress -k G --format json
  bordon takes progress --html progress.html`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			choose, err := f.filter()
			if err != nil {
				return err
			}
			entries, err := a.history(cmd)
			if err != nil {
				return fail(err)
			}
			p := take.ProgressOf(choose.Chosen(entries))
			switch {
			case html != "":
				var b bytes.Buffer
				if err := report.Progress(&b, language, p); err != nil {
					return fail(err)
				}
				if err := writeWhole(html, b.Bytes()); err != nil {
					return fail(err)
				}
				path, err := filepath.Abs(html)
				if err == nil {
					_, err = fmt.Fprintln(a.stdout, printable(path))
				}
				return fail(err)
			case f.format == "json":
				for i := range p.Plan {
					p.Plan[i].Why = language.ExerciseReason(p.Plan[i])
				}
				return fail(encode(a.stdout, p))
			case p.Takes == 0:
				a.talk("%s", language.NoTakes())
				return nil
			}
			_, err = io.WriteString(a.stdout, progressText(p))
			return fail(err)
		},
	}
	f.add(cmd)
	must(cmd.Flags().MarkHidden("sort"))
	must(cmd.Flags().MarkHidden("reverse"))
	cmd.Flags().StringVar(&html, "html", "", "write it as a report into this file")
	must(cmd.MarkFlagFilename("html", "html"))
	return cmd
}

func progressText(p take.Progress) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n", language.ProgressOver(p))
	fmt.Fprintf(&b, "%s\n", language.WeakestHead())
	for _, s := range p.Weakest {
		fmt.Fprintf(&b, "  %s: %s\n", clean(language.SpotLine(s)), language.SpotState(s))
	}
	if len(p.Weakest) == 0 {
		fmt.Fprintf(&b, "  %s\n", language.NoWeakSpot())
	}
	if len(p.Plan) > 0 {
		fmt.Fprintf(&b, "\n%s\n", language.PlanHead())
	}
	for i, e := range p.Plan {
		fmt.Fprintf(&b, "  %d. %s: %s\n     %s\n", i+1, clean(language.SpotLine(e.Spot)), language.ExerciseSteps(e), language.ExerciseReason(e))
	}
	fmt.Fprintf(&b, "\n%s\n", language.SpotsHead())
	for _, s := range p.Spots {
		fmt.Fprintf(&b, "  %s: %s\n", clean(language.SpotLine(s)), language.SpotState(s))
	}
	fmt.Fprintf(&b, "\n%s\n", language.WilsonSays())
	return b.String()
}
