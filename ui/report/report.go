// Package report writes the page of a take as one HTML file that needs nothing
// else: no network, no framework, its sound inside. It opens from the disk,
// prints on one sheet, and works without a mouse.
package report

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"path/filepath"

	"bordon/listen/take"
	"bordon/ui/words"
)

var (
	//go:embed take.tmpl
	takeText string
	//go:embed progress.tmpl
	progressText string
	//go:embed style.css
	style string
	//go:embed play.js
	script string

	takePage     = template.Must(template.New("take").Parse(takeText))
	progressPage = template.Must(template.New("progress").Parse(progressText))
)

// frame is what every report has.
type frame struct {
	Lang, Title string
	Style       template.CSS
	Script      template.JS
	// Policy is the content security policy: nothing is fetched, and nothing
	// runs but the script above.
	Policy string
}

func newFrame(lang *words.Language, title string) frame {
	return frame{
		Lang: lang.Tag, Title: title, Style: template.CSS(style), Script: template.JS(script),
		Policy: fmt.Sprintf("default-src 'none'; img-src data:; style-src '%s'; script-src '%s'", hash(style), hash(script)),
	}
}

func hash(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// Write writes the report of a take beside it, whole or not at all, and
// returns its path.
func Write(lang *words.Language, s *take.Stored) (path string, err error) {
	var b bytes.Buffer
	if err := Take(&b, lang, s); err != nil {
		return "", err
	}
	if path, err = filepath.Abs(filepath.Join(s.Dir, take.ReportName)); err != nil {
		return "", fmt.Errorf("cannot write the report of %q: %w", s.ID, err)
	}
	if err := take.WriteFile(path, b.Bytes()); err != nil {
		return "", fmt.Errorf("cannot write the report of %q: %w", s.ID, err)
	}
	return path, nil
}

// Take writes the report of a take to w. Where the take's sound cannot be
// read, the report says so and has none.
func Take(w io.Writer, lang *words.Language, s *take.Stored) error {
	v, err := newView(lang, s)
	if err != nil {
		return fmt.Errorf("cannot write the report of %q: %w", s.ID, err)
	}
	if err := takePage.Execute(w, v); err != nil {
		return fmt.Errorf("cannot write the report of %q: %w", s.ID, err)
	}
	return nil
}
