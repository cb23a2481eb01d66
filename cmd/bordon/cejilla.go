package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"bordon/listen/forms"
	"bordon/theory"
)

// fingering is a theory.Fingering as key --sounding writes it for scripts.
type fingering struct {
	Rank     int    `json:"rank"`
	Key      string `json:"key"` // as fingered
	Cejilla  int    `json:"cejilla"`
	Sung     string `json:"sung"` // in the words of singers
	Habitual bool   `json:"habitual"`
	Tonic    string `json:"tonic_shape"`    // frets from the sixth string on; "" where there is none
	Dominant string `json:"dominant_shape"` // the second degree's in a Phrygian key
}

// withSounding gives the command key the flag --sounding, under which it lists
// the fingered keys and cejillas that make a key sound. It reads the command's
// own flags --form and --tuning.
func (a *app) withSounding(cmd *cobra.Command) *cobra.Command {
	var sounding string
	format := formats[0]
	fs := cmd.Flags()
	fs.StringVar(&sounding, "sounding", "", "list the shapes and cejillas that make this key sound, such as G")
	if fs.Lookup("format") == nil {
		fs.Var(&word{to: &format, words: formats}, "format", "how to tell what --sounding lists")
		complete(cmd, "format", formats)
	}
	complete(cmd, "sounding", keyValues())
	cmd.Example += "\n  bordon key --sounding G --form alegrias   # the singer needs G"
	takes, run := cmd.Args, cmd.RunE
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		switch {
		case !fs.Changed("sounding") && fs.Changed("format") && len(args) > 0:
			return errors.New("--format goes with --sounding; a key is drawn as text")
		case !fs.Changed("sounding"):
			return takes(cmd, args)
		case len(args) > 0:
			return fmt.Errorf("--sounding names the key that sounds, and %q is another; give the one or the other", args[0])
		}
		return nil
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if !fs.Changed("sounding") {
			return run(cmd, args)
		}
		form, _ := fs.GetString("form")
		tuning, _ := fs.GetString("tuning")
		return a.soundings(sounding, form, tuning, fs.Lookup("format").Value.String())
	}
	return cmd
}

// soundings lists what makes a key sound in a form, the likeliest first.
func (a *app) soundings(sounding, formName, tuningText, format string) error {
	key, err := theory.ParseKey(sounding)
	if err != nil {
		return err
	}
	form, err := forms.Lookup("", formName)
	if err != nil {
		return err
	}
	tuning, err := theory.ParseTuning(tuningText)
	if err != nil {
		return err
	}
	key = form.KeyIn(key)
	all := theory.Fingerings(key, form.Name)
	list := make([]fingering, len(all))
	habitual := 0
	for i, f := range all {
		list[i] = fingering{Rank: i + 1, Key: f.Key.String(), Cejilla: f.Cejilla, Sung: f.Sung(), Habitual: f.Habitual}
		if s, ok := f.Key.TonicShape(tuning); ok {
			list[i].Tonic = s.String()
		}
		if s, ok := f.Key.DominantShape(tuning); ok {
			list[i].Dominant = s.String()
		}
		if f.Habitual {
			habitual++
		}
	}
	if format == "json" {
		return fail(encode(a.stdout, list))
	}
	var b strings.Builder
	fmt.Fprintf(&b, " %s   %s\n", language.Sounds(key), language.Form(form))
	shapes := 20
	for _, f := range all {
		shapes = max(shapes, utf8.RuneCountInString(language.Shapes(f.Key))+1)
	}
	for i, f := range all {
		tonic, dominant := language.Chord(f.Key.TonicChord()), language.Chord(f.Key.DominantChord())
		fmt.Fprintf(&b, "  %d  %-*s %-12s %-28s %s %s  %s %s\n", i+1, shapes, language.Shapes(f.Key), language.CejillaAt(f.Cejilla), f.Sung(),
			tonic, list[i].Tonic, dominant, list[i].Dominant)
	}
	fmt.Fprintf(&b, "  %s\n", language.Habitual(habitual, len(all), language.Form(form)))
	_, err = io.WriteString(a.stdout, b.String())
	return fail(err)
}
