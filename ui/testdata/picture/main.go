// Picture draws golden screens as SVG pictures, to be looked at:
//
//	go run ./ui/testdata/picture FOLDER FILE...
//
// Colours are those of the files; a file whose name has no "light" in it is
// drawn on a dark ground.
package main

import (
	"fmt"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// The measures of a character cell, in pixels, for a font of 16.
const (
	cellWidth  = 9.64
	cellHeight = 20
	edge       = 12
)

var escape = regexp.MustCompile("\x1b\\[([0-9;]*)m")

// look is how a piece of text looks.
type look struct {
	fill                  string
	bold, faint, reversed bool
}

func main() {
	if len(os.Args) < 3 {
		fmt.Fprintln(os.Stderr, "usage: picture FOLDER FILE...")
		os.Exit(2)
	}
	for _, file := range os.Args[2:] {
		b, err := os.ReadFile(file)
		if err == nil {
			name := strings.TrimSuffix(filepath.Base(file), ".golden") + ".svg"
			err = os.WriteFile(filepath.Join(os.Args[1], name), []byte(draw(string(b), strings.Contains(name, "light"))), 0o644)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, "picture:", err)
			os.Exit(1)
		}
	}
}

func draw(screen string, light bool) string {
	ground, ink := "#101014", "#e4e4e4"
	if light {
		ground, ink = "#ffffff", "#1c1c1c"
	}
	lines := strings.Split(strings.TrimSuffix(screen, "\n"), "\n")
	wide := 0
	for _, l := range lines {
		wide = max(wide, len([]rune(escape.ReplaceAllString(l, ""))))
	}
	var b strings.Builder
	width, height := float64(wide)*cellWidth+2*edge, len(lines)*cellHeight+2*edge
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%.0f" height="%d" font-family="DejaVu Sans Mono, monospace" font-size="16">`, width, height)
	fmt.Fprintf(&b, `<rect width="100%%" height="100%%" fill="%s"/>`+"\n", ground)
	now := look{fill: ink}
	for row, l := range lines {
		column := 0
		for l != "" {
			at := escape.FindStringSubmatchIndex(l)
			text := l
			if at != nil {
				text = l[:at[0]]
			}
			column = write(&b, text, column, row, now, ground)
			if at == nil {
				break
			}
			now = now.change(l[at[2]:at[3]], ink)
			l = l[at[1]:]
		}
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// write puts text on its row and returns the column behind it.
func write(b *strings.Builder, text string, column, row int, is look, ground string) int {
	n := len([]rune(text))
	x, y := edge+float64(column)*cellWidth, edge+row*cellHeight
	fill := is.fill
	if is.reversed && n > 0 {
		fmt.Fprintf(b, `<rect x="%.2f" y="%d" width="%.2f" height="%d" fill="%s"/>`, x, y, float64(n)*cellWidth, cellHeight, is.fill)
		fill = ground
	}
	if strings.TrimSpace(text) != "" {
		more := ""
		if is.bold {
			more += ` font-weight="bold"`
		}
		if is.faint {
			more += ` opacity="0.6"`
		}
		fmt.Fprintf(b, `<text x="%.2f" y="%d" fill="%s"%s textLength="%.2f" xml:space="preserve">%s</text>`+"\n",
			x, y+15, fill, more, float64(n)*cellWidth, html.EscapeString(text))
	}
	return column + n
}

// change reads the parameters of "select graphic rendition" (ECMA-48, 8.3.117).
func (k look) change(parameters, ink string) look {
	p := strings.Split(parameters, ";")
	for i := 0; i < len(p); i++ {
		switch p[i] {
		case "", "0":
			k = look{fill: ink}
		case "1":
			k.bold = true
		case "2":
			k.faint = true
		case "7":
			k.reversed = true
		case "38":
			if i+4 < len(p) && p[i+1] == "2" {
				k.fill = "#"
				for _, c := range p[i+2 : i+5] {
					v, _ := strconv.Atoi(c)
					k.fill += fmt.Sprintf("%02x", v&255)
				}
				i += 4
			}
		}
	}
	return k
}
