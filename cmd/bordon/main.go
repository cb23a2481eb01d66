// Command bordon listens to the bass line that a flamenco guitarist plays
// with the thumb and says which notes were wrong, missing, early or late.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	// The first of these signals ends what runs, cleanly; a second one ends
	// the program as it always would.
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	context.AfterFunc(ctx, stop)
	// A reader that goes away must not end the program by its signal: the take
	// is to be kept. The write that fails tells of it.
	signal.Notify(make(chan os.Signal, 1), syscall.SIGPIPE)
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
