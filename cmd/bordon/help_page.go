package main

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"
	"text/template"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"bordon/ui/words"
)

// helpWidth is how many columns help takes at most: those of a terminal that
// nobody has made wider.
const helpWidth = 80

// flagColumn is where what a flag does begins at the latest.
const flagColumn = 36

// usageText is what is said of how a command is used.
const usageText = `{{word "usage" "Usage:"}}{{if .Runnable}}
  {{form .UseLine}}{{end}}{{if .HasAvailableSubCommands}}
  {{form (print .CommandPath " [command]")}}{{end}}{{if .HasExample}}

{{word "examples" "Examples:"}}
{{examples .Example}}{{end}}{{if .HasAvailableSubCommands}}

{{word "commands" "Available Commands:"}}
{{commands .}}{{end}}{{if .HasAvailableLocalFlags}}

{{word "flags" "Flags:"}}
{{flags .LocalFlags}}{{end}}{{if .HasAvailableInheritedFlags}}

{{word "global" "Global Flags:"}}
{{flags .InheritedFlags}}{{end}}{{if .HasAvailableSubCommands}}

{{more .CommandPath}}{{end}}
`

// help tells of a command all there is to tell.
func help(cmd *cobra.Command, _ []string) {
	long := cmd.Long
	if long == "" {
		long = cmd.Short
	}
	// Where it cannot be written there is nobody to tell.
	if _, err := fmt.Fprintf(cmd.OutOrStdout(), "%s\n\n", words.Fold(long, helpWidth)); err == nil {
		_ = usageTo(cmd.OutOrStdout(), cmd)
	}
}

// usage tells how a command is used.
func usage(cmd *cobra.Command) error { return usageTo(cmd.OutOrStderr(), cmd) }

func usageTo(w io.Writer, cmd *cobra.Command) error {
	t, err := template.New("usage").Funcs(template.FuncMap{
		"word":     func(name, english string) string { return language.Usage(name, english) },
		"form":     form,
		"examples": func(text string) string { return foldExamples(text, helpWidth) },
		"commands": commands,
		"flags":    flagUsages,
		"more": func(path string) string {
			return language.Usage("more", `Use "{command} [command] --help" for more information about a command.`, "command", path)
		},
	}).Parse(usageText)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := t.Execute(&b, cmd); err != nil {
		return fmt.Errorf("telling how %s is used: %w", cmd.CommandPath(), err)
	}
	_, err = io.Copy(w, &b)
	return err
}

var (
	// formWord is a word of how a command is written that stands for others.
	formWord = regexp.MustCompile(`\[flags\]|\[command\]|\b[A-Z]{3,}\b`)
	flagLine = regexp.MustCompile(`^( +(?:-\w, )?--[\w-]+)( [\w|-]+)?   +(.*)$`)
	fallback = regexp.MustCompile(`\(default ([^)]*)\)`)
)

// form is how a command is written.
func form(line string) string {
	return formWord.ReplaceAllStringFunc(line, func(s string) string { return language.Usage(s, s) })
}

// commands lists those of a command.
func commands(cmd *cobra.Command) string {
	var lines []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() || c.Name() == "help" {
			lines = append(lines, fmt.Sprintf("  %-*s  %s", c.NamePadding(), c.Name(), c.Short))
		}
	}
	return words.Fold(strings.Join(lines, "\n"), helpWidth)
}

// aFlag is a flag as help and the manual tell it.
type aFlag struct{ name, does string }

// flagList are the flags as pflag tells them, with its own words translated.
func flagList(fs *pflag.FlagSet) (all []aFlag) {
	for line := range strings.Lines(fs.FlagUsages()) {
		m := flagLine.FindStringSubmatch(strings.TrimRight(line, "\n"))
		if m == nil {
			continue
		}
		if kind := strings.TrimSpace(m[2]); kind != "" {
			kinds := strings.Split(kind, "|")
			for i, k := range kinds {
				kinds[i] = language.Usage(k, k)
			}
			m[1] += " " + strings.Join(kinds, "|")
		}
		does := fallback.ReplaceAllStringFunc(m[3], func(s string) string {
			return language.Usage("default", s, "value", fallback.FindStringSubmatch(s)[1])
		})
		all = append(all, aFlag{m[1], does})
	}
	return all
}

// flagUsages are the flags in two columns.
func flagUsages(fs *pflag.FlagSet) string {
	all := flagList(fs)
	column := 0
	for _, f := range all {
		column = max(column, utf8.RuneCountInString(f.name)+3)
	}
	column = min(column, flagColumn)
	var lines []string
	for _, f := range all {
		does := strings.Split(words.Fold(f.does, helpWidth-column), "\n")
		if n := utf8.RuneCountInString(f.name); n+2 > column {
			lines = append(lines, f.name)
		} else {
			lines = append(lines, f.name+strings.Repeat(" ", column-n)+does[0])
			does = does[1:]
		}
		for _, d := range does {
			lines = append(lines, strings.Repeat(" ", column)+d)
		}
	}
	return strings.Join(lines, "\n")
}

// foldExamples puts what is said of an example before it, and breaks the
// command as a shell allows it, where both do not fit.
func foldExamples(text string, width int) string {
	var lines []string
	for _, line := range strings.Split(text, "\n") {
		if utf8.RuneCountInString(line) <= width {
			lines = append(lines, line)
			continue
		}
		command, comment, ok := strings.Cut(line, "  # ")
		if ok {
			lines = append(lines, "  # "+comment)
		}
		command = strings.TrimRight(command, " ")
		for utf8.RuneCountInString(command) > width {
			at := breakable(command, width-2)
			if at <= 0 {
				break
			}
			lines = append(lines, command[:at]+` \`)
			command = "      " + strings.TrimLeft(command[at:], " ")
		}
		lines = append(lines, command)
	}
	return strings.Join(lines, "\n")
}

// breakable is where the last space of a command's first bytes lies, quotes
// and its indentation left out; 0 where there is none.
func breakable(command string, most int) (at int) {
	quoted := false
	for i, r := range command {
		switch {
		case i > most:
			return at
		case r == '"':
			quoted = !quoted
		case r == ' ' && !quoted && strings.TrimSpace(command[:i]) != "":
			at = i
		}
	}
	return at
}
