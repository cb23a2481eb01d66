package main

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"bordon/listen"
	"bordon/listen/match"
	"bordon/listen/take"
)

func (a *app) takesNoteCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "note TAKE [TEXT...]",
		Short: "Keep a note with a take, or show it",
		Example: `  bordon takes note last "new strings, tired"
  bordon takes note last        # shows it
  bordon takes note last ""     # takes it away`,
		Args:              takeArguments(1, -1, `last "new strings"`),
		ValidArgsFunction: a.takeNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.one(cmd, args[0])
			if err == nil && len(args) > 1 {
				return fail(s.SetNote(strings.Join(args[1:], " ")))
			}
			if err == nil && s.Player.Note != "" {
				_, err = fmt.Fprintln(a.stdout, clean(s.Player.Note))
			}
			return fail(err)
		},
	}
}

const uphold = "ear"

func (a *app) takesOverruleCommand() *cobra.Command {
	var why string
	verdicts := []string{}
	for _, w := range take.PitchWords {
		verdicts = append(verdicts, string(w))
	}
	cmd := &cobra.Command{
		Use:   "overrule TAKE TURN BEAT VERDICT",
		Short: "Overrule the ear: the player has the last word",
		Long: `Overrule the ear's verdict on a note. The player's word survives later checks, is
shown beside the ear's, and counts in scores and progress. VERDICT is one of
` + strings.Join(verdicts, ", ") + `;
"ear" takes the player's word back.`,
		Example: `  bordon takes overrule last 2 8 right --why "it was A, the string buzzed"
  bordon takes overrule last 2 8 ear`,
		Args: takeArguments(4, 4, "last 2 8 right"),
		ValidArgsFunction: func(cmd *cobra.Command, args []string, s string) ([]string, cobra.ShellCompDirective) {
			switch len(args) {
			case 0:
				return a.takeNames(cmd, args, s)
			case 3:
				return append(verdicts, uphold), cobra.ShellCompDirectiveNoFileComp
			}
			return nil, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			turn, err := strconv.Atoi(args[1])
			if err != nil {
				return fmt.Errorf("%q is no turn; it must be a number such as 2", args[1])
			}
			s, err := a.one(cmd, args[0])
			if err != nil {
				return fail(err)
			}
			if args[3] == uphold {
				return fail(s.Uphold(turn, args[2]))
			}
			return fail(s.Overrule(turn, args[2], match.Word(args[3]), why, now()))
		},
	}
	cmd.Flags().StringVar(&why, "why", "", "the reason, kept with it")
	return cmd
}

func (a *app) takesCasesCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "cases FOLDER [TAKE...]",
		Short: "Write what the ear got wrong, as the player says, into a folder",
		Long: `Write each overruled verdict into a folder as a case that the ear got wrong: the
sound of its turn, and a description of what the ear said and the player says.
Without takes, the cases of all are written. Sound is copied; a student's
recording is the student's: ask before you send it.`,
		Example:           `  bordon takes cases ./cases last`,
		Args:              takeArguments(1, -1, "./cases last"),
		ValidArgsFunction: a.takeNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			names := args[1:]
			if len(names) == 0 {
				ids, err := take.IDs(a.takes)
				if err != nil {
					return fail(err)
				}
				names = ids
			}
			n := 0
			for _, name := range names {
				s, err := take.Pick(a.takes, name)
				if err != nil {
					return fail(err)
				}
				for _, r := range s.Player.Rulings {
					path, err := s.WriteCase(args[0], r)
					if err != nil {
						return fail(err)
					}
					fmt.Fprintln(a.stdout, printable(path))
					n++
				}
			}
			a.talk("%s", language.CasesWritten(n))
			return nil
		},
	}
}

func (a *app) takesDeleteCommand() *cobra.Command {
	var yes bool
	cmd := &cobra.Command{
		Use:   "delete TAKE...",
		Short: "Delete takes, after asking",
		Long: `Delete takes, their sound and all. It asks first, at a terminal; elsewhere it
deletes nothing without --yes.`,
		Example:           `  bordon takes delete 2030-01-31T18-05-07-G`,
		Args:              takeArguments(1, -1, "2030-01-31T18-05-07-G"),
		ValidArgsFunction: a.takeNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			var ids []string
			for _, name := range args {
				id, err := take.Find(a.takes, name)
				if err != nil {
					return fail(err)
				}
				ids = append(ids, id)
			}
			if !yes {
				if !isTerminal(a.stdin) || !isTerminal(a.stderr) {
					return fail(errors.New("nothing was deleted, as nobody can be asked here; --yes deletes without asking"))
				}
				for _, id := range ids {
					a.talk("  %s", printable(id))
				}
				fmt.Fprint(a.stderr, language.AskDelete(len(ids))+" ")
				said, _ := bufio.NewReader(a.stdin).ReadString('\n')
				if !language.Yes(said) {
					return nil
				}
			}
			for _, id := range ids {
				if err := take.Delete(a.takes, id); err != nil {
					return fail(err)
				}
				a.talk("%s", language.Deleted(printable(id)))
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&yes, "yes", false, "do not ask")
	return cmd
}

func (a *app) takesImportCommand() *cobra.Command {
	var f musicFlags
	var first float64
	delay := delay{known: true}
	var at string
	cmd := &cobra.Command{
		Use:   "import [flags] FILE...",
		Short: "Make takes of recordings made elsewhere",
		Long: `Make a take of each recording, judged as check judges it: where the beats are is
found in the sound unless --tempo and --first-beat both tell, and --key auto names
the key from it. The take holds a copy of the sound, mixed to mono. It is filed
under the time at which the file was last changed, unless --started says when it
began.`,
		Example: `  bordon takes import -k F memo.m4a   # played free: the compás is found in the sound
  bordon takes import -k D -t 96 --first-beat 1.84 phone.m4a
  bordon takes import -k G -t 104 --first-beat 4 --started 2030-01-31T18:05:07 take.flac`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("there is no file; name the recordings to import")
			}
			return f.keyGiven()
		},
		RunE: func(cmd *cobra.Command, files []string) error {
			of, err := f.perFile(func(set *listen.Settings) {
				set.FirstBeat, set.Delay, set.DelayKnown = first, delay.ms, delay.known
				f.find(set)
			})
			if err != nil {
				return err
			}
			var started time.Time
			if at != "" {
				if started, err = time.ParseInLocation("2006-01-02T15:04:05", at, time.Local); err != nil {
					return fmt.Errorf("--started wants a time such as 2030-01-31T18:05:07, and %q is none", at)
				}
			}
			for _, file := range files {
				begun := started
				if begun.IsZero() {
					st, err := os.Stat(file)
					if err != nil {
						return fail(fmt.Errorf("cannot import %q: there is no such file", file))
					}
					begun = st.ModTime()
				}
				set, said, err := of(cmd.Context(), file)
				if err != nil {
					return fail(err)
				}
				s, err := take.Import(cmd.Context(), a.takes, file, set, begun, takeWords)
				if err != nil {
					return fail(err)
				}
				if said != "" {
					a.talk("%s", said)
				}
				for _, said := range foundIn(&s.Take.Check) {
					a.talk("%s", said)
				}
				fmt.Fprintln(a.stdout, printable(s.Dir))
			}
			return nil
		},
	}
	f.defaults()
	f.add(cmd)
	fs := cmd.Flags()
	fs.Var(&number{to: &first, such: "seconds, such as 1.84"}, "first-beat", "second at which beat 1 of the first turn falls; may be negative")
	fs.Var(&delay, "delay", "delay of the recording in ms, taken off every onset; unknown: nothing is called early or late")
	fs.StringVar(&at, "started", "", "when the recording began, such as 2030-01-31T18:05:07")
	complete(cmd, "first-beat", nil)
	complete(cmd, "delay", []string{unknown})
	complete(cmd, "started", nil)
	must(cmd.MarkFlagRequired("key"))
	return cmd
}
