package poolside

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"underkick/internal/film"
	"underkick/internal/record"
)

// factsOf is what is kept of a clip.
func factsOf(engine *film.Engine, index *film.Index) record.Facts {
	i := &index.Info
	f := record.Facts{
		WidthPx: i.Width, HeightPx: i.Height, Frames: len(index.Frames), DurationS: i.Duration,
		MeanFPS: i.FPS, NominalFPS: i.NominalFPS, TaggedFPS: i.CaptureFPS, Codec: i.Codec, Engine: engine.Name(),
	}
	for _, w := range i.Warnings {
		f.Warnings = append(f.Warnings, record.ClipWarning{Code: string(w.Code), Text: w.Text})
	}
	return f
}

// PictureWidth is the width, px, of the pictures that pages show; smaller clips
// keep their own.
const PictureWidth = 1280

// takePictures puts the run's pictures into the cache.
func (a *App) takePictures(ctx context.Context, engine *film.Engine, clip record.Clip, run record.Run, progress func(done, total int)) error {
	req := film.IngestRequest{From: run.FromFrame, To: run.ToFrame + 1, Width: PictureWidth}
	report, err := a.cache.Ingest(ctx, engine, a.filmClip(clip), req, progress)
	if err != nil {
		return fmt.Errorf("take the pictures of %s: %w", clip.Name, err)
	}
	return a.keepDamage(ctx, clip.ID, report.Damaged)
}

// warnDamagedFrames is the kind of clip warning that names wrong pictures.
const warnDamagedFrames = "damaged-frames"

// keepDamage keeps which pictures the decoder could not make as they were filmed,
// so that the pages and every result of the clip say so.
func (a *App) keepDamage(ctx context.Context, clipID string, damaged []film.Stretch) error {
	if len(damaged) == 0 {
		return nil
	}
	stretches := make([]string, len(damaged))
	for i, d := range damaged {
		stretches[i] = fmt.Sprintf("%d to %d", d.From, d.To-1)
	}
	clip, err := a.store.Clip(ctx, clipID)
	if err != nil {
		return err
	}
	facts := clip.Facts
	facts.Warnings = slices.DeleteFunc(facts.Warnings, func(w record.ClipWarning) bool { return w.Code == warnDamagedFrames })
	facts.Warnings = append(facts.Warnings, record.ClipWarning{
		Code: warnDamagedFrames,
		Text: fmt.Sprintf("Some pictures of frames %s are not as they were filmed. Do not mark there; copy the clip again from the camera if you can.", strings.Join(stretches, ", ")),
	})
	return a.store.SetFacts(ctx, clipID, facts)
}

func (a *App) filmClip(c record.Clip) film.Clip {
	return film.Clip{Path: a.store.ClipPath(c), Hash: c.Hash}
}

// Picture returns frame n of a clip as a JPEG file, at most PictureWidth wide.
func (a *App) Picture(ctx context.Context, clipID string, n int) ([]byte, error) {
	clip, err := a.store.Clip(ctx, clipID)
	if err != nil {
		return nil, err
	}
	if err := filmGone(clip); err != nil {
		return nil, err
	}
	engine, err := a.engine(ctx)
	if err != nil {
		return nil, err
	}
	return a.cache.Picture(ctx, engine, a.filmClip(clip), PictureWidth, n)
}
