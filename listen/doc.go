// Package listen is a session: samples in, notes, verdicts, a take. It puts
// the ear (dsp), the grid of beats (listen/grid) and the judge (listen/match)
// together, live or from a file by the same path, and writes what scripts and
// files rely on: the check object, the stream of events, the take.
//
// Time is a sample index of the input stream. Seconds and milliseconds appear
// only in Settings and in what is written.
package listen
