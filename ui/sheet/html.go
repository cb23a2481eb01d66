package sheet

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html"
	"io"
	"strings"

	"bordon/theory"
)

var (
	//go:embed style.css
	css string
	// License is that of the outlines of the music signs.
	//
	//go:embed OFL.txt
	License string
)

// credit stands in the source of what is written.
const credit = `<!-- Music signs: outlines of Bravura, Copyright © 2019, Steinberg Media Technologies GmbH, SIL Open Font License 1.1 -->
`

const frame = `viewBox="0 0 186 252" width="186mm" height="252mm" fill="#000" font-family="Georgia, 'Times New Roman', 'DejaVu Serif', serif"`

// WriteSVG writes a page as a picture of 186 by 252 mm that stands alone.
func (p Page) WriteSVG(w io.Writer, title string) error {
	_, err := fmt.Fprintf(w, "<svg xmlns=\"http://www.w3.org/2000/svg\" %s>\n%s<title>%s</title>\n<defs>\n%s</defs>\n%s</svg>\n",
		frame, credit, html.EscapeString(readable(title)), definitions(p.used), p.body)
	return err
}

// WriteHTML writes all pages as one file that prints on A4 and on US Letter, a
// page on each sheet.
func (s Sheet) WriteHTML(w io.Writer, pages []Page) error {
	var used []string
	for _, p := range pages {
		used = append(used, p.used...)
	}
	sum := sha256.Sum256([]byte(css))
	title := html.EscapeString(s.Title())
	var b strings.Builder
	fmt.Fprintf(&b, `<!DOCTYPE html>
<html lang="%[1]s">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'sha256-%[2]s'">
<title>%[3]s</title>
<style>%[4]s</style>
</head>
<body>
%[5]s<svg class="signs" aria-hidden="true" width="0" height="0"><defs>
%[6]s</defs></svg>
<main>
<h1 class="away">%[3]s</h1>
`, html.EscapeString(s.lang().Tag), base64.StdEncoding.EncodeToString(sum[:]), title, css, credit, definitions(used))
	for i, p := range pages {
		name := title
		if len(pages) > 1 {
			name = title + ", " + html.EscapeString(s.lang().PageOf(i+1, len(pages)))
		}
		fmt.Fprintf(&b, "<svg class=\"sheet\" role=\"img\" aria-label=\"%s\" %s>\n%s</svg>\n", name, frame, p.body)
	}
	b.WriteString("<div class=\"away\">\n")
	for _, p := range s.Parts {
		fmt.Fprintf(&b, "<p>%s</p>\n", html.EscapeString(readable(s.told(p))))
	}
	b.WriteString("</div>\n</main>\n</body>\n</html>\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// told is a part of the sheet for those who hear it read: the key, and for each
// beat of the line its notes with string and fret.
func (s Sheet) told(p Part) string {
	lang := s.lang()
	said := []string{lang.Key(p.Line.Key)}
	if p.Cejilla > 0 {
		f := theory.Fingering{Key: p.Line.Key, Cejilla: p.Cejilla}
		said = append(said, lang.Cejilla(p.Cejilla, lang.Key(f.Sounding())))
	}
	where := places(p.Line)
	for i, item := range p.Line.Items {
		var choices []string
		exact := 0
		for _, c := range item.Choices {
			switch c.Kind {
			case theory.AnyScale:
				choices = append(choices, lang.AnyNote()+" "+lang.OfTheKey())
			case theory.AnyChord:
				choices = append(choices, lang.AnyNote()+" "+lang.OfTheChord())
			default:
				choices = append(choices, lang.Pitched(c.Note)+" "+lang.Mark(where[i][exact]))
				exact++
			}
		}
		said = append(said, item.Position.String()+" "+strings.Join(choices, " / "))
	}
	return strings.Join(said, "; ")
}
