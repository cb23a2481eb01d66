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
	set  bool
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
	*n.to, n.set = v, true
	return nil
}

// whole is a flag that holds a whole number.
type whole struct {
	to   *int
	such string
	set  bool
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
	*w.to, w.set = v, true
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
