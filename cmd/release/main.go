// Release builds Bordon for every system, as archives that are the same to the
// byte wherever and whenever they are made of the same source:
//
//	go run ./cmd/release                       all of them into bin/release
//	go run ./cmd/release -only windows/amd64
//	go run ./cmd/release -share bin/share -program bin/bordon
//
// The last writes what is installed beside a program that is built already: the
// manual in each language, the shells' completions, and the licences.
//
// The date of what is in the archives is SOURCE_DATE_EPOCH, else that of the
// last commit; the version is what git says of it.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"
)

func main() {
	var r release
	out := flag.String("out", filepath.Join("bin", "release"), "folder of the archives")
	only := flag.String("only", "", "systems, commas between, such as windows/amd64; all where none is named")
	share := flag.String("share", "", "write what is installed beside the program into this folder, and no archive")
	program := flag.String("program", filepath.Join("bin", "bordon"), "with -share: the program")
	flag.StringVar(&r.version, "version", "", "what the release is called; what git describe says where it is not given")
	flag.Parse()
	if err := r.run(context.Background(), *out, *only, *share, *program); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

// release is one that is being made of the source in a folder.
type release struct {
	root    string // "" for the folder that the program is started in
	version string
	when    time.Time
}

func (r *release) run(ctx context.Context, out, only, share, program string) error {
	if err := r.date(ctx); err != nil {
		return err
	}
	if share != "" {
		program, err := filepath.Abs(program)
		if err != nil {
			return err
		}
		here := system{runtime.GOOS, runtime.GOARCH, true} // which has what one without a microphone has
		files, err := r.shared(ctx, program, []system{here})
		if err != nil {
			return err
		}
		return write(share, files)
	}
	if r.version == "" {
		r.version = r.git(ctx, "describe", "--tags", "--always", "--dirty")
	}
	if r.version == "" || strings.ContainsAny(r.version, " \t\n/\\'\"") {
		return fmt.Errorf("the version is %q; name one with -version, a word", r.version)
	}
	chosen, err := choose(only)
	if err != nil {
		return err
	}
	return r.archives(ctx, out, chosen)
}

// date finds when the release is of.
func (r *release) date(ctx context.Context) error {
	s := os.Getenv("SOURCE_DATE_EPOCH")
	if s == "" {
		s = r.git(ctx, "log", "-1", "--format=%ct")
	}
	n, err := strconv.ParseInt(s, 10, 40)
	if err != nil || n < 0 {
		n = 0
		if os.Getenv("SOURCE_DATE_EPOCH") != "" {
			return fmt.Errorf("SOURCE_DATE_EPOCH is %q; it wants seconds since 1970", s)
		}
	}
	r.when = time.Unix(n, 0).UTC()
	return nil
}

// git is what it says of the source; "" where it says nothing.
func (r *release) git(ctx context.Context, args ...string) string {
	cmd := exec.CommandContext(ctx, "git", args...)
	cmd.Dir = r.root
	said, err := cmd.Output()
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(said))
}

// output is what a program says; what goes wrong is told in its own words.
func output(cmd *exec.Cmd) ([]byte, error) {
	said, err := cmd.Output()
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		err = fmt.Errorf("%w: %s", err, strings.TrimSpace(string(exit.Stderr)))
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", strings.Join(cmd.Args, " "), err)
	}
	return said, nil
}
