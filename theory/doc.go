// Package theory is the music that Bordon knows: spelled notes and keys, scale
// degrees, chords, the forms with their chord changes, the lines that a bass
// player is asked for, and where a note lies on the neck.
//
// It is pure: no audio, no files, no clock. Everything is deterministic and
// safe for concurrent use, and a value that came from a Parse or Lookup
// function without an error never makes a method panic.
//
// Pitches are MIDI note numbers (MIDI 1.0: 60 is middle C, written C4; A4 is
// 69) and, unless said otherwise, fingered ones: with a cejilla the sounding
// pitch lies that many semitones higher.
package theory
