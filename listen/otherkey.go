package listen

import (
	"bordon/listen/tonality"
	"bordon/theory"
)

// OtherKey is a key that what was heard speaks clearly for, where it speaks as
// clearly against the one that was given.
type OtherKey struct {
	Key        string  `json:"key"` // as fingered with the cejilla that was given
	Confidence float64 `json:"confidence"`
}

// clearlyOther is how sure another key must be, the one given having less than a
// tenth of what is left. Of 276 free takes in the key that was given one is so.
const clearlyOther = 0.99

// OtherKey is the key that the recording sounds like, where that is clearly not
// the one that was given; nil otherwise. Call it after Close.
func (f *Free) OtherKey() *OtherKey {
	keys := tonality.Name(tonality.Collect(f.rate, f.heard, f.sound, f.notes), f.set.Form, nil, 0)
	if len(keys) == 0 || keys[0].Confidence < clearlyOther {
		return nil
	}
	given := f.set.Key.Transpose(f.set.Cejilla)
	for _, r := range keys {
		if k := f.set.Form.KeyIn(r.Key); k.Mode == given.Mode && k.Tonic.PitchClass() == given.Tonic.PitchClass() && r.Confidence > (1-clearlyOther)/10 {
			return nil
		}
	}
	return &OtherKey{Fingered(f.set.Form.KeyIn(keys[0].Key), f.set.Cejilla, f.set.Form.Name).String(), round(keys[0].Confidence, 4)}
}

// Fingered is the key that is fingered under a cejilla for one to sound, as
// players spell it.
func Fingered(sounding theory.Key, cejilla int, form string) theory.Key {
	for _, f := range theory.Fingerings(sounding, form) {
		if f.Cejilla == cejilla {
			return f.Key
		}
	}
	return sounding.Transpose(-cejilla)
}

// OtherKey is that of the recording whose beats were found in it.
func (s *Session) OtherKey() *OtherKey { return s.other }
