package poolside

import (
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"html/template"
	"strings"

	"underkick/internal/drawing"
)

// stillSVGPx is the width at which a still's SVG file opens.
const stillSVGPx = 640

// StillSVG returns one still as an SVG file of its own: the picture, cut, mirrored and
// softened as asked, is within it, and the drawing over it stays vectors.
func (a *App) StillSVG(ctx context.Context, runID string, opt StillPictureOptions) ([]byte, error) {
	opt.Drawn, opt.PNG = false, false
	if opt.Moment == "" {
		opt.Moment = downkickMoments[0]
	}
	opt.Moments = []string{opt.Moment}
	made, err := a.stillsOf(ctx, runID, opt.StillsOptions)
	if err != nil {
		return nil, err
	}
	svg, err := a.svgOf(ctx, made, 0, opt)
	return []byte(svg), err
}

// svgOf is the i-th still as SVG with its picture within.
func (a *App) svgOf(ctx context.Context, made madeStills, i int, opt StillPictureOptions) (string, error) {
	s := made.view.Stills[i]
	img, err := a.stillImage(ctx, made, i, opt)
	if err != nil {
		return "", err
	}
	data, _, err := encodeStill(img, false)
	if err != nil {
		return "", err
	}
	return drawing.SVG(s.Scene, drawing.Sheet{
		Picture: "data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(data), Cut: true,
		WidthPx: made.view.WidthPx, HeightPx: made.view.HighPx, Crop: s.Crop, ShownPx: stillSVGPx, Class: "still film",
		Title: fmt.Sprintf("The swimmer at %s of kick %d", s.Moment, made.view.Kick),
	}), nil
}

// StillName is what a still is called as a file, without anybody's name.
func StillName(runID string, number int, moment, ending string) string {
	return fmt.Sprintf("still-%s-kick-%d-%s.%s", runID, number, moment, ending)
}

// StillsPage writes the row of stills as one HTML file that needs no other: pictures
// within, drawings as vectors, captions below. It prints on one page across.
func (a *App) StillsPage(ctx context.Context, runID string, opt StillsOptions) ([]byte, error) {
	made, err := a.stillsOf(ctx, runID, opt)
	if err != nil {
		return nil, err
	}
	v := made.view
	page := stillsSheet{
		Title: fmt.Sprintf("%s, %s: kick %d", v.Name, longDate(v.Visit.On), v.Kick),
		Why:   v.Why, Notes: v.Notes, Rule: CaptionRule, Words: layerWords(opt.Layers),
	}
	for i, s := range v.Stills {
		svg, err := a.svgOf(ctx, made, i, StillPictureOptions{StillsOptions: opt})
		if err != nil {
			return nil, err
		}
		page.Stills = append(page.Stills, stillOnSheet{
			SVG:    template.HTML(svg), //nolint:gosec // drawing escapes every text
			Moment: s.Moment, Caption: s.Caption, When: fmt.Sprintf("%.2f s", s.Time),
		})
	}
	var out bytes.Buffer
	if err := stillsTemplate.Execute(&out, page); err != nil {
		return nil, fmt.Errorf("write the stills of run %s: %w", runID, err)
	}
	return out.Bytes(), nil
}

// layerWords explain what is drawn.
func layerWords(sw drawing.Switches) string {
	var words []string
	for _, l := range drawing.Layers() {
		if sw.On(l.ID) {
			words = append(words, l.Words)
		}
	}
	return strings.Join(words, " ")
}

// stillsSheet is what the page of stills shows.
type stillsSheet struct {
	Title, Why, Rule, Words string
	Notes                   []string
	Stills                  []stillOnSheet
}

type stillOnSheet struct {
	SVG          template.HTML
	Moment, When string
	Caption      []string
}

var stillsTemplate = template.Must(template.New("stills").Parse(`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}}</title>
<style>
@page { size: A4 landscape; margin: 12mm }
body { font: 1rem/1.4 system-ui, sans-serif; margin: 1.5rem; background: #f3f4f2; color: #1b2523 }
@media (prefers-color-scheme: dark) { body { background: #1f2829; color: #e9edeb } }
h1 { font-size: 1.5rem; margin: 0 0 .5rem }
ul { list-style: none; margin: 1rem 0; padding: 0; display: grid; gap: .75rem; grid-template-columns: repeat(auto-fill, minmax(16rem, 1fr)) }
figure { margin: 0; break-inside: avoid }
svg { display: block; width: 100%; height: auto }
figcaption, p { font-size: .875rem; max-width: 68ch }
@media print { body { margin: 0; background: #fff; color: #000 } ul { grid-template-columns: repeat(4, 1fr) } }
</style>
</head>
<body>
<h1>{{.Title}}</h1>
<p>{{.Why}}</p>
<ul>
{{- range .Stills}}
<li><figure>{{.SVG}}<figcaption><b>{{.Moment}}</b> {{.When}}{{range .Caption}}<br>{{.}}{{end}}</figcaption></figure></li>
{{- end}}
</ul>
<p>{{.Words}}</p>
<p>{{.Rule}}</p>
{{- range .Notes}}
<p>{{.}}</p>
{{- end}}
</body>
</html>
`))
