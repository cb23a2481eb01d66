package main

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestVersionOf(t *testing.T) {
	of := func(v string) *debug.BuildInfo { return &debug.BuildInfo{Main: debug.Module{Version: v}} }
	assert.Equal(t, "v1.2.3", versionOf(of("v1.2.3"), true))
	assert.Equal(t, "(devel)", versionOf(of(""), true))
	assert.Equal(t, "(devel)", versionOf(nil, false))
	t.Cleanup(func() { version = "" })
	version = "v2.0.0"
	assert.Equal(t, "v2.0.0", versionOf(of("v1.2.3"), true))
	r := bordon(t, "--version")
	assert.Equal(t, done, r.status)
	assert.Regexp(t, `^bordon v2\.0\.0, with(out)? a microphone`, r.out)
	assert.Regexp(t, `^bordon v2\.0\.0, (con|sin) micrófono`, bordonIn(t, nil, "--version", "--language", "es").out)
}
