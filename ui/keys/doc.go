// Package keys draws what a key asks of the left hand: the walks that the
// finder lists, the shapes of tonic and dominant, and the first minute in a
// key that the player does not know. Like the page it is data first and lines
// of text with roles second, so that the terminal, a live screen and print
// show the same.
package keys
