package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"bordon/theory"
	"bordon/ui/keys"
)

func (a *app) keyCommand() *cobra.Command {
	home, form, tuning := defaultKey, defaultForm, tunings[0]
	cejilla, left := 0, false
	cmd := &cobra.Command{
		Use:   "key [flags] KEY",
		Short: "Open a key: its notes, shapes and best walk beside those of home",
		Long: `Open a key for a hand that knows another: its notes, the shapes of dominant and
tonic, the best walk of the bass with strings and frets, and what changes
against the home key. A shape is drawn as the player sees the neck, the sixth
string first; a number on a fret is the finger (1 the index).`,
		Example: `  bordon key F
  bordon key Bb --home D
  bordon key G --cejilla 3 --left     # sounds in B flat
  bordon key por-medio --home D --form solea`,
		Args: func(_ *cobra.Command, args []string) error {
			switch len(args) {
			case 0:
				return errors.New("there is no key; name one, such as bordon key F")
			case 1:
				return nil
			}
			return fmt.Errorf("there are %d keys; name one, and the one you know with --home", len(args))
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return keyValues(), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			s, err := lineFlags{form: form, tuning: tuning, cejilla: cejilla}.setting()
			if err != nil {
				return err
			}
			key, err := s.keyOf(args[0])
			if err != nil {
				return err
			}
			from, err := theory.ParseKey(home)
			if err != nil {
				return err
			}
			o, err := keys.Open(language, key, s.form.KeyIn(from), s.form, s.tuning)
			if err != nil {
				return err
			}
			o.Cejilla, o.Left = cejilla, left
			_, err = io.WriteString(a.stdout, keys.Text(o.Draw(a.columns())))
			return fail(err)
		},
	}
	fs := cmd.Flags()
	fs.StringVar(&home, "home", home, "key that you know, to compare with")
	fs.StringVar(&form, "form", form, "form, or palo")
	fs.StringVar(&tuning, "tuning", tuning, "standard, sixth-in-d, or six notes from the sixth string on")
	fs.Var(&whole{to: &cejilla, such: "a fret, such as 3"}, "cejilla", "fret of the cejilla; the key stays as fingered")
	fs.BoolVar(&left, "left", left, "draw for a guitar that is held to the left")
	complete(cmd, "home", keyValues())
	complete(cmd, "form", formValues())
	complete(cmd, "tuning", tunings)
	complete(cmd, "cejilla", nil)
	return cmd
}
