package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"

	"bordon/listen/class"
	"bordon/listen/take"
	"bordon/ui/words"
)

var (
	//go:embed class.tmpl
	classText string
	//go:embed class.css
	classStyle string

	classPage = template.Must(template.New("class").Parse(classText))
)

// ClassGenerator is how the index of a class calls itself, in its head.
const ClassGenerator = "bordon check --summary"

// classView is what the template of a class draws.
type classView struct {
	frame
	Generator string
	Bad       string
	Heads     []string
	Rows      []classRow
	Notes     string // the head over the notes
	Page      string
	Private   string
}

type classRow struct {
	Cells []classCell
	Link  string // the page of the recording, beside the index; "" for none
	Notes []string
	Bad   bool
}

type classCell struct{ Head, Text string }

// Class writes the index of a class to w. pageOf names the file beside it that
// holds the page of a recording, "" where there is none.
func Class(w io.Writer, lang *words.Language, s class.Sheet, pageOf func(class.Row) string) error {
	v := classView{frame: newFrame(lang, lang.ClassTitle(len(s.Rows))), Generator: ClassGenerator, Page: lang.ClassPage(), Private: lang.Private()}
	v.Style = template.CSS(style + classStyle)
	v.Policy = fmt.Sprintf("default-src 'none'; img-src data:; style-src '%s'", hash(style+classStyle))
	if n := s.Bad(); n > 0 {
		v.Bad = lang.ClassBad(n)
	}
	heads := lang.ClassColumns()
	v.Heads, v.Notes = heads[:words.ClassHeads], heads[words.ClassHeads]
	for _, r := range s.Rows {
		x := classRow{Notes: lang.ClassNotes(r), Bad: !r.Judged(), Link: pageOf(r)}
		for i, text := range lang.ClassCells(r) {
			x.Cells = append(x.Cells, classCell{v.Heads[i], short(class.Shown(text))})
		}
		v.Rows = append(v.Rows, x)
	}
	if err := classPage.Execute(w, v); err != nil {
		return fmt.Errorf("cannot write the page of the class: %w", err)
	}
	return nil
}

// longest is how many letters of a name are shown.
const longest = 120

func short(s string) string {
	if r := []rune(s); len(r) > longest {
		return string(r[:longest-1]) + "…"
	}
	return s
}

// Student writes the page of one recording of a class to w, to be sent back to
// whom it is of. It is Take's, under the student's name and the file's.
func Student(w io.Writer, lang *words.Language, s *take.Stored, student, file string) error {
	v, err := newView(lang, s)
	if err != nil {
		return fmt.Errorf("cannot write the page of %q: %w", file, err)
	}
	var who []string
	for _, name := range []string{student, file} {
		if name = short(class.Shown(name)); name != "" {
			who = append(who, name)
		}
	}
	v.ID = strings.Join(who, " · ")
	v.Title, v.When, v.Command, v.Holds = v.ID, "", "", lang.PageHolds()
	if err := takePage.Execute(w, v); err != nil {
		return fmt.Errorf("cannot write the page of %q: %w", file, err)
	}
	return nil
}
