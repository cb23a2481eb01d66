package main

import (
	"fmt"
	"strings"

	"bordon/dsp"
)

// parts of the ear by the names that they have on the command line.
var parts = []struct {
	name string
	part dsp.Part
}{{"spectra", dsp.Spectra}, {"past", dsp.Past}, {"autocorrelation", dsp.Autocorrelation}, {"shape", dsp.Shape}}

// parseParts reads names of parts with commas between them.
func parseParts(s string) (dsp.Part, error) {
	var all dsp.Part
	var names []string
	for _, p := range parts {
		names = append(names, p.name)
	}
next:
	for _, word := range strings.Split(s, ",") {
		if word = strings.TrimSpace(word); word == "" {
			continue
		}
		for _, p := range parts {
			if p.name == word {
				all |= p.part
				continue next
			}
		}
		return 0, fmt.Errorf("the ear has no part %q; its parts are %s", word, strings.Join(names, ", "))
	}
	return all, nil
}

// variants are the ears whose comparison shows what each ingredient gives.
func variants(e ear) (names []string, ears []ear) {
	add := func(name string, without dsp.Part, blind bool) {
		v := e
		v.without, v.blind = e.without|without, blind
		names, ears = append(names, name), append(ears, v)
	}
	add("everything", 0, e.blind)
	add("without the past", dsp.Past, e.blind)
	add("without the shape", dsp.Shape, e.blind)
	add("FFT alone (no autocorrelation)", dsp.Autocorrelation, e.blind)
	add("autocorrelation alone (no spectra, no past)", dsp.Spectra|dsp.Past, e.blind)
	add("without the spectra", dsp.Spectra, e.blind)
	add("the line unknown", 0, true)
	return names, ears
}
