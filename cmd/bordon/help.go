package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"
)

// addHelp gives root the commands help and completion, which refuse what they
// do not know and have examples like all others.
func addHelp(root *cobra.Command) {
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	for _, cmd := range root.Commands() {
		switch cmd.Name() {
		case "help":
			cmd.Example = "  bordon help check"
			cmd.RunE = helpOn
		case "completion":
			cmd.Example = "  source <(bordon completion bash)   # for this shell alone"
			cmd.Args = cobra.ArbitraryArgs
			cmd.RunE = noShell
			for _, shell := range cmd.Commands() {
				shell.Example = completionExamples[shell.Name()]
			}
		}
	}
}

var completionExamples = map[string]string{
	"bash":       "  source <(bordon completion bash)",
	"zsh":        "  source <(bordon completion zsh)",
	"fish":       "  bordon completion fish | source",
	"powershell": "  bordon completion powershell | Out-String | Invoke-Expression",
}

func helpOn(cmd *cobra.Command, args []string) error {
	about, rest, err := cmd.Root().Find(args)
	if err != nil {
		return err
	}
	if len(rest) > 0 {
		return noArguments(cmd.Root(), rest)
	}
	about.InitDefaultHelpFlag()
	return about.Help()
}

func noShell(_ *cobra.Command, args []string) error {
	const shells = "bash, zsh, fish or powershell"
	if len(args) == 0 {
		return errors.New("there is no shell; name " + shells)
	}
	return fmt.Errorf("there are no completions for %q; name %s", args[0], shells)
}
