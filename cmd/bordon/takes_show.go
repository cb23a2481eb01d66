package main

import (
	"context"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"bordon/listen"
	"bordon/listen/take"
	"bordon/ui"
	"bordon/ui/page"
)

// showSchema is the name and version of showJSON.
const showSchema = "bordon-show/1"

// showJSON is a take as takes show writes it.
type showJSON struct {
	Schema string        `json:"schema"`
	ID     string        `json:"id"`
	Dir    string        `json:"dir"`
	Take   listen.Take   `json:"take"`
	Player take.Player   `json:"player"`
	Score  listen.Score  `json:"score"` // the player's rulings counted in
	Newer  *listen.Check `json:"newer"` // what a newer ear says, where it differs
}

func (a *app) takesShowCommand() *cobra.Command {
	format := formats[0]
	cmd := &cobra.Command{
		Use:   "show TAKE",
		Short: "Show a take: its page, what was wrong, the score",
		Long: `Show a take: its page, what was wrong, the score. On a terminal the page stands
until q; v overrules what the ear said of a note.`,
		Example: `  bordon takes show last
  bordon takes show 2030-01-31T18-05-07-G --format json`,
		Args:              takeArguments(1, 1, "last"),
		ValidArgsFunction: a.takeNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.one(cmd, args[0])
			if err != nil {
				return fail(err)
			}
			if format == "json" {
				return fail(encode(a.stdout, showJSON{showSchema, s.ID, s.Dir, s.Take, s.Player, s.Score(), s.Newer}))
			}
			if a.onScreen(format) && s.Take.Check.Undecided == nil {
				if err := a.showOnScreen(cmd.Context(), s); err != nil {
					return fail(err)
				}
			}
			return fail(a.show(s))
		},
	}
	cmd.Flags().Var(&word{to: &format, words: formats}, "format", "how to tell it")
	complete(cmd, "format", formats)
	return cmd
}

func (a *app) show(s *take.Stored) error {
	p, err := page.OfTake(language, s)
	if err != nil {
		return err
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", printable(s.ID))
	b.WriteString(page.Text(p, a.width()))
	say := func(said []string) {
		if len(said) > 0 {
			b.WriteByte('\n')
		}
		for _, x := range said {
			for _, line := range page.Wrap(clean(x), 100) {
				fmt.Fprintf(&b, "  %s\n", line)
			}
		}
	}
	say(storedReasons(s))
	var rulings []string
	for _, r := range s.Player.Rulings {
		rulings = append(rulings, language.Ruling(r))
	}
	say(rulings)
	say(newerSays(s))
	say(page.Summary(language, s))
	if s.Player.Note != "" {
		say([]string{language.PlayersNote(s.Player.Note)})
	}
	_, err = io.WriteString(a.stdout, b.String())
	return err
}

// showOnScreen lets the page of a take stand on the screen, where its verdicts
// can be overruled.
func (a *app) showOnScreen(ctx context.Context, s *take.Stored) error {
	set, err := s.Settings(language.Reason)
	if err != nil {
		return err
	}
	verdicts, extras, err := s.Verdicts(set)
	if err != nil {
		return err
	}
	live := ui.Live{Words: language, Settings: set, Rate: s.Take.Settings.Rate}
	return ui.Show(ctx, live, a.stdin, a.stdout, func(_ context.Context, f *ui.Feed) ([]string, error) {
		for _, g := range s.Take.Gaps {
			f.Add(listen.Event{Kind: listen.GapFound, Gap: listen.Gap{Lost: g.Lost}})
		}
		for _, v := range verdicts {
			f.Add(listen.Event{Kind: listen.Final, Verdict: v})
		}
		for _, x := range extras {
			f.Add(listen.Event{Kind: listen.ExtraNote, Extra: x})
		}
		if cents := s.Take.Check.Tuning; cents != nil {
			f.Set(ui.Meters{Cents: *cents, CentsKnown: true})
		}
		f.Keep(overruled{s})
		return page.Summary(language, s), nil
	})
}

// clean is text from a file without control characters.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if r < 0x20 || r >= 0x7f && r < 0xa0 {
			return ' '
		}
		return r
	}, s)
}

// storedReasons are the sentences that the take was told with, for what the
// player did not overrule.
func storedReasons(s *take.Stored) []string {
	said, err := page.Reasons(language, s)
	if err != nil { // then the page has told of it
		return nil
	}
	return said
}

// newerSays tells what a newer ear says differently.
func newerSays(s *take.Stored) []string {
	if s.Newer == nil {
		return nil
	}
	var said []string
	for _, d := range take.Differs(s.Take.Check, *s.Newer) {
		var then, now *listen.Beat
		if d[0] >= 0 {
			then = &s.Take.Check.Beats[d[0]]
		}
		if d[1] >= 0 {
			now = &s.Newer.Beats[d[1]]
		}
		said = append(said, language.Newer(then, now))
	}
	return said
}

func (a *app) takesCheckCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check TAKE...",
		Short: "Judge the sound of takes again, and show what a newer ear says differently",
		Long: `Judge the sound of takes again with their stored settings and delay. The verdicts
are those that were shown live, unless the ear has changed since: then the newer
ones are kept and shown beside the take's own, never in their place.`,
		Example:           `  bordon takes check last`,
		Args:              takeArguments(1, -1, "last"),
		ValidArgsFunction: a.takeNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			for _, name := range args {
				s, err := a.one(cmd, name)
				if err != nil {
					return fail(err)
				}
				differs, err := s.Recheck(cmd.Context(), takeWords)
				if err != nil {
					return fail(err)
				}
				if !differs {
					fmt.Fprintln(a.stdout, language.SameAgain(printable(s.ID)))
					continue
				}
				said := newerSays(s)
				fmt.Fprintf(a.stdout, "%s: %s\n", printable(s.ID), language.DifferAgain(len(said)))
				for _, x := range said {
					fmt.Fprintf(a.stdout, "  %s\n", clean(x))
				}
			}
			return nil
		},
	}
}

func (a *app) takesCompareCommand() *cobra.Command {
	return &cobra.Command{
		Use:               "compare TAKE TAKE",
		Short:             "Show two takes side by side",
		Example:           `  bordon takes compare 2030-01-01T18-05-07-G last`,
		Args:              takeArguments(2, 2, "2030-01-01T18-05-07-G last"),
		ValidArgsFunction: a.takeNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			var two [2]*take.Stored
			for i := range two {
				var err error
				if two[i], err = a.one(cmd, args[i]); err != nil {
					return fail(err)
				}
			}
			return fail(a.compare(two))
		},
	}
}

// compareWidth is the least width of one page beside another.
const compareWidth = 46

func (a *app) compare(two [2]*take.Stored) error {
	var pages [2][]string
	width := compareWidth
	if w := a.width(); w > 0 {
		width = max((w-3)/2, 26)
	}
	for i, s := range two {
		p, err := page.OfTake(language, s)
		if err != nil {
			return err
		}
		pages[i] = append(pages[i], printable(s.ID))
		for _, l := range page.Draw(p, width, 0) {
			pages[i] = append(pages[i], l.String())
		}
	}
	var b strings.Builder
	for i := range max(len(pages[0]), len(pages[1])) {
		var left, right string
		if i < len(pages[0]) {
			left = pages[0][i]
		}
		if i < len(pages[1]) {
			right = pages[1][i]
		}
		b.WriteString(strings.TrimRight(fmt.Sprintf("%-*s | %s", width, left, right), " ") + "\n")
	}
	b.WriteByte('\n')
	heads := language.CompareHeads()
	w := tabwriter.NewWriter(&b, 0, 0, 3, ' ', 0)
	one, other := two[0].Entry(), two[1].Entry()
	fmt.Fprintf(w, "  %s\t%s\t%s\n", heads[0], printable(one.ID), printable(other.ID))
	seen := map[string]bool{}
	for _, c := range append(append([]take.Count{}, one.Beats...), other.Beats...) {
		if beat := take.BeatOf(c.Beat); !seen[beat] {
			seen[beat] = true
			fmt.Fprintf(w, "  %s\t%s\t%s\n", printable(beat), rightOn(one, beat), rightOn(other, beat))
		}
	}
	all := func(s listen.Score) string { return language.RightOf(s.Right, s.Judged-s.Unsure) }
	fmt.Fprintf(w, "  %s\t%s\t%s\n", heads[2], all(one.Score), all(other.Score))
	fmt.Fprintf(w, "  %s\t%s\t%s\n", heads[3], language.OffsetOf(one.Score), language.OffsetOf(other.Score))
	w.Flush()
	_, err := io.WriteString(a.stdout, b.String())
	return err
}

// rightOn is how a beat went in a take, right whatever its time.
func rightOn(e take.Entry, beat string) string {
	right, of := 0, 0
	for _, c := range e.Beats {
		if take.BeatOf(c.Beat) == beat {
			right += c.Right + c.Early + c.Late
			of += c.Judged()
		}
	}
	if of == 0 {
		return "-"
	}
	return language.RightOf(right, of)
}
