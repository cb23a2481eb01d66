//go:build !unix || nomic

package audio

// Quiet does nothing: here no sound library prints to standard error.
func Quiet() (restore func()) { return func() {} }
