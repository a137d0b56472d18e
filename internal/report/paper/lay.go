package paper

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"
)

//go:embed paper.html
var layout string

//go:embed paper.css
var style string

//go:embed player.js
var script string

var layouts = template.Must(template.New("paper").Funcs(template.FuncMap{
	"join": func(words []string) string { return strings.Join(words, "\n") },
}).Parse(layout))

// Style returns the style sheet of paper of a size. It styles nothing outside of the class
// "paper", but sets the size of the printed page.
func Style(size Size) string {
	margin := "14mm 15mm"
	if size == Letter {
		return style + "\n@page { size: letter; margin: " + margin + "; }\n.paper { --sheet: 185.9mm; }\n"
	}
	return style + "\n@page { size: A4; margin: " + margin + "; }\n"
}

// Script returns the script that plays the clips of a document, a module.
func Script() string { return script }

// Article returns a lesson as a piece of a page.
func Article(d Document) (template.HTML, error) { return lay("document", d) }

// Piece returns one block of a lesson as a piece of a page.
func Piece(b Block) (template.HTML, error) { return lay("block", b) }

// SheetArticle returns a sheet as a piece of a page.
func SheetArticle(s Sheet) (template.HTML, error) { return lay("sheet", s) }

func lay(name string, data any) (template.HTML, error) {
	var b bytes.Buffer
	if err := layouts.ExecuteTemplate(&b, name, data); err != nil {
		return "", fmt.Errorf("lay out a %s: %w", name, err)
	}
	return template.HTML(b.String()), nil //nolint:gosec // a template escaped it
}

// WriteFile writes a lesson as one file.
func WriteFile(w io.Writer, d Document) error {
	body, err := Article(d)
	if err != nil {
		return err
	}
	return writeFile(w, page{Title: d.Title, Body: body, Script: template.JS(script), Style: template.CSS(Style(d.Size))}) //nolint:gosec // our own texts
}

// WriteSheetFile writes a sheet as one file. It holds no script.
func WriteSheetFile(w io.Writer, s Sheet) error {
	body, err := SheetArticle(s)
	if err != nil {
		return err
	}
	return writeFile(w, page{Title: s.Title, Body: body, Style: template.CSS(Style(s.Size))}) //nolint:gosec // our own text
}

// page is a whole file.
type page struct {
	Title  string
	Policy string
	Style  template.CSS
	Body   template.HTML
	Script template.JS
}

// writeFile writes a page whose own policy lets it load nothing but what it holds: a reader
// need not trust us that no request leaves.
func writeFile(w io.Writer, p page) error {
	p.Policy = "default-src 'none'; img-src data:; media-src data:; style-src " + hashOf(string(p.Style))
	if p.Script != "" {
		p.Policy += "; script-src " + hashOf(string(p.Script))
	}
	if err := layouts.ExecuteTemplate(w, "file", p); err != nil {
		return fmt.Errorf("write the file: %w", err)
	}
	return nil
}

// hashOf names a text as a content policy does (W3C, Content Security Policy Level 3).
func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// After returns what stands at the end of a lesson: cautions and notes.
func After(d Document) (template.HTML, error) { return lay("after", d) }
