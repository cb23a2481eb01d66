package main

import (
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"bordon/listen/config"
	"bordon/ui/words"
)

// The flags of every command that say how it speaks.
const (
	languageFlag  = "language"
	noteNamesFlag = "note-names"
)

// speak chooses the language of all that is said, before there are commands:
// their help is in it. A flag says which, else the file of what was set up,
// else the locale. Where there is neither file nor environment it is English.
func (a *app) speak(args []string) {
	tag, names := given(args, languageFlag), given(args, noteNamesFlag)
	if (tag == "" || names == "") && (a.config != "" || a.getenv != nil) {
		if c, err := config.Load(a.config); err == nil { // who needs the file tells of an error
			if tag == "" {
				tag = c.Language
			}
			if names == "" {
				names = c.NoteNames
			}
		}
	}
	language = words.English
	if a.getenv != nil {
		language = words.OfLocale(a.getenv)
	}
	if l, err := words.In(tag); err == nil {
		language = l
	}
	language = language.WithNotes(names)
}

// given is the value of a flag on a command line that is not parsed yet; ""
// where it was not given.
func given(args []string, flag string) (value string) {
	for i, arg := range args {
		switch {
		case arg == "--":
			return value
		case arg == "--"+flag && i+1 < len(args):
			value = args[i+1]
		case strings.HasPrefix(arg, "--"+flag+"="):
			value = strings.TrimPrefix(arg, "--"+flag+"=")
		}
	}
	return value
}

// addLanguage gives root, and so every command, the flags that speak has read.
func addLanguage(root *cobra.Command) {
	var tag, names string
	fs := root.PersistentFlags()
	fs.Var(&word{to: &tag, words: words.Tags()}, languageFlag, "language of all that is said; as the locale has it where none is given")
	fs.Var(&word{to: &names, words: words.NoteNames}, noteNamesFlag, "how notes are named; as the language does where nothing is given")
	complete(root, languageFlag, words.Tags())
	complete(root, noteNamesFlag, words.NoteNames)
}

// translate has the help of all commands said in the language.
func translate(root *cobra.Command) {
	if language.Tag == words.English.Tag {
		return
	}
	var each func(cmd *cobra.Command)
	each = func(cmd *cobra.Command) {
		path := cmd.CommandPath()
		cmd.Short = language.Help(path, "short", cmd.Short)
		cmd.Long = language.Help(path, "long", cmd.Long)
		lines := strings.Split(cmd.Example, "\n")
		for i, line := range lines {
			if command, comment, ok := strings.Cut(line, "  # "); ok {
				lines[i] = command + "  # " + language.Comment(comment)
			}
		}
		cmd.Example = strings.Join(lines, "\n")
		cmd.InitDefaultHelpFlag()
		for _, fs := range []*pflag.FlagSet{cmd.Flags(), cmd.PersistentFlags()} {
			fs.VisitAll(func(f *pflag.Flag) {
				if f.Name == "help" {
					f.Usage = language.Usage("helpFor", f.Usage, "command", cmd.Name())
					return
				}
				f.Usage = language.Flag(f.Usage)
			})
		}
		for _, c := range cmd.Commands() {
			each(c)
		}
	}
	each(root)
}
