package sheet_test

import (
	"fmt"
	"io"

	"bordon/theory"
	"bordon/ui/sheet"
)

// The walk of an alegrías in D and in G, on one page.
func ExampleSheet() {
	form, _ := theory.LookupForm("alegrias")
	s := sheet.Sheet{Form: form, Named: "7:3 8:2 9:7 10:1"}
	for _, name := range []string{"D", "G"} {
		key, _ := theory.ParseKey(name)
		line, _ := theory.ParseLine(s.Named, key, form, theory.Standard)
		s.Parts = append(s.Parts, sheet.Part{Line: line})
	}
	pages, err := s.Pages()
	fmt.Println(len(pages), err)
	fmt.Println(s.WriteHTML(io.Discard, pages))
	// Output:
	// 1 <nil>
	// <nil>
}
