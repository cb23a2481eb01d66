package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"bordon/listen/live"
	"bordon/ui"
)

// Exit statuses.
const (
	done   = 0
	failed = 1
	wrong  = 2 // wrong usage
)

// failure is an error of the work, as against one of the usage. A command
// says what cannot be done with its arguments by any other error.
type failure struct{ error }

func (f failure) Unwrap() error { return f.error }

// fail makes a failure of err; of nil, nil.
func fail(err error) error {
	if err == nil {
		return nil
	}
	return failure{err}
}

// app is what a command has to do with the world.
type app struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	sound          sound
	config         string // file of what was set up; "" is the usual one
	takes          string // folder of the takes; "" is the usual one
	state          string // folder of what is remembered; "" is the usual one

	getenv func(string) string // tells the locale; nil for none
}

// run runs the command line args and returns the exit status. Data goes to
// stdout, talk to stderr.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	a := &app{stdin: stdin, stdout: stdout, stderr: stderr, sound: portAudio, getenv: os.Getenv}
	return a.run(ctx, args)
}

func (a *app) run(ctx context.Context, args []string) int {
	a.speak(args)
	root := a.root()
	root.SetArgs(args)
	var cmd *cobra.Command
	err := ui.Guard(func() (err error) {
		cmd, err = root.ExecuteContextC(ctx)
		return err
	})
	var f failure
	var p *ui.Panic
	var broke *live.PanicError
	switch {
	case err == nil:
		return done
	case errors.As(err, &p):
		fmt.Fprintf(a.stderr, "bordon: %v\n%s", p, p.Stack)
		return failed
	case errors.As(err, &broke):
		fmt.Fprintf(a.stderr, "bordon: %v\n%s", broke, broke.Stack)
		return failed
	case errors.Is(err, syscall.EPIPE): // whoever read has heard enough
		return failed
	case errors.As(err, &f):
		fmt.Fprintf(a.stderr, "bordon: %s\n", inWords(err))
		return failed
	}
	fmt.Fprintf(a.stderr, "bordon: %s\n", language.Usage("tellsMore", "{problem} ({command} --help tells more)",
		"problem", inWords(err), "command", cmd.CommandPath()))
	return wrong
}

// inWords is what is wrong, in the language that is spoken.
func inWords(err error) string { return language.Problem(oneLine(err)) }

// oneLine is the error's sentence without line feeds and control characters.
func oneLine(err error) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return ' '
		case r < 0x20 || r >= 0x7f && r < 0xa0:
			return -1
		}
		return r
	}, strings.TrimSpace(err.Error()))
}

// talk says a sentence on stderr.
func (a *app) talk(format string, args ...any) {
	fmt.Fprintf(a.stderr, format+"\n", args...)
}

func (a *app) root() *cobra.Command {
	var f listenFlags
	root := &cobra.Command{
		Use:   "bordon",
		Short: "Judge the bass line of a flamenco guitarist, note by note, as it is played",
		Long: `Bordon listens to the bass line that a flamenco guitarist plays with the thumb
and says at once which notes were wrong, missing, early or late, and why.

Without arguments it opens the live screen on the default microphone: alegrías
in D at 104 beats a minute. Where there is no microphone it offers the built-in
performance.`,
		Example: `  bordon                        # the live screen
  bordon demo                   # a performance with mistakes, played and judged
  bordon listen -k G -t 104     # listen to alegrías in G
  bordon check -k D -t 96 --first-beat 1.84 take.wav`,
		Args:          noArguments,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.orDemo(cmd.Context(), a.listen(cmd.Context(), &f))
		},
	}
	f.defaults()
	root.AddCommand(a.setupCommand(), a.tuneCommand(), a.checkCommand(), a.listenCommand(), a.demoCommand(), a.takesCommand())
	root.AddCommand(a.manCommand())
	root.AddCommand(a.withSheet(a.lineCommand()), a.withSounding(a.keyCommand()))
	root.SetIn(a.stdin)
	root.SetOut(a.stdout) // before addHelp, whose commands keep it
	root.SetErr(a.stderr)
	addHelp(root)
	addLanguage(root)
	addVersion(root)
	translate(root)
	root.SetHelpFunc(help)
	root.SetUsageFunc(usage)
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return err })
	return root
}

// noArguments refuses arguments, with a word for one that was meant as a
// command.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if cmd.HasSubCommands() {
		return fmt.Errorf("there is no command %q; the commands are check, listen, line, key, takes, setup, tune and demo", args[0])
	}
	return fmt.Errorf("%s takes no argument, and %q is one", cmd.CommandPath(), args[0])
}
