// Package export writes a take for other programs: as a Standard MIDI File, as
// MusicXML and as CSV. A Piece is what all of them write. Nothing here reads
// what others wrote.
//
// What comes from outside, the name of a take or a reason that its file holds,
// is text in all formats and never more than that.
package export
