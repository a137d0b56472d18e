package report

import (
	"html/template"

	"underkick/internal/drawing"
)

// Still is one framed picture of a kick's key moment.
type Still struct {
	Picture           string  // address of the picture
	Cut               bool    // Picture is the crop's own, cut and mirrored; else the whole one
	WidthPx, HeightPx float64 // of the whole picture
	Crop              drawing.Crop
	Title             string        // read to people who do not see it
	Scene             drawing.Scene // in px of the whole picture
}

// SVG returns the picture, cropped by the view box, with the scene drawn over it.
func (s Still) SVG() template.HTML {
	return template.HTML(drawing.SVG(s.Scene, s.sheet())) //nolint:gosec // every text is escaped there
}

func (s Still) sheet() drawing.Sheet {
	return drawing.Sheet{
		Picture: s.Picture, Cut: s.Cut, WidthPx: s.WidthPx, HeightPx: s.HeightPx,
		Crop: s.Crop, Title: s.Title, Class: "still film",
	}
}
