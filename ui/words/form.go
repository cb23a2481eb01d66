package words

import (
	"fmt"
	"strings"

	"bordon/theory"
)

// Form names a form, with the lengths of its beats where they differ:
// "seguiriyas 2+2+3+3+2". Palos and their sections have one name in every
// language.
func (l *Language) Form(f theory.Form) string {
	title := f.Title
	if strings.HasPrefix(f.Name, "free:") {
		title = l.free.of(f.Beats)
	}
	if len(f.Lengths) == 0 {
		return title
	}
	lengths := make([]string, len(f.Lengths))
	for i, n := range f.Lengths {
		lengths[i] = fmt.Sprint(n)
	}
	return title + " " + strings.Join(lengths, "+")
}
