package dsp

// Part is a set of the ear's ingredients, for switching them off.
type Part uint

// The ingredients.
const (
	Spectra         Part = 1 << iota // the log spectra after the onset
	Past                             // the spectra of what rang before
	Autocorrelation                  // of the energy that is new
	Shape                            // the envelope and the attack
)

// Strip sets the evidence of the parts in p to zero, as the scorer has been
// trained to expect now and then.
func (p Part) Strip(ev *Evidence) {
	if p == 0 {
		return
	}
	if p&Spectra != 0 {
		clear(ev.After[:])
		clear(ev.Late[:])
	}
	if p&Past != 0 {
		clear(ev.Before[:])
		clear(ev.Rung[:])
	}
	if p&Autocorrelation != 0 {
		clear(ev.Lag[:])
	}
	if p&Shape != 0 {
		clear(ev.Env[:])
		clear(ev.Fine[:])
	}
}
