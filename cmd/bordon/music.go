package main

import (
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"bordon/listen"
	"bordon/listen/forms"
	"bordon/listen/lines"
	"bordon/listen/match"
	"bordon/theory"
	"bordon/ui/words"
)

// musicFlags say what is played, for every command that judges.
type musicFlags struct {
	key, line, form string
	tuning          string
	tempo           float64
	cejilla         int
	a4              float64
	tolerance       string

	chosen string // which line is asked for where none was named; "" where one was

	flags *pflag.FlagSet // that they were given by; nil where they are set here
}

// The values of the flags where they are not given.
const (
	defaultKey   = "D"
	defaultForm  = "alegrias"
	defaultTempo = 104
)

func (f *musicFlags) defaults() {
	*f = musicFlags{form: defaultForm, tuning: theory.Standard.String(), a4: 440, tolerance: string(match.Learning)}
}

// add gives cmd the flags. It leaves key and tempo without a value.
func (f *musicFlags) add(cmd *cobra.Command) {
	fs := cmd.Flags()
	f.flags = fs
	fs.StringVarP(&f.key, "key", "k", f.key, "key, as fingered: Bb, F#m, E-phrygian, por-medio")
	fs.StringVarP(&f.line, "line", "l", f.line, `bass line: "7:3 8:2 9:7 10:1", "7:B2 8:A2 9:F#2 10:G2", or a name (default: the best in the key)`)
	fs.StringVar(&f.form, "form", f.form, "form, or palo; a section of it: alegrias/silencio; any number of beats: free:8")
	fs.StringVar(&f.tuning, "tuning", f.tuning, "standard, sixth-in-d, or open strings from the sixth: \"D2 A2 D3 G3 B3 E4\"")
	fs.VarP(&number{to: &f.tempo, such: "beats a minute, such as 104"}, "tempo", "t", "beats a minute (seguiriyas: eighths a minute)")
	fs.Var(&whole{to: &f.cejilla, such: "a fret, such as 3"}, "cejilla", "fret of the cejilla; key and line stay as fingered")
	fs.Var(&number{to: &f.a4, such: "the frequency of A4 in Hz, such as 440"}, "a4", "concert pitch in Hz, 415 to 466")
	fs.Var(&word{to: &f.tolerance, words: tolerances}, "tolerance", "how strictly timing is judged")
	complete(cmd, "key", keyValues())
	complete(cmd, "form", formValues())
	complete(cmd, "tuning", []string{theory.Standard.String(), theory.SixthInD.String()})
	complete(cmd, "tolerance", tolerances)
	must(cmd.RegisterFlagCompletionFunc("line", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return append(lines.Names(), lineValues()...), cobra.ShellCompDirectiveNoFileComp
	}))
	for _, name := range []string{"tempo", "cejilla", "a4"} {
		complete(cmd, name, nil)
	}
}

var (
	tolerances = []string{string(match.Learning), string(match.Performing)}
	formats    = []string{"text", "json"}
)

// complete gives the values of a flag to the shells.
func complete(cmd *cobra.Command, flag string, values []string) {
	err := cmd.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(values, cobra.ShellCompDirectiveNoFileComp))
	if err != nil { // the flag does not exist, or has values already
		panic(err)
	}
}

// keyValues are the keys that a shell offers: major and minor with up to six
// signs, and the players' names.
func keyValues() []string {
	keys := []string{"C", "G", "D", "A", "E", "B", "F#", "F", "Bb", "Eb", "Ab", "Db", "Gb"}
	for _, t := range []string{"A", "E", "B", "F#", "C#", "G#", "D", "G", "C", "F", "Bb", "Eb"} {
		keys = append(keys, t+"m")
	}
	return append(keys, "por-arriba", "por-medio", "taranta", "granaina", "minera", "rondena")
}

func formValues() []string {
	var names []string
	for _, f := range theory.Forms() {
		names = append(names, f.Name)
		for _, s := range f.Sections {
			names = append(names, s.Name)
		}
	}
	return append(names, forms.Own("")...)
}

// lineValues are the walks of the forms.
func lineValues() []string {
	var walks []string
	seen := map[string]bool{}
	for _, f := range theory.Forms() {
		for _, w := range []string{f.Walk, f.MinorWalk, f.PhrygianWalk} {
			if w != "" && !seen[w] {
				seen[w] = true
				walks = append(walks, w)
			}
		}
	}
	return walks
}

// has reports whether a flag was given on the command line.
func (f *musicFlags) has(flag string) bool { return f.flags != nil && f.flags.Changed(flag) }

// settings reads the flags. The error names what is wrong and what would be
// right.
func (f *musicFlags) settings() (listen.Settings, error) {
	key, err := theory.ParseKey(f.key)
	if err != nil {
		return listen.Settings{}, err
	}
	form, err := forms.Lookup("", f.form)
	if err != nil {
		return listen.Settings{}, err
	}
	key = form.KeyIn(key)
	tuning, err := theory.ParseTuning(f.tuning)
	if err != nil {
		return listen.Settings{}, err
	}
	var line theory.Line
	lineText := f.line
	_, own := theory.LookupForm(form.Name)
	switch {
	case f.line == "" && !f.has("line") && own != nil && form.WalkIn(key.Mode) != "":
		line, err = theory.DefaultLine(key, form, tuning) // the player's own form says what it wants
	case f.line == "" && !f.has("line"):
		var walks []theory.Walk
		if walks, err = theory.Find(key, form, tuning, 1); err == nil {
			line, f.chosen = walks[0].Line(), language.Chosen(walks[0])
		}
	default:
		line, err = lines.Named(f.line, key, form, tuning)
		if !strings.Contains(f.line, ":") { // a name: what it stands for is told
			lineText = ""
		}
	}
	if err != nil {
		return listen.Settings{}, err
	}
	tempo := f.tempo
	if f.flags != nil && !f.has("tempo") && form.Tempo > 0 {
		tempo = form.Tempo
	}
	return listen.Settings{
		Key: key, Form: form, Line: line, LineText: lineText, Exact: line.Exact,
		Tempo: tempo, Cejilla: f.cejilla, A4: f.a4,
		Tolerance: match.Tolerance(f.tolerance), Reason: words.English.Reason, // the contract's own
	}, nil
}
