package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strings"
)

// system is one that there is an archive for.
type system struct {
	os, arch   string
	microphone bool
}

// systems are all of them. A microphone takes PortAudio, and that C for the
// system: only where the archives are built.
var systems = []system{
	{"darwin", "amd64", false},
	{"darwin", "arm64", false},
	{"linux", "amd64", true},
	{"linux", "arm64", false},
	{"windows", "amd64", false},
}

func (s system) String() string { return s.os + "/" + s.arch }

// choose are the systems with names such as linux/arm64; all for none.
func choose(names string) ([]system, error) {
	if names == "" {
		return systems, nil
	}
	var chosen []system
	for _, name := range strings.Split(names, ",") {
		n := len(chosen)
		var all []string
		for _, s := range systems {
			all = append(all, s.String())
			if s.String() == name {
				chosen = append(chosen, s)
			}
		}
		if len(chosen) == n {
			return nil, fmt.Errorf("there is no archive for %q; there are %s", name, strings.Join(all, ", "))
		}
	}
	return chosen, nil
}

// env is what Go builds with for a system, whatever is set outside.
func (s system) env() []string {
	cgo := "0"
	if s.microphone {
		cgo = "1"
	}
	return append(os.Environ(), "GOOS="+s.os, "GOARCH="+s.arch, "CGO_ENABLED="+cgo, "GOFLAGS=", "GOWORK=off", "GOEXPERIMENT=",
		"GOAMD64=v1", "GOARM64=v8.0", "CGO_CFLAGS=-O2", "CGO_CPPFLAGS=", "CGO_LDFLAGS=-O2", "LC_ALL=C")
}

// tags are those of its build.
func (s system) tags() string {
	if s.microphone {
		return ""
	}
	return "nomic"
}

// build builds the program for a system into a file.
func (r *release) build(ctx context.Context, s system, file string) error {
	if s.microphone && (s.os != runtime.GOOS || s.arch != runtime.GOARCH) {
		return fmt.Errorf("the archive for %s has a microphone and can be made there alone; -only makes the others", s)
	}
	cmd := exec.CommandContext(ctx, "go", "build", "-trimpath", "-buildvcs=false", "-tags", s.tags(),
		"-ldflags", "-s -w -X main.version="+r.version, "-o", file, "./cmd/bordon")
	cmd.Dir, cmd.Env = r.root, s.env()
	_, err := output(cmd)
	return err
}
