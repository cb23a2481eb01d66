//go:build !cuda

package main

import (
	"errors"
	"io"

	"bordon/dsp"
)

func onDevice(string) (func(net *dsp.Net, look int, p plan, log io.Writer, save func() error) error, error) {
	return nil, errors.New("train on examples from a folder: this program was built without the tag cuda")
}
