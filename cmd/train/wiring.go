package main

import "bordon/dsp"

// wiring is how the scorer's inputs hang on the evidence, for a machine that
// gathers them itself.
type wiring struct {
	places []input // Rows x Features
	around []int32 // of what lies around, where it is in the evidence
	parts  []int8  // of each value of the evidence, the ingredients it belongs to, bit by bit
}

// input is a feature: base + w0 times the evidence's value at, + w1 times the
// next one.
type input struct {
	at           int32
	w0, w1, base float32
}

// wires finds the wiring by what Gather and the others make of evidence that is
// nothing but for one value. The features are sums of two neighbours at most; the
// last two of a row, which tell where the bass strings end, come from no
// evidence.
func wires() wiring {
	var ev dsp.Evidence
	var values []*float32
	for _, part := range ev.Parts() {
		for i := range part {
			values = append(values, &part[i])
		}
	}
	w := wiring{places: make([]input, dsp.Rows*dsp.Features), around: make([]int32, dsp.AroundN), parts: make([]int8, len(values))}
	base, got := make([]float32, len(w.places)), make([]float32, len(w.places))
	dsp.Gather(base, &ev, 0, 0)
	for i, v := range base {
		w.places[i] = input{at: -1, base: v}
	}
	around := make([]float32, dsp.AroundN)
	for at, v := range values {
		*v = 1
		dsp.Gather(got, &ev, 0, 0)
		for i, v := range got {
			p := &w.places[i]
			switch {
			case v == base[i]:
			case p.at < 0:
				p.at, p.w0 = int32(at), v-base[i]
			default:
				p.w1 = v - base[i]
			}
		}
		dsp.Around(around, &ev)
		for i, v := range around {
			if v != 0 {
				w.around[i] = int32(at)
			}
		}
		for k, part := range []dsp.Part{dsp.Spectra, dsp.Past, dsp.Autocorrelation, dsp.Shape} {
			*v = 1
			if part.Strip(&ev); *v == 0 {
				w.parts[at] |= 1 << k
			}
		}
		*v = 0
	}
	for i := range w.places {
		w.places[i].at = max(w.places[i].at, 0)
	}
	return w
}
