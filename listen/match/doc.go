// Package match compares the notes that were heard with the line that was
// asked for and says what was right. It is single-threaded and deterministic,
// knows no clock, and allocates nothing per hop.
//
// Time is a sample index of the input stream. A beat of the grid is heard on
// the input later by the delay that is corrected for, so a window stands round
// grid time plus delay, and an offset is onset - delay - grid time.
package match
