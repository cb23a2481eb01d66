// Package pluck synthesises a nylon-string guitar played by a hand: plucked
// and damped strings, rest strokes and free strokes, slurs, taps on the top,
// and the claps of those around.
//
// A string is the delay line of Karplus & Strong (Computer Music Journal 7(2),
// 1983) as extended by Jaffe & Smith (same issue): fractional tuning, pick
// position, frequency-dependent damping, stiffness and dynamics. It is
// streaming, deterministic by its seed, does no I/O and reads no clock; once
// constructed it allocates nothing but the events it is given.
//
// Samples are bit-identical between runs on one architecture. Another one may
// fuse multiplications and additions and differ in the last bits.
package pluck
