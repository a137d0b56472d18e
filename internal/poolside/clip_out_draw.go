package poolside

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"path/filepath"
	"slices"

	"underkick/internal/body"
	"underkick/internal/drawing"
	"underkick/internal/drawing/burn"
	"underkick/internal/film"
)

// Parts of the work, for the progress: taking pictures, then drawing and writing.
const takingPart = 0.25

// write makes the clip: stem is its path without the ending. Nothing is left when it fails.
func (p *clipPlan) write(ctx context.Context, stem string, progress func(done float64, doing string)) (madeClip, error) {
	if err := p.takePictures(ctx, progress); err != nil {
		return madeClip{}, err
	}
	d := p.drawer()
	req := film.TimedRequest{
		Width: p.width, Height: p.height, Times: p.times, End: p.end, Codec: p.encoder.Codec, Preset: p.encoder.Preset,
	}
	path := stem + p.encoder.Codec.Ext()
	err := p.engine.EncodeTimed(ctx, req, path, func(k int, frame []byte) error {
		if err := d.draw(ctx, k); err != nil {
			return err
		}
		film.Planar(frame, d.canvas)
		progress(takingPart+(1-takingPart)*part(k+1, len(p.times)), fmt.Sprintf("drawing and writing, picture %d of %d", k+1, len(p.times)))
		return nil
	})
	if err != nil {
		return madeClip{}, err
	}
	return madeClip{File: filepath.Base(path), Type: p.encoder.Codec.MediaType(), Name: p.fileName(), Note: p.note(), Named: p.named}, nil
}

// note says what was made, in words.
func (p *clipPlan) note() string {
	words := fmt.Sprintf("%d by %d px, %d pictures. %s", p.width, p.height, len(p.times), p.encoder.Words)
	if p.spec.WidthPx > p.encoder.MaxWidth {
		words += fmt.Sprintf(" It is %d px wide, not %d.", p.width, p.spec.WidthPx)
	}
	return words
}

// takePictures puts the clip's pictures into the cache.
func (p *clipPlan) takePictures(ctx context.Context, progress func(done float64, doing string)) error {
	for n, panel := range p.panels {
		first, last := slices.Min(panel.shown), slices.Max(panel.shown)
		req := film.IngestRequest{From: panel.m.frames[first], To: panel.m.frames[last] + 1, Width: p.sourceWidth(panel)}
		_, err := p.app.cache.Ingest(ctx, p.engine, p.app.filmClip(panel.rc.Clip), req, func(done, total int) {
			progress(takingPart*(float64(n)+part(done, total))/float64(len(p.panels)), "taking the pictures")
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// sourceWidth is the width of the pictures that a panel is made from, px (0 = full): those
// that pages show, unless a part of them would be blown up and the engine is quick.
func (p *clipPlan) sourceWidth(panel *clipPanel) int {
	full, narrowest := float64(panel.rc.Clip.Facts.WidthPx), math.Inf(1)
	for _, c := range panel.crops {
		narrowest = math.Min(narrowest, c.W)
	}
	if wanted := float64(panel.width) / narrowest * full; full > PictureWidth && wanted > 1.15*PictureWidth && !p.engine.Slow() {
		return 0
	}
	return PictureWidth
}

// clipDrawer makes the pictures of a clip, one after the other, on one canvas. Of each
// panel it remembers what was handed out last: in a pair the film of fewer pictures shows
// each of them several times.
type clipDrawer struct {
	plan   *clipPlan
	canvas *image.RGBA
	burner burn.Burner
	last   []handedOut // by panel
}

// handedOut is what a panel shows.
type handedOut struct {
	source image.Image // nil = nothing yet
	shown  int         // picture of the run
	crop   drawing.Crop
}

func (p *clipPlan) drawer() *clipDrawer {
	return &clipDrawer{plan: p, canvas: image.NewRGBA(image.Rect(0, 0, p.width, p.height)), last: make([]handedOut, len(p.panels))}
}

// draw makes picture k of the clip on the canvas.
func (d *clipDrawer) draw(ctx context.Context, k int) error {
	for n, panel := range d.plan.panels {
		last, shown, crop := &d.last[n], panel.shown[k], panel.crops[k]
		if last.source == nil || last.shown != shown {
			source, err := d.plan.source(ctx, panel, shown)
			if err != nil {
				return err
			}
			last.source = source
		} else if last.crop == crop {
			continue // it stands on the canvas
		}
		last.shown, last.crop = shown, crop
		place := image.Rect(panel.x, panel.y, panel.x+panel.width, panel.y+panel.height)
		panel.draw(&d.burner, d.canvas.SubImage(place).(*image.RGBA), last.source, panelPicture{spec: &d.plan.spec, k: k})
	}
	return nil
}

// source is a picture of a panel's run as it was filmed.
func (p *clipPlan) source(ctx context.Context, panel *clipPanel, shown int) (image.Image, error) {
	file, err := p.app.cache.Picture(ctx, p.engine, p.app.filmClip(panel.rc.Clip), p.sourceWidth(panel), panel.m.frames[shown])
	if err != nil {
		return nil, err
	}
	source, err := jpeg.Decode(bytes.NewReader(file))
	if err != nil {
		return nil, fmt.Errorf("read a picture of %s: %w", panel.rc.Clip.Name, err)
	}
	return source, nil
}

// panelPicture is one picture of a panel.
type panelPicture struct {
	spec *ClipSpec
	k    int // of the clip
}

func (p *clipPanel) draw(b *burn.Burner, dst *image.RGBA, source image.Image, at panelPicture) {
	i, c, facts := p.shown[at.k], p.crops[at.k], p.rc.Clip.Facts
	clipFraming.fill(dst, source, c, float64(facts.WidthPx))
	if at.spec.Soften {
		soften(p.m.softAt(i), c, float64(p.width)/c.W, func(x, y, r float64) { b.Soften(dst, x, y, r) })
	}
	frame := drawing.Frame{WidthPx: float64(facts.WidthPx), HeightPx: float64(facts.HeightPx), Crop: c, Pen: c.W / pens(p.width)}
	layers := at.spec.Layers
	if len(at.spec.Runs) == 2 {
		layers = layers.With(drawing.ClockLayer, true) // each by its own clock
	}
	b.Scene(dst, p.m.SceneAt(i, layers, frame).Through(c, float64(p.width)))
	p.words(b, dst, at.spec)
}

// pens is how many pens wide a panel is: lines as thick as on a still in small ones, finer
// in large ones.
func pens(widthPx int) float64 { return math.Min(math.Max(float64(widthPx)/2, 320), 560) }

// words writes the label at the bottom left and the speed at the bottom right.
func (p *clipPanel) words(b *burn.Burner, dst *image.RGBA, spec *ClipSpec) {
	pen := float64(p.width) / pens(p.width)
	size, room := 12*pen, 8*pen
	bottom := float64(p.height) - room
	if p.label != "" {
		b.Words(dst, drawing.Text{Role: drawing.Label, At: drawing.Point{X: room, Y: bottom}, Size: size, Words: p.label})
	}
	if spec.Slow > 1 {
		b.Words(dst, drawing.Text{
			Role: drawing.Label, At: drawing.Point{X: float64(p.width) - room, Y: bottom}, Size: size, Anchor: drawing.End,
			Words: fmt.Sprintf("1/%d speed", spec.Slow),
		})
	}
}

// Where the head is not traced it is somewhere between the arms. What is softened then
// reaches from the shoulder ahead and around, in parts of the standing height.
const (
	upperReach  = 0.17 // radius of each disc
	upperSteps  = 3    // discs, from the shoulder towards the hands
	upperStride = 0.10 // from one to the next
)

// softAt is what is softened on the i-th picture of the run, px: the head, or the upper
// body where the head is not traced; nothing where neither is known.
func (m *Measured) softAt(i int) []Face {
	if f := m.FaceAt(i); f.Known && !math.IsNaN(f.X+f.Y) {
		return []Face{f}
	}
	shoulder := m.motion.Paths[body.Shoulder]
	if shoulder == nil {
		return nil
	}
	t, height := m.motion.T[i], m.Result.Height
	if !(height > 0) {
		height = usualHeight
	}
	var out []Face
	for k := range upperSteps {
		ahead := float64(k) * upperStride * height
		along := m.Result.Line.Along
		x, y := m.View.ToPicture(t, shoulder.X[i]+ahead*along[0], shoulder.Y[i]+ahead*along[1])
		r := upperReach * height / m.View.MetresPerPx(t, x, y)
		if math.IsNaN(x+y) || !(r > 0) {
			return nil
		}
		out = append(out, Face{Known: true, X: x, Y: y, R: r})
	}
	return out
}
