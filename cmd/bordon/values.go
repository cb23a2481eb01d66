package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// number is a flag that holds a number. Its range is checked where it is used.
type number struct {
	to   *float64
	such string // what would be right: "beats a minute, such as 104"
}

func (n *number) String() string {
	if n.to == nil {
		return ""
	}
	return strconv.FormatFloat(*n.to, 'g', -1, 64)
}

func (n *number) Type() string { return "number" }

func (n *number) Set(s string) error {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("it wants %s", n.such)
	}
	*n.to = v
	return nil
}

// whole is a flag that holds a whole number.
type whole struct {
	to   *int
	such string
}

func (w *whole) String() string {
	if w.to == nil {
		return ""
	}
	return strconv.Itoa(*w.to)
}

func (w *whole) Type() string { return "number" }

func (w *whole) Set(s string) error {
	v, err := strconv.Atoi(s)
	if err != nil {
		return fmt.Errorf("it wants %s", w.such)
	}
	*w.to = v
	return nil
}

// delay is a flag that holds the delay of a room in ms, or that it is not known.
type delay struct {
	ms    float64
	known bool
}

const unknown = "unknown"

func (d *delay) String() string {
	if !d.known {
		return unknown
	}
	return strconv.FormatFloat(d.ms, 'g', -1, 64)
}

func (d *delay) Type() string { return "number|" + unknown }

func (d *delay) Set(s string) error {
	if s == unknown {
		*d = delay{}
		return nil
	}
	n := number{to: &d.ms, such: "milliseconds, such as 133, or " + unknown}
	if err := n.Set(s); err != nil {
		return err
	}
	d.known = true
	return nil
}

// word is a flag that holds one of a few words.
type word struct {
	to    *string
	words []string
}

func (w *word) String() string {
	if w.to == nil {
		return ""
	}
	return *w.to
}

func (w *word) Type() string { return strings.Join(w.words, "|") }

func (w *word) Set(s string) error {
	for _, have := range w.words {
		if s == have {
			*w.to = s
			return nil
		}
	}
	return errors.New("it wants " + strings.Join(w.words, " or "))
}
