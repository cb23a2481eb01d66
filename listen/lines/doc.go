// Package lines knows the bass lines there are: those that the finder makes,
// and the player's own, which are text files in a folder of the XDG Base
// Directory Specification.
package lines
