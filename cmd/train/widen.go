package main

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"

	"bordon/dsp"
)

// widths reads three widths with commas between, each at least as before and at
// most what a file of weights may hold. Nothing written stands for those before.
func widths(s string, before dsp.Widths) (dsp.Widths, error) {
	if s == "" {
		return before, nil
	}
	fields := strings.Split(s, ",")
	if len(fields) != 3 {
		return before, fmt.Errorf("read the widths %q: three are needed, with commas between", s)
	}
	var n [3]int
	for i, least := range []int{before.Hidden1, before.Opinion, before.Hidden2} {
		v, err := strconv.Atoi(fields[i])
		if err != nil {
			return before, fmt.Errorf("read the widths %q: %q is no number", s, fields[i])
		}
		if v < least || v > dsp.Widest {
			return before, fmt.Errorf("read the widths %q: %d lies outside %d, which it is now, to %d", s, v, least, dsp.Widest)
		}
		n[i] = v
	}
	return dsp.Widths{Hidden1: n[0], Opinion: n[1], Hidden2: n[2]}, nil
}

// widen is a net of the given widths, none less than n's, that answers as n
// does: what is new is drawn where it takes in and zero where it gives out
// (Chen et al., "Net2Net", ICLR 2016). Of the same widths it is a copy, and
// draws nothing.
func widen(n *dsp.Net, to dsp.Widths, rng *rand.Rand) *dsp.Net {
	w := dsp.NewNet(to)
	if to == n.Widths {
		parts := w.Parts()
		for i, p := range n.Parts() {
			copy(parts[i], p)
		}
		return w
	}
	start(w, rng)
	paste := func(dst, src []float32, cols, was int, row func(int) int) {
		for r := range len(src) / was {
			copy(dst[row(r)*cols:], src[r*was:(r+1)*was])
		}
	}
	same := func(r int) int { return r }
	// What old units make of new ones must be nothing.
	mute := func(dst []float32, cols, was int, old func(r int) bool) {
		for r := range len(dst) / cols {
			if !old(r) {
				clear(dst[r*cols : r*cols+was])
			}
		}
	}
	below := func(n int) func(int) bool { return func(r int) bool { return r < n } }
	paste(w.W1, n.W1, to.Hidden1, n.Hidden1, same)
	copy(w.B1, n.B1)
	mute(w.W2, to.Opinion, n.Opinion, below(n.Hidden1))
	paste(w.W2, n.W2, to.Opinion, n.Opinion, same)
	copy(w.B2, n.B2)
	clear(w.P)
	copy(w.P, n.P)
	copy(w.PB, n.PB)
	// The rows of the second stage are the opinions, pitch by pitch, and what
	// lies around.
	around := func(r int) int {
		if r < dsp.Rows*n.Opinion {
			return r/n.Opinion*to.Opinion + r%n.Opinion
		}
		return r + dsp.Rows*(to.Opinion-n.Opinion)
	}
	mute(w.W3, to.Hidden2, n.Hidden2, func(r int) bool { return r >= dsp.Rows*to.Opinion || r%to.Opinion < n.Opinion })
	paste(w.W3, n.W3, to.Hidden2, n.Hidden2, around)
	copy(w.B3, n.B3)
	mute(w.W4, dsp.Outputs, dsp.Outputs, below(n.Hidden2))
	copy(w.W4, n.W4)
	copy(w.B4, n.B4)
	return w
}
