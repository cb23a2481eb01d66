package theory

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// FormatForm writes a form as ParseForm reads it: parsed again it is the same
// form.
func FormatForm(f Form) string {
	var b strings.Builder
	writeForm(&b, "form", f.Name, f, Form{Name: f.Name, Title: f.Name})
	for _, s := range f.Sections {
		name := strings.TrimPrefix(s.Name, f.Name+"/")
		base := f.copy().section(name, name)
		if s.Beats != base.Beats {
			base = base.emptied()
		}
		b.WriteByte('\n')
		writeForm(&b, "section", name, s, base)
	}
	return b.String()
}

// copy is the form with slices of its own.
func (f Form) copy() Form {
	f.Changes, f.Phrygian = slices.Clone(f.Changes), slices.Clone(f.Phrygian)
	f.Accents, f.Lengths, f.Counted = slices.Clone(f.Accents), slices.Clone(f.Lengths), slices.Clone(f.Counted)
	f.Sections = slices.Clone(f.Sections)
	return f
}

// writeForm writes what f has otherwise than base.
func writeForm(b *strings.Builder, word, name string, f, base Form) {
	fmt.Fprintf(b, "%s %s\n", word, name)
	for _, w := range formWords {
		if now, was := f.field(w), base.field(w); now != was {
			b.WriteString(strings.TrimRight(w+" "+now, " ") + "\n")
		}
	}
}

// field is what stands after a word of a written form.
func (f Form) field(word string) string {
	switch word {
	case "title":
		return strings.Join(strings.Fields(f.Title), " ")
	case "beats":
		return strconv.Itoa(f.Beats)
	case "counted":
		return strings.Join(f.Counted, " ")
	case "lengths":
		return numbers(f.Lengths)
	case "unit":
		return f.Unit
	case "tempo":
		if f.Tempo == 0 {
			return ""
		}
		return strconv.FormatFloat(f.Tempo, 'f', -1, 64)
	case "accents":
		return numbers(f.Accents)
	case "source":
		return strings.Join(strings.Fields(f.Source), " ")
	case "chords":
		return changes(f.Changes)
	case "phrygian-chords":
		return changes(f.Phrygian)
	case "line":
		return f.Walk
	case "minor-line":
		return f.MinorWalk
	case "phrygian-line":
		return f.PhrygianWalk
	case "runs":
		if f.LandsOn == 0 {
			return ""
		}
		return fmt.Sprintf("%d-%d", f.RunsFrom, f.LandsOn)
	case "key":
		if f.ToMinor {
			return parallelMinor
		}
	}
	return ""
}

func numbers(list []int) string {
	words := make([]string, len(list))
	for i, n := range list {
		words[i] = strconv.Itoa(n)
	}
	return strings.Join(words, " ")
}

func changes(plan []Change) string {
	words := make([]string, len(plan))
	for i, c := range plan {
		words[i] = fmt.Sprintf("%d:%d", c.Beat, c.Degree)
		if c.Seventh {
			words[i] += "+7"
		}
	}
	return strings.Join(words, " ")
}
