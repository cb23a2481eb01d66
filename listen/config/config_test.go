package config_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bordon/listen/config"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ms(v float64) *float64 { return &v }

func TestSaveAndLoad(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "config.toml")
	c, err := config.Load(path)
	require.NoError(t, err)
	assert.Equal(t, config.Config{Version: 1}, c)

	day := time.Date(2030, 1, 1, 10, 0, 0, 0, time.UTC)
	one, other := config.Pair{"mic \"x\"\n", "phones", 48000}, config.Pair{"mic", "phones", 44100}
	c.Input, c.Output, c.Noise = "mic", "phones", ms(-61.5)
	c.Set(config.Delay{Pair: one, Devices: ms(106.8), Measured: day})
	c.Set(config.Delay{Pair: other, Together: ms(120), Measured: day})
	c.Set(config.Delay{Pair: one, Together: ms(99), Measured: day})
	require.NoError(t, c.Save(path))
	again, err := config.Load(path)
	require.NoError(t, err)
	assert.Equal(t, c, again)

	d, ok := again.Delay(one)
	require.True(t, ok)
	v, own, ok := d.Known()
	assert.True(t, own && ok)
	assert.Equal(t, 106.8, v, "the devices' own, which the other figure has not touched")
	assert.Equal(t, 99.0, *d.Together)
	d, _ = again.Delay(other)
	v, own, ok = d.Known()
	assert.Equal(t, 120.0, v)
	assert.True(t, ok)
	assert.False(t, own)
	_, ok = again.Delay(config.Pair{"mic", "loudspeaker", 48000})
	assert.False(t, ok)
	_, _, ok = config.Delay{}.Known()
	assert.False(t, ok)
}

func TestReadRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"version = 1\n[[delay]]\ndevices_ms = nan": "a delay of NaN ms",
		"version = 1\n[[delay]]\ndevices_ms = 1e9": "must be within 2000 ms",
		"version = 7":                       "its version is 7",
		"":                                  "its version is 0",
		"version = ":                        "not TOML",
		"version = 1\ninput = 3":            "not TOML",
		strings.Repeat("# long\n", 200_000): "more than 1048576 bytes",
	} {
		_, err := config.Read(strings.NewReader(text))
		assert.ErrorContains(t, err, want)
	}
	path := filepath.Join(t.TempDir(), "c")
	require.NoError(t, os.WriteFile(path, []byte("?"), 0o644))
	_, err := config.Load(path)
	assert.ErrorContains(t, err, "put it right, or delete it")
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("version = 1\n[[delay]]\ninput = \"a\"\ndevices_ms = 1.5\nmeasured = 2030-01-01T00:00:00Z\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		c, err := config.Read(bytes.NewReader(b))
		if err != nil {
			return
		}
		for _, d := range c.Delays {
			if v, _, ok := d.Known(); ok {
				assert.LessOrEqual(t, v, config.MaxDelay)
			}
		}
	})
}
