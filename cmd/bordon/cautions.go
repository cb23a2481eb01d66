package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/adrg/xdg"
)

// cautionsFile is there once the cautions were shown.
const cautionsFile = "cautions-shown"

// cautionsOnce returns the cautions the first time it is called on this
// machine by this user, nil from then on. Where that cannot be remembered they
// are shown again.
func (a *app) cautionsOnce() []string {
	dir := a.state
	if dir == "" {
		dir = filepath.Join(xdg.StateHome, "bordon")
	}
	path := filepath.Join(dir, cautionsFile)
	if _, err := os.Stat(path); err == nil {
		return nil
	}
	if err := os.MkdirAll(dir, 0o755); err == nil {
		_ = os.WriteFile(path, []byte(fmt.Sprintln(now().Format("2006-01-02"))), 0o644)
	}
	return language.Cautions()
}
