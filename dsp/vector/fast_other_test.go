//go:build !amd64

package vector

func setFast(bool) {}
