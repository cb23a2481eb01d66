package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"bordon/listen/forms"
	"bordon/listen/lines"
	"bordon/theory"
	"bordon/ui/keys"
)

// lineFlags are the flags of line.
type lineFlags struct {
	key, from, to string
	form, tuning  string
	cejilla       int
	count         int
	format        string
}

const defaultCount = 5

func (a *app) lineCommand() *cobra.Command {
	var c captureFlags
	f := lineFlags{form: defaultForm, tuning: tunings[0], count: defaultCount, format: formats[0]}
	cmd := &cobra.Command{
		Use:   "line [flags] [NAME]",
		Short: "List the best bass lines of a key, or move a line to another",
		Long: `List the best walks of the bass from the dominant to the tonic, in any key and
form: notes with their degrees, strings and frets, and one sentence why. What
speaks against a walk weighs the same in every key; what the left hand can do
while it holds the chord is what makes keys differ.

With --from and --to a line is moved by degree: what changes under the hand is
said, and where the moved line lies badly, a better one is offered. The line is
written out ("7:3 8:2 9:7 10:1") or named: best, best-2 and so on are the
finder's, usual is the form's, others are the player's own files.

With --capture a line is written down from a recording in which it is played
twice, in two turns, or from two recordings. Where the turns disagree you are
asked. The line is written to standard output, or kept under NAME with --save.`,
		Example: `  bordon line --key F
  bordon line -k G --cejilla 3 --count 3          # sounds in B flat
  bordon line -k por-medio --form solea
  bordon line -k D --tuning sixth-in-d --format json
  bordon line -k F usual --format musicxml > usual.musicxml
  bordon line --from D --to F "7:3 8:2 9:7 10:1"
  bordon line --capture take.wav -k G -t 104 --first-beat 4 --save first-walk`,
		Args: func(_ *cobra.Command, args []string) error {
			moving := f.from != "" || f.to != ""
			switch {
			case moving && (f.from == "" || f.to == ""):
				return errors.New("a line moves from one key to another; give both, such as --from D --to F")
			case moving && f.key != "":
				return errors.New("--key lists the lines of a key, --from and --to move one; give the one or the other")
			case moving && len(args) == 0:
				return errors.New("there is no line to move; name one, or write it, such as \"7:3 8:2 9:7 10:1\"")
			case len(c.files) > 0 && moving:
				return errors.New("a line is captured in one key; give --key, and move it afterwards")
			case len(c.files) > 2:
				return fmt.Errorf("there are %d recordings; a line is played twice, so give one or two", len(c.files))
			case len(c.files) > 0 && !(c.tempo > 0):
				return errors.New("there is no tempo; say how fast it is played, such as --tempo 104 beats a minute")
			case len(c.files) == 0 && (c.save || c.tempo != 0 || c.first != 0):
				return errors.New("--tempo, --first-beat and --save are of --capture; name the recording with it")
			case !moving && f.key == "":
				return errors.New("there is no key; say which, such as --key F")
			case len(args) > 1:
				return fmt.Errorf("there are %d lines; give one, in quotes where it has spaces", len(args))
			}
			return nil
		},
		ValidArgsFunction: completeLines,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(c.files) > 0 {
				return a.capture(cmd.Context(), f, c, append(args, "captured")[0])
			}
			if f.from != "" {
				return a.moveLine(f, args[0])
			}
			if len(args) == 1 {
				return a.showLine(f, args[0])
			}
			return a.listLines(f)
		},
	}
	fs := cmd.Flags()
	fs.StringVarP(&f.key, "key", "k", f.key, "key, as fingered: Bb, F#m, E-phrygian, por-medio")
	fs.StringVar(&f.from, "from", f.from, "key that the line is moved from")
	fs.StringVar(&f.to, "to", f.to, "key that it is moved to")
	fs.StringVar(&f.form, "form", f.form, "form, or palo")
	fs.StringVar(&f.tuning, "tuning", f.tuning, "standard, sixth-in-d, or six notes from the sixth string on")
	fs.Var(&whole{to: &f.cejilla, such: "a fret, such as 3"}, "cejilla", "fret of the cejilla; key and frets stay as fingered")
	fs.Var(&whole{to: &f.count, such: "a number of lines, such as 5"}, "count", "how many lines to list")
	fs.Var(&word{to: &f.format, words: lineFormats}, "format", "how to tell it; midi and musicxml write one line, the best of a list")
	fs.StringArrayVar(&c.files, "capture", nil, "recording to write a line down from; may be given twice")
	fs.VarP(&number{to: &c.tempo, such: "beats a minute, such as 104"}, "tempo", "t", "beats a minute of the recording")
	fs.Var(&number{to: &c.first, such: "seconds, such as 1.84"}, "first-beat", "second at which beat 1 of the first turn falls")
	fs.BoolVar(&c.save, "save", c.save, "keep the captured line among your own")
	complete(cmd, "tempo", nil)
	complete(cmd, "first-beat", nil)
	for _, name := range []string{"key", "from", "to"} {
		complete(cmd, name, keyValues())
	}
	complete(cmd, "form", formValues())
	complete(cmd, "tuning", tunings)
	complete(cmd, "format", lineFormats)
	complete(cmd, "cejilla", nil)
	complete(cmd, "count", nil)
	return cmd
}

// tunings are the names of the usual ones.
var tunings = []string{"standard", "sixth-in-d"}

// setting is where walks are looked for.
type setting struct {
	form    theory.Form
	tuning  theory.Tuning
	cejilla int
}

func (f lineFlags) setting() (s setting, err error) {
	if s.form, err = forms.Lookup("", f.form); err != nil {
		return s, err
	}
	if s.tuning, err = theory.ParseTuning(f.tuning); err != nil {
		return s, err
	}
	s.cejilla = f.cejilla
	return s, fretOf(f.cejilla)
}

// fretOf refuses a cejilla that no guitar takes.
func fretOf(cejilla int) error {
	if cejilla < 0 || cejilla > 12 {
		return fmt.Errorf("a cejilla at fret %d is not usable; it must be 0 to 12", cejilla)
	}
	return nil
}

// keyOf reads a key, for a section that stands in the parallel minor that one.
func (s setting) keyOf(text string) (theory.Key, error) {
	key, err := theory.ParseKey(text)
	return s.form.KeyIn(key), err
}

func (a *app) listLines(f lineFlags) error {
	s, err := f.setting()
	if err != nil {
		return err
	}
	key, err := s.keyOf(f.key)
	if err != nil {
		return err
	}
	walks, err := theory.Find(key, s.form, s.tuning, f.count)
	if err != nil {
		return err
	}
	if f.format == "json" {
		return fail(encode(a.stdout, lines.Rank(walks, language.Why)))
	}
	if f.exported() {
		return fail(a.exportLine(f.format, walks[0].Line(), s))
	}
	return fail(a.drawWalks(key, s, walks))
}

func (a *app) drawWalks(key theory.Key, s setting, walks []theory.Walk) error {
	text := keys.Title(language, key, s.form, s.cejilla) + "\n" + keys.Text(keys.Walks(language, walks, a.columns()))
	_, err := io.WriteString(a.stdout, text)
	return err
}

// columns is how wide text is drawn: the terminal's width, or 80.
func (a *app) columns() int {
	if w := a.width(); w > 0 {
		return w
	}
	return 80
}

// showLine shows a line that has a name, or is written out, in a key.
func (a *app) showLine(f lineFlags, name string) error {
	s, err := f.setting()
	if err != nil {
		return err
	}
	key, err := s.keyOf(f.key)
	if err != nil {
		return err
	}
	line, err := lines.Named(name, key, s.form, s.tuning)
	if err != nil {
		return err
	}
	if f.exported() {
		return fail(a.exportLine(f.format, line, s))
	}
	walk, err := theory.WalkOf(line)
	if err != nil {
		return err
	}
	walks := []theory.Walk{walk}
	if f.format == "json" {
		return fail(encode(a.stdout, lines.Rank(walks, language.Why)))
	}
	return fail(a.drawWalks(line.Key, s, walks))
}

// moveLine moves a line from one key to another and says how it lies there.
func (a *app) moveLine(f lineFlags, name string) error {
	s, err := f.setting()
	if err != nil {
		return err
	}
	from, err := s.keyOf(f.from)
	if err != nil {
		return err
	}
	to, err := s.keyOf(f.to)
	if err != nil {
		return err
	}
	line, err := lines.Named(name, from, s.form, s.tuning)
	if err != nil {
		return err
	}
	moved, err := line.In(to)
	if err != nil {
		return err
	}
	if f.exported() {
		return fail(a.exportLine(f.format, moved, s))
	}
	before, err := theory.WalkOf(line)
	if err != nil {
		return err
	}
	after, err := theory.WalkOf(moved)
	if err != nil {
		return err
	}
	walks := []theory.Walk{after}
	best, err := theory.Find(to, moved.Form, s.tuning, 1)
	badly := err == nil && after.LiesBadly(best[0])
	if badly {
		walks = append(walks, best[0])
	}
	if f.format == "json" {
		return fail(encode(a.stdout, lines.Rank(walks, language.Why)))
	}
	width := a.columns()
	var b strings.Builder
	fmt.Fprintf(&b, " %s   %s\n", language.Moved(printable(name), from, to), language.Form(s.form))
	b.WriteString(keys.Text(keys.Walks(language, []theory.Walk{before}, width)))
	b.WriteString("\n" + keys.Text(keys.Walks(language, walks[:1], width)))
	fmt.Fprintf(&b, "\n  %s\n", language.UnderTheHand(before, after))
	if badly {
		fmt.Fprintf(&b, "  %s\n", language.Badly())
		b.WriteString(keys.Text(keys.Walk(language, best[0], "", width)))
	} else {
		fmt.Fprintf(&b, "  %s\n", language.Well())
	}
	_, err = io.WriteString(a.stdout, b.String())
	return fail(err)
}

// completeLines are the names of lines that a shell offers.
func completeLines(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return lines.Names(), cobra.ShellCompDirectiveNoFileComp
}
