// Package config keeps what was set up once: which devices, and the delay that
// was measured for each pair of them. It is a TOML file in the XDG config
// folder (XDG Base Directory Specification).
package config

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"time"

	"github.com/BurntSushi/toml"
	"github.com/adrg/xdg"
	"github.com/natefinch/atomic"
)

// Version is what a file says its version is.
const Version = 1

// maxSize is more than a thousand pairs of devices take.
const maxSize = 1 << 20

// MaxDelay is the longest delay that is believed, in ms.
const MaxDelay = 2000.0

// Config is the file. The zero value is an empty one.
type Config struct {
	Version int    `toml:"version"`
	Input   string `toml:"input"`  // name of the microphone; "" is the system's
	Output  string `toml:"output"` // name of the loudspeaker; "" is the system's
	// Language is the tag of the language that is spoken, and NoteNames how it
	// names notes; "" leaves it to the locale and to the language.
	Language  string `toml:"language,omitempty"`
	NoteNames string `toml:"note_names,omitempty"`
	// Noise is the room's noise in dB relative to full scale, when it was set up.
	Noise  *float64 `toml:"noise_db,omitempty"`
	Delays []Delay  `toml:"delay"`
}

// Pair is two devices and the settings that their delay depends on.
type Pair struct {
	Input  string `toml:"input"`
	Output string `toml:"output"`
	Rate   int    `toml:"rate_hz"`
}

// Delay is what was measured for a Pair, in ms. The two figures are different
// things: one holds the devices alone, the other a player's habit as well.
type Delay struct {
	Pair
	Devices  *float64  `toml:"devices_ms,omitempty"`         // from sending a click out to hearing it
	Together *float64  `toml:"you_and_devices_ms,omitempty"` // from sending a clap out to hearing the note played to it
	Measured time.Time `toml:"measured"`
}

// Path is the usual place of the file, $XDG_CONFIG_HOME/bordon/config.toml.
func Path() string { return filepath.Join(xdg.ConfigHome, "bordon", "config.toml") }

// Load reads the file at path; "" is the usual place. One that does not exist
// is an empty one. The error names the file and what is wrong with it.
func Load(path string) (Config, error) {
	if path == "" {
		path = Path()
	}
	// Before opening: a pipe would wait for a writer.
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return Config{}, fmt.Errorf("%q: it is not a plain file; put it right, or delete it and set up anew", path)
	}
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return Config{Version: Version}, nil
	}
	if err != nil {
		return Config{}, fmt.Errorf("cannot read what was set up: %w", err)
	}
	defer f.Close()
	c, err := Read(f)
	if err != nil {
		return Config{}, fmt.Errorf("%q: %w; put it right, or delete it and set up anew", path, err)
	}
	return c, nil
}

// Read reads a file of at most 1 MiB.
func Read(r io.Reader) (Config, error) {
	b, err := io.ReadAll(io.LimitReader(r, maxSize+1))
	if err != nil {
		return Config{}, err
	}
	if len(b) > maxSize {
		return Config{}, fmt.Errorf("it has more than %d bytes", maxSize)
	}
	var c Config
	if _, err := toml.NewDecoder(bytes.NewReader(b)).Decode(&c); err != nil {
		return Config{}, fmt.Errorf("it is not TOML as it should be: %w", err)
	}
	if c.Version != Version {
		return Config{}, fmt.Errorf("its version is %d and this program knows %d", c.Version, Version)
	}
	for _, d := range c.Delays {
		for _, ms := range []*float64{d.Devices, d.Together} {
			if ms != nil && !(math.Abs(*ms) <= MaxDelay) {
				return Config{}, fmt.Errorf("a delay of %v ms is not usable; it must be within %v ms", *ms, MaxDelay)
			}
		}
	}
	return c, nil
}

// Save replaces the file at path, whole or not at all; "" is the usual place.
func (c Config) Save(path string) error {
	if path == "" {
		path = Path()
	}
	c.Version = Version
	var b bytes.Buffer
	if err := toml.NewEncoder(&b).Encode(c); err != nil {
		return fmt.Errorf("cannot write what was set up: %w", err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return fmt.Errorf("cannot make the folder of what was set up: %w", err)
	}
	if err := atomic.WriteFile(path, &b); err != nil {
		return fmt.Errorf("cannot write %q: %w", path, err)
	}
	return nil
}

// Delay finds what was measured for a pair.
func (c Config) Delay(p Pair) (d Delay, ok bool) {
	for _, d := range c.Delays {
		if d.Pair == p {
			return d, true
		}
	}
	return Delay{}, false
}

// Known is the delay to correct for: the devices' own where it was measured,
// else that of player and devices together.
func (d Delay) Known() (ms float64, own, ok bool) {
	switch {
	case d.Devices != nil:
		return *d.Devices, true, true
	case d.Together != nil:
		return *d.Together, false, true
	}
	return 0, false, false
}

// Set keeps a figure of d, and leaves the other of the same pair as it is.
func (c *Config) Set(d Delay) {
	for i := range c.Delays {
		have := &c.Delays[i]
		if have.Pair != d.Pair {
			continue
		}
		if d.Devices != nil {
			have.Devices = d.Devices
		}
		if d.Together != nil {
			have.Together = d.Together
		}
		have.Measured = d.Measured
		return
	}
	c.Delays = append(c.Delays, d)
}
