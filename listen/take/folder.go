// Package take keeps performances on disk: a folder for each take, with the
// sound as it was heard in take.wav and everything else in take.json.
package take

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/adrg/xdg"
	"github.com/natefinch/atomic"
)

// Names of the files in a take's folder.
const (
	WAVName  = "take.wav"
	JSONName = "take.json"
)

// folderTime is the beginning of a folder's name: no colons, which some file
// systems refuse, and in order of time when sorted.
const folderTime = "2006-01-02T15-04-05"

// maxKey is the longest key that a folder is named after, in bytes, so that
// the name fits every file system.
const maxKey = 64

// Root returns the folder that holds all takes, bordon/takes under
// $XDG_DATA_HOME (XDG Base Directory Specification). It may not exist yet.
func Root() string { return filepath.Join(xdg.DataHome, "bordon", "takes") }

// NewFolder makes the folder of a take begun at started in key and returns
// its path: root/<date>T<time>-<key>, in started's own time zone. "" stands
// for Root. A second take of the same second gets "-2" behind its name, and so
// on.
func NewFolder(root string, started time.Time, key string) (string, error) {
	if root == "" {
		root = Root()
	}
	if err := os.MkdirAll(root, 0o755); err != nil {
		return "", fmt.Errorf("cannot make the folder of the takes: %w", err)
	}
	name := started.Format(folderTime)
	if k := folderKey(key); k != "" {
		name += "-" + k
	}
	dir := filepath.Join(root, name)
	for n := 2; ; n++ {
		err := os.Mkdir(dir, 0o755)
		if err == nil {
			return dir, nil
		}
		if !errors.Is(err, fs.ErrExist) || n > 1000 {
			return "", fmt.Errorf("cannot make a folder for the take: %w", err)
		}
		dir = filepath.Join(root, fmt.Sprintf("%s-%d", name, n))
	}
}

// folderKey is key as part of a file name: letters, digits, # and - stay, any
// other character becomes -.
func folderKey(key string) string {
	if len(key) > maxKey {
		key = key[:maxKey]
	}
	return strings.Map(func(r rune) rune {
		switch {
		case 'a' <= r && r <= 'z', 'A' <= r && r <= 'Z', '0' <= r && r <= '9', r == '#', r == '-':
			return r
		case r == utf8.RuneError:
			return -1
		}
		return '-'
	}, key)
}

// WriteJSON replaces the file at path, whole or not at all, by v as indented
// JSON. A new file gets mode 0644.
func WriteJSON(path string, v any) error {
	b, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return fmt.Errorf("cannot write %q: %w", path, err)
	}
	return WriteFile(path, append(b, '\n'))
}

// WriteFile replaces the file at path, whole or not at all. A new file gets mode
// 0644.
func WriteFile(path string, b []byte) error {
	_, statErr := os.Stat(path)
	if err := atomic.WriteFile(path, bytes.NewReader(b)); err != nil {
		return fmt.Errorf("cannot write %q: %w", path, err)
	}
	if errors.Is(statErr, fs.ErrNotExist) {
		// It was made as a temporary file, readable by its owner alone.
		if err := os.Chmod(path, 0o644); err != nil {
			return fmt.Errorf("cannot make %q readable: %w", path, err)
		}
	}
	return nil
}
