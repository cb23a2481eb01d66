// Package chords compares the chords that were held with those that the form
// asks for, and says whether each change came on its beat.
//
// What sounds (dsp.Chroma) is gathered from beat to beat: of each pitch what is
// new there, since open strings ring on under the next chord. Each beat is then
// likelier or less likely under each chord, and whole stretches from change to
// change are compared: the chord asked for, any other, and either a beat early
// or late. Where no reading is much likelier than all others the verdict is
// Unsure.
package chords
