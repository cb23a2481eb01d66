package ui

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"

	tea "github.com/charmbracelet/bubbletea"
)

// Session plays, listens and tells the feed, until ctx ends or it is done. It
// returns what there is to say at the end.
type Session func(ctx context.Context, f *Feed) (summary []string, err error)

// Show puts the live screen up on a terminal, runs the session beside it, and
// takes the screen down when the player ends it, when ctx ends, or when the
// session fails; a session that is done leaves its page standing until the
// player ends it. Whatever happens, a panic of the session included, the
// terminal is as it was when Show returns, and the session has ended.
func Show(ctx context.Context, live Live, in io.Reader, out io.Writer, session Session) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()

	feed := NewFeed()
	begun := make(chan struct{})
	m := newModel(live, feed, newStyles(out), func() { close(begun) })
	p := tea.NewProgram(m, tea.WithInput(in), tea.WithOutput(out),
		tea.WithAltScreen(), tea.WithoutSignalHandler(), tea.WithFPS(fps))

	done := make(chan error, 1)
	go func() {
		done <- Guard(func() error {
			select {
			case <-begun:
			case <-ctx.Done():
				return nil
			}
			summary, err := session(ctx, feed)
			feed.End(summary)
			return err
		})
	}()
	// The screen goes when the session fails or the context ends; where the
	// session is merely done, it stays until the player ends it.
	over := make(chan error, 1)
	go func() {
		var err error
		select {
		case err = <-done:
			if err == nil {
				<-ctx.Done()
			}
			p.Quit()
		case <-ctx.Done():
			p.Quit()
			err = <-done
		}
		over <- err
	}()

	_, err := p.Run()
	cancel()
	if failed := <-over; failed != nil && !errors.Is(failed, context.Canceled) {
		return failed
	}
	if err != nil {
		return fmt.Errorf("drawing the live screen: %w", err)
	}
	return nil
}

// fps is how often the screen is drawn at most: more often than the meters are
// told, which are what moves. Each drawing wakes the program up, whether or not
// anything has changed.
const fps = 20

// Panic is a panic that Guard caught.
type Panic struct {
	Value any
	Stack []byte
}

// Error says what the panic said.
func (p *Panic) Error() string { return fmt.Sprintf("an error of the program itself: %v", p.Value) }

// Guard calls f and makes an error of a panic in it, so that whoever waits
// for f can restore the terminal first.
func Guard(f func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = &Panic{r, debug.Stack()}
		}
	}()
	return f()
}
