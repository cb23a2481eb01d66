// Package sheet draws a lesson on paper: for each key a system with the compás
// in columns as it is counted aloud, the chords and the shapes that hold them,
// and the line in staff notation and in strings and frets. A sheet is pages of
// SVG, which HTML binds into one file; both are deterministic and need nothing
// else.
//
// Notes are written for the guitar, an octave above their sound, and as they
// are fingered. Measures are in millimetres unless they are said to be in
// spaces, the distance between two lines of the staff.
package sheet

//go:generate glyphs/generate.sh
