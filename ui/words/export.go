package words

import (
	"bordon/theory"
)

// ExportWords are the words beside the notes of what other programs open.
type ExportWords struct {
	Heard string // the part of what was heard
	Asked string // the part of what was asked
	Extra string // a note that no beat asked for
	Title string // {form}, {key}, {cejilla}
	Plain string // without a cejilla: {form}, {key}
}

// Export are the words beside the notes of what other programs open.
func (l *Language) Export() ExportWords { return l.export }

// PieceTitle is what stands over a score: "alegrías, G major, cejilla 3".
func (l *Language) PieceTitle(form theory.Form, key theory.Key, cejilla int) string {
	if cejilla == 0 {
		return fill(l.export.Plain, "form", form.Title, "key", l.Key(key))
	}
	return fill(l.export.Title, "form", form.Title, "key", l.Key(key), "cejilla", l.CejillaAt(cejilla))
}
