//go:build !nomic

package audio

// HasDevices tells whether this build has sound devices.
const HasDevices = true
